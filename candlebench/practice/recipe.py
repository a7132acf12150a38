"""What the program itself needs to know of a scenario: the setup of its melt, and the maker for it."""

from candlebench.core.materials.wax import limits_for, load_waxes, oil_window_open, useful_oil_end_c
from candlebench.core.setup import MeltSetup, Oil
from candlebench.practice.maker import Maker
from candlebench.practice.scenario import Scenario


def setup_of(scenario: Scenario, source: str = "") -> MeltSetup:
    """Return the setup of the scenario's melt; `source` is the address it is read from."""
    charge = scenario.oil
    oil = None
    if charge is not None:
        oil = Oil(charge.name, charge.mass_g, charge.volume_ml, charge.scented_flash_c)
    wax = load_waxes()[scenario.wax.name]
    return MeltSetup(
        title=scenario.title,
        wax=wax.name,
        limits=limits_for(wax, scenario.room.altitude_m, oil),
        room_c=scenario.room.temp_c,
        altitude_m=scenario.room.altitude_m,
        wax_g=scenario.wax.mass_g,
        oil=oil,
        source=source or f"practice:{scenario.name}",
    )


def maker_for(scenario: Scenario) -> Maker:
    """Return a maker who does this melt; where no temperature is safe for the oil she leaves it out."""
    limits = setup_of(scenario).limits
    if scenario.oil is None or not oil_window_open(limits):
        return Maker(limits, None)
    end_c = useful_oil_end_c(
        limits,
        scenario.wax.mass_g,
        scenario.oil.mass_g,
        scenario.oil.temp_c,
        wax_j_per_g_k=load_waxes()[scenario.wax.name].liquid_j_per_g_k,
        pot_j_per_k=scenario.jug.metal_j_per_k,
    )
    return Maker(limits, end_c)

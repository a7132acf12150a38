"""What a practice melt is made of: room, wax, oil, jug, bath, hob and probe.

Every default carries the row of the reference tables it comes from, or says that it is an estimate. They are
places to begin, good to about 30 % (rows H29 to H32).
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Room:
    """The kitchen."""

    temp_c: float = 20.0
    # H18: room of 20 degC and 50 % relative humidity. C
    humidity: float = 0.5
    altitude_m: float = 0.0


@dataclass(frozen=True, slots=True)
class Charge:
    """The wax in the jug.

    Attributes
    ----------
    name : str
        A wax of `resources/data/waxes.toml`.
    knee_shift_k : float
        How much higher (lower when negative) than usual this lot melts.
    latent_j_per_g : float
        Heat of melting.
    """

    mass_g: float
    name: str = "beeswax"
    start_c: float = 20.0
    knee_shift_k: float = 0.0
    # W25, W26: 180 +- 25 J/g. R / C (proposal)
    latent_j_per_g: float = 180.0


@dataclass(frozen=True, slots=True)
class OilCharge:
    """The scent that stands ready."""

    mass_g: float
    name: str = ""
    volume_ml: float | None = None
    temp_c: float = 20.0
    scented_flash_c: float | None = None


@dataclass(frozen=True, slots=True)
class Jug:
    """The jug and how heat passes through it. Losses are for a difference of 55 K."""

    # H29, H31: 250 g of steel for 300 g of wax, 450 g for 1000 g; about 350 g at 500 J/kg K here. C
    metal_j_per_k: float = 175.0
    # H13: 10 to 13 W/m2 K on a wall of 0.026 m2 (130 mm wide, filled 63 mm). C
    wall_w_per_k: float = 0.31
    # H15 and W38: 8 convected + 6 radiated W/m2 K over a top of 0.0133 m2. C / M
    top_w_per_k: float = 0.19
    # H12: 1.25 for free convection alone; radiation, nearer 1.1, shares the loss. Estimate
    loss_exponent: float = 1.2
    # How unsteady the air is: share by which the losses wander. Estimate
    draught: float = 0.04
    # Wall to melted wax over 0.039 m2 at 180 W/m2 K: above the free convection of H10 (50 to 100), because
    # the melt is stirred now and then. Estimate, set so that 700 g melts in 20 to 25 minutes
    to_liquid_w_per_k: float = 7.0
    # The same to pieces of solid wax, which touch the wall in places only. Estimate
    to_solid_w_per_k: float = 4.2


@dataclass(frozen=True, slots=True)
class Bath:
    """The pan of water that the jug stands in."""

    water_g: float = 1200.0
    start_c: float = 20.0
    # H26: 700 g of stainless steel at 500 J/kg K. M
    pan_j_per_k: float = 350.0
    # H13: 12 W/m2 K on 0.063 m2 of wall (200 mm wide, 100 mm deep). C
    pan_w_per_k: float = 0.75
    # H20: open ring of water in a 20 cm pan. C
    open_m2: float = 0.014
    # The jug's own base, 130 mm wide, open to the air while the jug is off.
    jug_m2: float = 0.0133
    # Simmering water on 0.039 m2 of steel at 500 W/m2 K. Estimate
    to_jug_w_per_k: float = 20.0


@dataclass(frozen=True, slots=True)
class Hob:
    """The hob; its power is what reaches the pan."""

    # H8 and H5: a plate of 1.3 kW of which 75 % reaches the pan. M / R
    power_w: float = 1000.0
    # H9: 100 to 400 W at a low simmer; near the low end. C
    low_fraction: float = 0.15
    # A plate takes about a minute to warm up and to cool down. Estimate
    lag_s: float = 40.0


@dataclass(frozen=True, slots=True)
class ProbeKind:
    """The thermometer in the wax."""

    # T24: 5 to 15 s stirred, 30 s or more still. M
    lag_s: float = 8.0
    noise_c: float = 0.04
    resolution_c: float = 0.1


@dataclass(frozen=True, slots=True)
class Scenario:
    """One practice melt, before anything has happened.

    Attributes
    ----------
    name : str
        Its file's name without the ending; the part after `practice:` in an address.
    title : str
        For people: 'Six 120 g jars, lavender'.
    """

    name: str
    title: str
    wax: Charge
    room: Room = Room()
    oil: OilCharge | None = None
    jug: Jug = Jug()
    bath: Bath = Bath()
    hob: Hob = Hob()
    probe: ProbeKind = ProbeKind()

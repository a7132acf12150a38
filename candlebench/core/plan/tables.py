"""The data tables that a plan draws on, loaded together once."""

from collections.abc import Mapping
from dataclasses import dataclass

from candlebench.core.materials.allergens import AllergenRules, load_allergen_rules
from candlebench.core.materials.compound import Compound, load_compounds
from candlebench.core.materials.handling import Handling, load_handling
from candlebench.core.materials.jar import JarTable, load_jars
from candlebench.core.materials.oil import EssentialOil, load_oils
from candlebench.core.materials.wax import Wax, load_waxes
from candlebench.core.materials.wick import WickTable, load_wicks


@dataclass(frozen=True, slots=True)
class Tables:
    """Waxes, oils, jars, wicks, compounds, label rules and handling. Replace one to plan with one's own."""

    waxes: Mapping[str, Wax]
    oils: Mapping[str, EssentialOil]
    jars: JarTable
    wicks: WickTable
    compounds: Mapping[str, Compound]
    allergens: AllergenRules
    handling: Handling


def load_tables() -> Tables:
    """Return the program's own tables.

    Raises
    ------
    BadDataError
        One of them cannot be read.
    """
    return Tables(
        waxes=load_waxes(),
        oils=load_oils(),
        jars=load_jars(),
        wicks=load_wicks(),
        compounds=load_compounds(),
        allergens=load_allergen_rules(),
        handling=load_handling(),
    )

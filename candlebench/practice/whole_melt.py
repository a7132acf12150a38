"""A whole practice melt at once, with the truth beside the readings, for files and checks."""

from collections.abc import Iterator
from dataclasses import dataclass

from candlebench.core.events import ActionKind
from candlebench.practice.hands import Hands
from candlebench.practice.melt import PracticeMelt
from candlebench.practice.recipe import maker_for
from candlebench.practice.scenario import Scenario


@dataclass(frozen=True, slots=True)
class PracticeRow:
    """One reading and what is really so. The field names are the column names of a file.

    Attributes
    ----------
    elapsed_s, temp_c : float
        Time, and what the probe shows.
    wax_c, jug_c, bath_c : float
        True temperatures.
    liquid_share : float
        Share of the wax that is melted, 0 to 1.
    hob_w, water_g : float
        Heat into the pan in watts, water left in grams.
    did : str
        What the maker did at this reading: the value of an `ActionKind`, or nothing.
    """

    elapsed_s: float
    temp_c: float
    wax_c: float
    jug_c: float
    bath_c: float
    liquid_share: float
    hob_w: float
    water_g: float
    did: str


def whole_melt(
    scenario: Scenario, seed: int = 0, every_s: float = 1.0, longest_s: float = 4 * 3600.0
) -> Iterator[PracticeRow]:
    """Yield a melt that a maker does by herself, until she is finished or `longest_s` has passed."""
    melt = PracticeMelt(scenario, seed)
    hands, maker = Hands(melt), maker_for(scenario)
    for number in range(int(longest_s / every_s) + 1):
        elapsed_s = number * every_s
        melt.step_to(elapsed_s)
        row_temp_c = melt.probe_c
        did = maker.at(elapsed_s, row_temp_c)
        yield PracticeRow(
            elapsed_s=elapsed_s,
            temp_c=row_temp_c,
            wax_c=melt.wax_c,
            jug_c=melt.jug_c,
            bath_c=melt.bath_c,
            liquid_share=melt.liquid_share,
            hob_w=melt.hob_w,
            water_g=melt.water_g,
            did=did.value if did else "",
        )
        if did is ActionKind.FINISHED:
            return
        if did is not None:
            hands.do(did)

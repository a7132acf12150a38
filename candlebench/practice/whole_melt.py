"""A whole practice melt at once, with the truth beside the readings, for files and checks."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from candlebench.core.events import ActionKind
from candlebench.practice.hands import Hands
from candlebench.practice.melt import PracticeMelt
from candlebench.practice.recipe import maker_for
from candlebench.practice.scenario import Scenario


@dataclass(frozen=True, slots=True)
class Turn:
    """The knob is turned: when, and to which share of full power."""

    at_s: float
    share: float


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
    heat_fraction : float
        How far the knob is turned, 0 to 1.
    jar_c, jar_set_share : float or None
        Temperature of a poured jar's wax if it were mixed, and the share of it that has set; None before.
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
    heat_fraction: float
    jar_c: float | None
    jar_set_share: float | None


def whole_melt(
    scenario: Scenario,
    seed: int = 0,
    every_s: float = 1.0,
    longest_s: float = 4 * 3600.0,
    turns: Sequence[Turn] = (),
) -> Iterator[PracticeRow]:
    """Yield a melt that a maker does by herself, until she is finished or `longest_s` has passed.

    Parameters
    ----------
    turns : sequence of Turn
        How the knob is turned meanwhile; it begins at full power.
    """
    melt = PracticeMelt(scenario, seed)
    hands, maker = Hands(melt), maker_for(scenario)
    waiting = sorted(turns, key=lambda turn: turn.at_s)
    for number in range(int(longest_s / every_s) + 1):
        elapsed_s = number * every_s
        while waiting and waiting[0].at_s <= elapsed_s:
            turn = waiting.pop(0)
            melt.step_to(turn.at_s)
            hands.do(ActionKind.HEAT_SET, f"{turn.share:g}")
        melt.step_to(elapsed_s)
        away = any(one.away for one in melt.happenings)
        did = None if away else maker.at(elapsed_s, melt.probe_c)
        yield _row(melt, did)
        if did is ActionKind.FINISHED:
            return
        if did is not None:
            hands.do(did)


def _row(melt: PracticeMelt, did: ActionKind | None) -> PracticeRow:
    truth = melt.truth
    return PracticeRow(
        elapsed_s=truth.elapsed_s,
        temp_c=melt.probe_c,
        wax_c=truth.wax_c,
        jug_c=truth.jug_c,
        bath_c=truth.bath_c,
        liquid_share=truth.liquid_share,
        hob_w=truth.hob_w,
        water_g=truth.water_g,
        did=did.value if did else "",
        heat_fraction=truth.heat_fraction,
        jar_c=truth.jar_c,
        jar_set_share=truth.jar_set_share,
    )

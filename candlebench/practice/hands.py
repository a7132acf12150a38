"""What the steps that a person presses do to a practice melt, and how they are undone."""

import math

from candlebench.core.errors import FixableError
from candlebench.core.events import ActionKind
from candlebench.core.progress import UNDO_S
from candlebench.practice.melt import PracticeMelt
from candlebench.practice.moment import Snapshot
from candlebench.words import tr

# What UNDO takes back, in step with `candlebench.core.progress`: turning the heat down is no stage of a melt.
_STAGES = frozenset(
    {
        ActionKind.MELTED,
        ActionKind.OFF_HEAT,
        ActionKind.ON_HEAT,
        ActionKind.OIL_IN,
        ActionKind.STIRRED,
        ActionKind.POURED,
    }
)

# A melt that is mostly liquid is warmed again gently, but faster than the bath cools. Estimate
_WARM_AGAIN_FRACTION = 0.5


class Hands:
    """Does the steps on a melt. UNDO makes the melt as though the last step had not been done.

    The melt is run again from the moment of that step, so what comes after is what would have been read
    without it; a reading that was shown meanwhile stays as it was. As in the melt itself, a step older than a
    minute is not undone, and turning the knob is no step: it stays turned.
    """

    def __init__(self, melt: PracticeMelt) -> None:
        self._melt = melt
        self._before: list[Snapshot] = []
        self._turned: list[tuple[float, ActionKind, str]] = []

    def knob_after(self, kind: ActionKind, detail: str, now: float) -> float:
        """Where a step leaves the knob that stands at `now`, 0 to 1; UNDO is not foreseen and leaves it.

        Raises
        ------
        FixableError
            The knob was turned to something that is no share of full power.
        """
        match kind:
            case ActionKind.HEAT_SET:
                return share_of_heat(detail)
            case ActionKind.HEAT_DOWN:
                return min(now, self._melt.scenario.hob.low_fraction)
            case ActionKind.OFF_HEAT | ActionKind.POURED:
                return 0.0
            case ActionKind.ON_HEAT:
                return _WARM_AGAIN_FRACTION if self._melt.liquid_share > 0.5 else 1.0
            case _:
                return now

    def do(self, kind: ActionKind, detail: str = "") -> None:
        """Do one step now; a kind that moves nothing (a note, say) is let pass.

        Raises
        ------
        FixableError
            The knob was turned to something that is no share of full power.
        """
        if kind is ActionKind.UNDO:
            self._undo()
        elif kind in (ActionKind.HEAT_DOWN, ActionKind.HEAT_SET):
            self._set_heat(kind, detail)
            self._turned.append((self._melt.elapsed_s, kind, detail))
        elif kind in _STAGES:
            self._before.append(self._melt.snapshot())
            self._move(kind)

    def _move(self, kind: ActionKind) -> None:
        melt, scenario = self._melt, self._melt.scenario
        match kind:
            case ActionKind.OFF_HEAT:
                melt.lift_off()
            case ActionKind.ON_HEAT:
                melt.put_back()
            case ActionKind.OIL_IN if scenario.oil is not None:
                melt.add_oil(scenario.oil.mass_g)
            case ActionKind.STIRRED:
                melt.stir()
            case ActionKind.POURED:
                melt.pour()
            case _:
                pass
        self._set_heat(kind)

    def _set_heat(self, kind: ActionKind, detail: str = "") -> None:
        self._melt.set_heat(self.knob_after(kind, detail, self._melt.heat_fraction))

    def _undo(self) -> None:
        melt, now_s = self._melt, self._melt.elapsed_s
        if not self._before or now_s - self._before[-1].elapsed_s > UNDO_S:
            return
        before = self._before.pop()
        melt.restore(before)
        for at_s, kind, detail in self._turned:
            if at_s >= before.elapsed_s:
                melt.step_to(at_s)
                self._set_heat(kind, detail)
        melt.step_to(now_s)


def share_of_heat(text: str) -> float:
    """Return how far the knob is turned, 0 to 1, from the detail of a HEAT_SET.

    Raises
    ------
    FixableError
        It is no number from 0 to 1.
    """
    try:
        share = float(text.replace(",", "."))
    except ValueError:
        share = math.nan
    if not 0.0 <= share <= 1.0:
        raise FixableError(
            tr(
                "The knob cannot be turned to “{text}”: give a share of full power from 0 to 1, like 0.6."
            ).format(text=text)
        )
    return share

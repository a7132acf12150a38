"""The oil window and the pour window of one melt: where they lie for it, and how it stands against them."""

import math
from collections.abc import Callable

from candlebench.core.amounts import amounts_of
from candlebench.core.cues import Phase, Window, oil_window, phase, pour_window
from candlebench.core.events import Stage
from candlebench.core.forecast.crossing import Crossing
from candlebench.core.materials.wax import useful_oil_end_c
from candlebench.core.progress import Progress
from candlebench.core.setup import MeltSetup

# The end of the oil window follows the rate of the jug in steps that do not make a number flicker.
OIL_END_MOVES_C = 0.2


class MeltWindows:
    """Both windows, and where the melt stands against each."""

    def __init__(self, setup: MeltSetup) -> None:
        self._phases = {"oil": Phase.FAR, "pour": Phase.FAR}
        self.use(setup)

    def use(self, setup: MeltSetup) -> None:
        """Go by this setup; how the melt stands is seen at the next move."""
        self._setup = setup
        self._oil = oil_window(setup, useful_oil_end_c(setup.limits, *amounts_of(setup)))
        self._pour = pour_window(setup)

    @property
    def oil(self) -> Window:
        return self._oil

    @property
    def pour(self) -> Window:
        return self._pour

    def phase_of(self, window: Window) -> Phase:
        """Where the melt stands against one of them."""
        return self._phases[window.name]

    def in_play(self, stage: Stage) -> Window:
        """The one that the melt falls into next."""
        before_oil = stage in (Stage.WARMING, Stage.MELTED, Stage.OFF_HEAT)
        return self._oil if before_oil and self._setup.oil is not None else self._pour

    def move(
        self,
        temp_c: float,
        progress: Progress,
        foreseen: Callable[[float], Crossing | None],
        lasts: Callable[[float, float], Crossing | None],
    ) -> None:
        """See where the melt stands at `temp_c`, as far as its way is foreseen."""
        in_play = None if progress.on_heat else self.in_play(progress.stage)
        if in_play is self._oil:
            self._mind_the_rate(lasts)
            in_play = self._oil
        for window in (self._oil, self._pour):
            # The melt falls into a window only off the heat, and into one after the other.
            opens = foreseen(window.high_c) if window is in_play else None
            ends = foreseen(window.end_c) if window is in_play else None
            self._phases[window.name] = phase(window, temp_c, self._phases[window.name], opens, ends)

    def _mind_the_rate(self, lasts: Callable[[float, float], Crossing | None]) -> None:
        """End the oil window where, at this jug's own rate, a stirred melt still lands in the pour window."""
        limits = self._setup.limits
        lasting = lasts(limits.pour_high_c, limits.pour_low_c)
        if lasting is None or not math.isfinite(lasting.in_s):
            return
        per_min = (limits.pour_high_c - limits.pour_low_c) / lasting.in_s * 60.0
        end_c = useful_oil_end_c(limits, *amounts_of(self._setup), cooling_c_per_min=per_min)
        if abs(end_c - self._oil.end_c) >= OIL_END_MOVES_C:
            self._oil = oil_window(self._setup, end_c)

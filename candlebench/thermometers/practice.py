"""A practice melt as a thermometer: physics behind, readings in front, and hands that act on it."""

import math
import queue
import threading
from collections.abc import Iterator

from candlebench.core.clock import Clock, ScaledClock
from candlebench.core.errors import FixableError
from candlebench.core.events import Action, ActionKind, Reading, SourceEvent
from candlebench.core.setup import MeltSetup
from candlebench.practice.hands import Hands
from candlebench.practice.melt import PracticeMelt
from candlebench.practice.recipe import maker_for, setup_of
from candlebench.practice.scenario import Scenario
from candlebench.practice.scenario_file import load_scenario
from candlebench.thermometers.pacing import PacedClock, wait_until
from candlebench.thermometers.replay import check_speed
from candlebench.words import tr


class PracticeSource:
    """One practice melt, read every `every_s` seconds of its own time.

    Parameters
    ----------
    scenario : str or Scenario
        A scenario, its name, or a file that ends in '.toml'.
    speed : float
        How many seconds of the melt pass in a real second.
    every_s : float
        Melt time between readings.
    seed : int
        Of noise and draught; the same seed and steps give the same melt.
    by_itself : bool
        A maker does the steps, and they come out of `events` as Actions between the readings; the source ends
        when she is finished. Otherwise it goes on until stopped, and `apply_action` does the steps.
    clock : PacedClock, optional
        The melt's time, instead of a `ScaledClock` of that speed.

    Raises
    ------
    FixableError, BadDataError
        The speed or the pace is not above zero; the scenario is missing or wrong.
    """

    def __init__(
        self,
        scenario: str | Scenario,
        speed: float = 1.0,
        *,
        every_s: float = 1.0,
        seed: int = 0,
        by_itself: bool = False,
        clock: PacedClock | None = None,
    ) -> None:
        check_speed(speed)
        if not (math.isfinite(every_s) and every_s > 0.0):
            raise FixableError(
                tr("Readings every {seconds} s cannot be: give a number above 0, like 1.").format(
                    seconds=f"{every_s:g}"
                )
            )
        self.scenario = load_scenario(scenario) if isinstance(scenario, str) else scenario
        self.label = tr("practice: {title}").format(title=self.scenario.title)
        self._paced: PacedClock = clock or ScaledClock(speed)
        self.clock: Clock = self._paced
        self._every_s = every_s
        self._maker = maker_for(self.scenario) if by_itself else None
        self._melt = PracticeMelt(self.scenario, seed)
        self._hands = Hands(self._melt)
        self._own: list[ActionKind] = []
        self._asked: queue.SimpleQueue[tuple[float, ActionKind]] = queue.SimpleQueue()

    @property
    def setup(self) -> MeltSetup:
        """What this melt is made of: title, wax, limits, room, oil."""
        return setup_of(self.scenario)

    def apply_action(self, kind: ActionKind) -> None:
        """Do on the melt what the person says she did, now; from any thread, returns at once."""
        self._asked.put((self.clock.elapsed_s(), kind))

    def events(self, stop: threading.Event) -> Iterator[SourceEvent | Action]:
        """Yield a reading every `every_s`; with a maker also her Actions."""
        number = 0
        while wait_until(self._paced, number * self._every_s, stop):
            elapsed_s = number * self._every_s
            self._do_what_was_asked(elapsed_s)
            self._melt.step_to(elapsed_s)
            temp_c = self._melt.probe_c
            yield Reading(elapsed_s, self.clock.wall_s(elapsed_s), temp_c)
            did = self._maker.at(elapsed_s, temp_c) if self._maker else None
            if did is not None:
                self._own.append(did)
                yield Action(elapsed_s, self.clock.wall_s(elapsed_s), did)
                if did is ActionKind.FINISHED:
                    return
                self._hands.do(did)
            number += 1

    def _do_what_was_asked(self, until_s: float) -> None:
        while True:
            try:
                asked_s, kind = self._asked.get_nowait()
            except queue.Empty:
                return
            if kind in self._own:
                # Every step of a melt is handed to its source, the maker's own as well: that one is done.
                self._own.remove(kind)
                continue
            self._melt.step_to(min(asked_s, until_s))
            self._hands.do(kind)
            if self._maker:
                self._maker.saw(kind, self._melt.elapsed_s)

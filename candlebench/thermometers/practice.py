"""A practice melt as a thermometer: physics behind, readings in front, and hands that act on it."""

import math
import queue
import threading
from collections.abc import Iterator
from dataclasses import replace

from candlebench.core.clock import Clock, ScaledClock
from candlebench.core.errors import FixableError
from candlebench.core.events import Action, ActionKind, Reading, SourceEvent
from candlebench.core.place import Place
from candlebench.core.setup import Beside, MeltSetup
from candlebench.practice.beside import ProbeBeside
from candlebench.practice.hands import Hands
from candlebench.practice.melt import PracticeMelt
from candlebench.practice.recipe import maker_for, setup_of
from candlebench.practice.scenario import Scenario
from candlebench.practice.scenario_file import load_scenario
from candlebench.practice.truth import Truth
from candlebench.thermometers.pacing import LONGEST_WAIT_S, PacedClock
from candlebench.thermometers.replay import check_speed
from candlebench.words import tr

# While skipping, a reading comes this much real time after the one before, so that whoever stops the skip at
# an alarm is heard in time. Some 300 times real time for readings a second apart. Design decision
_SKIP_PAUSE_S = 0.003
# Without readings only the melt's own clock ticks can raise an alarm, four times a real second: slower.
_SKIP_PAUSE_NO_CABLE_S = 0.02
# How far the melt's clock may run ahead of what has been worked on, beyond the next reading: less than the
# ten seconds of silence that are an alarm.
_AHEAD_S = 4.0


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
        The melt's time, instead of a `ScaledClock` of that speed. Pausing and skipping need a `ScaledClock`.
    beside : Place or None
        Where a second probe hangs.

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
        beside: Place | None = None,
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
        self._beside = ProbeBeside(beside, self.scenario.room.temp_c, seed) if beside is not None else None
        self._own: list[ActionKind] = []
        self._asked: queue.SimpleQueue[tuple[float, ActionKind, str]] = queue.SimpleQueue()
        self._asked_heat: float | None = None
        self._truth: list[Truth] = []
        self._shows_c = self._melt.probe_c
        self._skip_to_s = -math.inf
        self._skip_lock = threading.Lock()
        self._yielded_s = -math.inf
        self._noted = 0
        self._applied_s = -math.inf

    @property
    def setup(self) -> MeltSetup:
        """What this melt is made of: title, wax, limits, room, oil."""
        setup = setup_of(self.scenario)
        return setup if self._beside is None else replace(setup, beside=Beside(self._beside.place))

    # --- what the person does; from any thread, at once ---------------------------------------------------

    def apply_action(self, kind: ActionKind, detail: str = "") -> None:
        """Do on the melt what the person says she did, now; `detail` is the knob's share for HEAT_SET."""
        self._asked_heat = self._hands.knob_after(kind, detail, self.heat_fraction)
        self._asked.put((self.clock.elapsed_s(), kind, detail))

    def set_heat(self, fraction: float) -> None:
        """Turn the knob to a share of full power, 0 to 1."""
        self.apply_action(ActionKind.HEAT_SET, f"{fraction:g}")

    @property
    def heat_fraction(self) -> float:
        """Where the knob stands, 0 to 1; what was asked for counts from the moment it was asked."""
        asked = self._asked_heat
        return self._melt.heat_fraction if asked is None else asked

    @property
    def probe_shows_c(self) -> float:
        """What the thermometer's display shows now, in °C."""
        return self._shows_c

    @property
    def happening(self) -> str:
        """What is going on around the melt now, in a sentence or two; empty when nothing is."""
        return " ".join(one.text for one in self._melt.happenings)

    @property
    def away(self) -> bool:
        """Whether the person is kept from the hob now: let her do no step, or it is done all the same."""
        return any(one.away for one in self._melt.happenings)

    @property
    def truth(self) -> Truth | None:
        """What was really so at the last reading; None before the first."""
        return self._truth[-1] if self._truth else None

    def truth_curve(self) -> tuple[Truth, ...]:
        """Return what was really so at each reading up to now; a step shows in it until it was undone."""
        return tuple(self._truth)

    # --- the melt's time ----------------------------------------------------------------------------------

    @property
    def paused(self) -> bool:
        """Whether the melt stands still."""
        return self._scaled.paused

    def pause(self) -> None:
        """Let the melt stand still."""
        self._scaled.pause()

    def resume(self) -> None:
        """Let the melt go on at its speed."""
        self._scaled.resume()

    @property
    def skipping(self) -> bool:
        """Whether the melt is running ahead."""
        return self._skip_to_s > -math.inf

    def skip(self, seconds: float) -> None:
        """Run ahead by so many seconds of the melt.

        Every reading in between comes out of `events` all the same, so that it is kept and judged. Whoever
        hears an alarm calls `stop_skipping`; something that happens around the melt ends a skip by itself.
        """
        with self._skip_lock:
            self._skip_to_s = max(self._scaled.elapsed_s(), self._skip_to_s) + seconds

    def stop_skipping(self) -> None:
        """Go on at the melt's speed from here."""
        with self._skip_lock:
            self._skip_to_s = -math.inf

    def applied(self, elapsed_s: float) -> None:
        """Whoever works on the readings has done so up to `elapsed_s`.

        Once this is told, a skip waits for it reading by reading, and the clock never runs so far ahead that
        a busy machine looks like a silent thermometer.
        """
        self._applied_s = max(self._applied_s, elapsed_s)
        if self.scenario.cable and isinstance(self._paced, ScaledClock):
            self._paced.run_no_further_than(self._applied_s + self._every_s + _AHEAD_S)

    @property
    def _scaled(self) -> ScaledClock:
        if not isinstance(self._paced, ScaledClock):
            raise TypeError("only a ScaledClock can be paused and skip")
        return self._paced

    # --- readings -----------------------------------------------------------------------------------------

    def events(self, stop: threading.Event) -> Iterator[SourceEvent | Action]:
        """Yield a reading every `every_s`, a note when something happens; with a maker also her Actions.

        Without a cable no readings come: `probe_shows_c` is what the person reads off the display.
        """
        number = 0
        while self._wait_until(number * self._every_s, stop):
            elapsed_s = number * self._every_s
            self._do_what_was_asked(elapsed_s)
            self._melt.step_to(elapsed_s)
            temp_c = self._shows_c = self._melt.probe_c
            self._truth.append(self._melt.truth)
            self._yielded_s = elapsed_s
            if self._beside is not None:
                beside_c = self._beside.read_c(self._truth[-1])
                yield Reading(elapsed_s, self.clock.wall_s(elapsed_s), beside_c, place=self._beside.place)
            if self.scenario.cable:
                yield Reading(elapsed_s, self.clock.wall_s(elapsed_s), temp_c)
            yield from self._notes(elapsed_s)
            did = self._maker.at(elapsed_s, temp_c) if self._maker and not self.away else None
            if did is not None:
                self._own.append(did)
                yield Action(elapsed_s, self.clock.wall_s(elapsed_s), did)
                if did is ActionKind.FINISHED:
                    return
                self._hands.do(did)
            number += 1

    def _notes(self, elapsed_s: float) -> Iterator[Action]:
        """What has begun to happen since the last reading."""
        begun = self._melt.begun
        for happening in begun[self._noted :]:
            self.stop_skipping()
            yield Action(elapsed_s, self.clock.wall_s(elapsed_s), ActionKind.NOTE, happening.text)
        self._noted = len(begun)

    def _wait_until(self, due_s: float, stop: threading.Event) -> bool:
        """Wait until the clock shows `due_s`, or take it there when skipping; False when stopped before."""
        while not stop.is_set():
            if due_s <= self._skip_to_s:
                if self._may_skip_on(stop):
                    self._scaled.jump_to(due_s)
                    return True
                continue
            self._end_skip(due_s)
            left_s = self._paced.real_seconds_until(due_s)
            if left_s <= 0.0:
                return True
            stop.wait(min(left_s, LONGEST_WAIT_S))
        self.stop_skipping()
        return False

    def _end_skip(self, due_s: float) -> None:
        """Take the clock to where a skip ends, when that is before the next reading."""
        with self._skip_lock:
            if -math.inf < self._skip_to_s < due_s:
                self._scaled.jump_to(self._skip_to_s)
                self._skip_to_s = -math.inf

    def _may_skip_on(self, stop: threading.Event) -> bool:
        """Wait a moment; tell whether the last reading has been worked on, where that is told at all."""
        stop.wait(_SKIP_PAUSE_S if self.scenario.cable else _SKIP_PAUSE_NO_CABLE_S)
        told = self.scenario.cable and self._applied_s > -math.inf
        return not told or self._applied_s >= self._yielded_s

    def _do_what_was_asked(self, until_s: float) -> None:
        while True:
            try:
                asked_s, kind, detail = self._asked.get_nowait()
            except queue.Empty:
                self._asked_heat = None
                return
            if kind in self._own:
                # Every step of a melt is handed to its source, the maker's own as well: that one is done.
                self._own.remove(kind)
                continue
            self._melt.step_to(min(asked_s, until_s))
            self._hands.do(kind, detail)
            if self._maker:
                self._maker.saw(kind, self._melt.elapsed_s)

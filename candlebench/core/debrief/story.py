"""A recorded melt told in order: the believed curve, what was done to it, and when the heat was on.

The same rules as in `melt`, without forecasts and alarms: what was undone did not happen, a reading that
could not be is left out, and a jug that came off the heat unsaid is noticed from the curve.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field, replace

import numpy as np

from candlebench.core.believed import believed
from candlebench.core.debrief.curve import Curve
from candlebench.core.events import (
    Action,
    ActionKind,
    Event,
    Gap,
    KeptOut,
    MeltBegan,
    Reading,
    SetupChanged,
    Stage,
)
from candlebench.core.guesses import Guess, read_guess
from candlebench.core.noticing import OffHeatNoticer
from candlebench.core.place import Place
from candlebench.core.progress import Progress
from candlebench.core.setup import MeltSetup
from candlebench.core.state import StageMark
from candlebench.core.track import Track

_KNOB = (ActionKind.HEAT_DOWN, ActionKind.HEAT_SET)


@dataclass(frozen=True, slots=True)
class Turn:
    """The jug was put on the heat (`on_heat`) or taken off it at `at_s`."""

    at_s: float
    on_heat: bool


@dataclass(frozen=True, slots=True)
class Knob:
    """The heat was changed: `share` of full power, or None for 'down'."""

    at_s: float
    share: float | None


@dataclass(frozen=True, slots=True)
class Story:
    """One recorded melt.

    Attributes
    ----------
    setup : MeltSetup
        As it was at the end: corrections count for the whole melt.
    began_wall_s : float
        Unix time of the first event.
    curve : Curve
        Readings that were believed.
    marks : tuple of StageMark
        Stages that were reached and not undone.
    turns : tuple of Turn
        On and off the heat; the first is the beginning.
    knobs : tuple of Knob
    guesses : tuple of Guess
    gaps : tuple of Gap
    end_s : float
        Elapsed time of the last event.
    beside : tuple of Place and Curve, or None
        Where a second probe hung and what it showed; of two places the later one.
    """

    setup: MeltSetup
    began_wall_s: float
    curve: Curve
    marks: tuple[StageMark, ...]
    turns: tuple[Turn, ...]
    knobs: tuple[Knob, ...]
    guesses: tuple[Guess, ...]
    gaps: tuple[Gap, ...]
    end_s: float
    beside: tuple[Place, Curve] | None = None

    def mark(self, stage: Stage) -> StageMark | None:
        """The mark of a stage, None when it was not reached."""
        return next((mark for mark in self.marks if mark.stage is stage), None)

    def at(self, stage: Stage) -> float | None:
        """When a stage was reached, None when it was not."""
        mark = self.mark(stage)
        return None if mark is None else mark.at_s

    @property
    def in_jug_until_s(self) -> float:
        """When the jug was emptied, or the end of the record."""
        poured_s = self.at(Stage.POURED)
        return self.end_s if poured_s is None else poured_s

    def on_heat_spans(self) -> tuple[tuple[float, float], ...]:
        """When the jug stood on the heat, as (from, to) in elapsed seconds."""
        spans: list[tuple[float, float]] = []
        since_s: float | None = None
        for turn in self.turns:
            if turn.on_heat and since_s is None:
                since_s = turn.at_s
            elif not turn.on_heat and since_s is not None:
                spans.append((since_s, turn.at_s))
                since_s = None
        if since_s is not None:
            spans.append((since_s, self.end_s))
        return tuple(spans)


def story_of(events: Iterable[Event]) -> Story:
    """Fold the events of one melt.

    Raises
    ------
    ValueError
        They do not begin with MeltBegan.
    """
    recorded = list(events)
    told = believed(recorded)
    if not told or not isinstance(told[0], MeltBegan):
        raise ValueError("a melt begins with MeltBegan")
    teller = _Teller(told[0])
    for event in told[1:]:
        teller.take(event)
    return replace(teller.story(), beside=_beside(recorded))


def _beside(events: list[Event]) -> tuple[Place, Curve] | None:
    out = {(event.place, event.reading_s) for event in events if isinstance(event, KeptOut)}
    read = [event for event in events if isinstance(event, Reading) and event.place is not Place.MELT]
    if not read:
        return None
    place = read[-1].place
    kept = sorted(
        (event.elapsed_s, event.temp_c)
        for event in read
        if event.place is place and (place, event.elapsed_s) not in out
    )
    times_s, temps_c = np.array(kept, float).reshape(-1, 2).T
    return place, Curve(times_s, temps_c)


@dataclass
class _Teller:
    """The story as far as it has come."""

    began: MeltBegan
    track: Track = field(default_factory=Track)
    knobs: list[Knob] = field(default_factory=list)
    guesses: list[Guess] = field(default_factory=list)
    gaps: list[Gap] = field(default_factory=list)
    last: Reading | None = None
    finished: bool = False

    def __post_init__(self) -> None:
        self.setup = self.began.setup
        self.end_s = self.began.elapsed_s
        self.noticer = OffHeatNoticer(self.setup.limits)
        self.progress = Progress.begun(self.began.elapsed_s)
        self.turns = [(self.began.elapsed_s, Turn(self.began.elapsed_s, True))]

    def take(self, event: Event) -> None:
        """Take the next event."""
        self.end_s = max(self.end_s, event.elapsed_s)
        match event:
            case SetupChanged():
                self.setup = event.setup
                self.noticer.use(event.setup.limits)
            case Reading():
                self._read(event)
            case Gap():
                self.gaps.append(event)
            case Action():
                self._act(event)
            case _:
                pass

    def story(self) -> Story:
        """The whole, as it stands now."""
        turns = [turn for _, turn in self.turns]
        return Story(
            setup=self.setup,
            began_wall_s=self.began.wall_s,
            curve=Curve(self.track.times_s, self.track.temps_c),
            marks=self.progress.marks,
            turns=tuple(sorted(turns, key=lambda turn: turn.at_s)),
            knobs=tuple(self.knobs),
            guesses=tuple(self.guesses),
            gaps=tuple(self.gaps),
            end_s=self.end_s,
        )

    def _read(self, reading: Reading) -> None:
        if not self.track.add(reading.elapsed_s, reading.temp_c):
            return
        self.last = reading
        progress = self.progress
        if progress.stage not in (Stage.WARMING, Stage.MELTED) or not progress.on_heat:
            return
        peak_s = self.noticer.noticed(reading.elapsed_s, reading.temp_c)
        if peak_s is not None:
            self._move(
                progress.reached(Stage.OFF_HEAT, peak_s, self._temp_at(peak_s), noticed_s=reading.elapsed_s),
                peak_s,
            )

    def _act(self, action: Action) -> None:
        if action.kind is ActionKind.UNDO:
            self._undo(action)
        elif action.kind is ActionKind.FINISHED:
            self.finished = True
        elif action.kind in _KNOB:
            self.knobs.append(Knob(action.elapsed_s, _share(action.detail)))
        elif action.kind is ActionKind.GUESS:
            guess = read_guess(action)
            self.guesses += [] if guess is None else [guess]
        else:
            temp_c = None if self.last is None else self.last.temp_c
            self._move(self.progress.after(action, temp_c), action.elapsed_s)
            if action.kind is ActionKind.ON_HEAT:
                self.noticer.restart()

    def _move(self, progress: Progress, at_s: float) -> None:
        if progress.on_heat != self.progress.on_heat:
            self.turns.append((progress.at_s, Turn(at_s, progress.on_heat)))
        self.progress = progress

    def _undo(self, action: Action) -> None:
        if self.finished:
            self.finished = False
            return
        before = self.progress
        self.progress = before.undone(action.elapsed_s)
        if self.progress is before:
            return
        if before.automatic and self.last is not None:
            self.noticer.disagreed(self.last.temp_c)
        if before.on_heat != self.progress.on_heat:
            self.turns.pop()

    def _temp_at(self, at_s: float) -> float | None:
        times_s = self.track.times_s
        place = int(np.searchsorted(times_s, at_s))
        return float(self.track.temps_c[place]) if place < len(times_s) else None


def _share(detail: str) -> float | None:
    try:
        share = float(detail)
    except ValueError:
        return None
    return share if 0.0 <= share <= 1.0 else None

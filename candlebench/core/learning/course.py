"""What a recorded melt went through, read from its events: believed readings, and when it stood where."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from candlebench.core.belief import COLDEST_C, HOTTEST_C
from candlebench.core.believed import believed
from candlebench.core.events import (
    Action,
    ActionKind,
    Event,
    Gap,
    MeltBegan,
    Reading,
    SetupChanged,
    Stage,
)
from candlebench.core.noticing import OffHeatNoticer
from candlebench.core.place import Place
from candlebench.core.progress import Progress
from candlebench.core.setup import MeltSetup
from candlebench.core.track import FloatArray, Track


@dataclass(frozen=True, slots=True)
class Span:
    """A part of the melt in which nothing was done to it; from `start_s` up to `end_s`."""

    start_s: float
    end_s: float
    on_heat: bool
    oil_in: bool


@dataclass(frozen=True, slots=True)
class Course:
    """A melt as its events tell it.

    Attributes
    ----------
    setup : MeltSetup
        The last one, as corrected.
    times_s, temps_c : array of float, shape (n,)
        Readings that were believed, in order.
    raw_times_s, raw_temps_c : array of float, shape (m,)
        Every reading from the wire that a thermometer could give, as read, in order of arrival: the first
        seconds after the probe went into the wax are not believed yet, and they hold its lag.
    spans : tuple of Span
        In order; empty when the melt holds no reading.
    """

    setup: MeltSetup
    times_s: FloatArray
    temps_c: FloatArray
    raw_times_s: FloatArray
    raw_temps_c: FloatArray
    spans: tuple[Span, ...]

    def within(self, span: Span) -> tuple[FloatArray, FloatArray]:
        """Times and temperatures of the believed readings of a span."""
        first, last = np.searchsorted(self.times_s, (span.start_s, span.end_s))
        return self.times_s[first:last], self.temps_c[first:last]


def course_of(events: Iterable[Event]) -> Course:
    """Fold a melt's events into its course.

    Parameters
    ----------
    events : iterable of Event
        All of them, beginning with `MeltBegan`.

    Returns
    -------
    Course

    Raises
    ------
    ValueError
        There is no `MeltBegan` at the beginning.
    """
    told = list(events)
    fold = _Fold()
    for event in believed(told):
        fold.apply(event)
    return fold.course(_raw(told))


def _raw(events: Iterable[Event]) -> FloatArray:
    """Times and temperatures of the melt's own probe, shape (m, 2), whether believed or not."""
    rows = [
        (event.elapsed_s, event.temp_c)
        for event in events
        if isinstance(event, Reading)
        and event.place is Place.MELT
        and not event.by_hand
        and COLDEST_C <= event.temp_c <= HOTTEST_C
    ]
    return np.array(rows, float).reshape(-1, 2)


class _Fold:
    """The few rules of a melt that say which readings count and where the jug stood."""

    def __init__(self) -> None:
        self._setup: MeltSetup | None = None
        self._track = Track()
        self._breaks: list[float] = []
        self._last_c: float | None = None

    def apply(self, event: Event) -> None:
        match event:
            case MeltBegan():
                self._setup = event.setup
                self._noticer = OffHeatNoticer(event.setup.limits)
                self._progress = Progress.begun(event.elapsed_s)
            case _ if self._setup is None:
                raise ValueError("a melt begins with MeltBegan")
            case SetupChanged():
                self._setup = event.setup
                self._noticer.use(event.setup.limits)
            case Reading():
                self._read(event)
            case Gap():
                self._breaks += [event.elapsed_s - event.length_s, event.elapsed_s]
            case Action():
                self._act(event)

    def course(self, raw: FloatArray) -> Course:
        """What has been gathered, and the readings as they came."""
        if self._setup is None:
            raise ValueError("a melt begins with MeltBegan")
        return Course(
            self._setup,
            self._track.times_s,
            self._track.temps_c,
            raw[:, 0],
            raw[:, 1],
            self._spans() if len(self._track) else (),
        )

    def _read(self, reading: Reading) -> None:
        if not self._track.add(reading.elapsed_s, reading.temp_c):
            return
        self._last_c = reading.temp_c
        if self._progress.stage not in (Stage.WARMING, Stage.MELTED) or not self._progress.on_heat:
            return
        peak_s = self._noticer.noticed(reading.elapsed_s, reading.temp_c)
        if peak_s is not None:
            self._progress = self._progress.reached(Stage.OFF_HEAT, peak_s, None, noticed_s=reading.elapsed_s)

    def _act(self, action: Action) -> None:
        if action.kind is ActionKind.UNDO:
            before = self._progress
            self._progress = before.undone(action.elapsed_s)
            if self._progress is not before and before.automatic and self._last_c is not None:
                self._noticer.disagreed(self._last_c)
            return
        self._progress = self._progress.after(action, self._last_c)
        if action.kind is ActionKind.ON_HEAT:
            self._noticer.restart()

    def _spans(self) -> tuple[Span, ...]:
        """Cut the melt where a step was taken that was not undone, and at gaps; it ends with the pour."""
        chain: list[Progress] = []
        node: Progress | None = self._progress
        while node is not None:
            chain.append(node)
            node = node.before
        chain.reverse()
        poured = next((p.stage_s for p in chain if p.stage is Stage.POURED), np.inf)
        end_s = min(float(self._track.times_s[-1]) + 1e-6, poured)
        cuts: list[tuple[float, bool, bool]] = []
        for before, now in zip([None, *chain[:-1]], chain, strict=True):
            turned = before is not None and before.on_heat != now.on_heat
            at_s = now.heat_since_s if turned else now.stage_s
            cuts.append((at_s, now.on_heat, now.stage in (Stage.OIL_IN, Stage.STIRRED)))
        for at_s in self._breaks:
            under = [c for c in cuts if c[0] <= at_s] or cuts[:1]
            cuts.append((at_s, *under[-1][1:]))
        cuts.sort(key=lambda cut: cut[0])
        ends = [*(cut[0] for cut in cuts[1:]), end_s]
        return tuple(
            Span(start, min(end, end_s), on_heat, oil_in)
            for (start, on_heat, oil_in), end in zip(cuts, ends, strict=True)
            if min(end, end_s) > start
        )

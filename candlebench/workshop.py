"""What is open while the program runs: settings, the journal, and the melt on the hob. No Qt."""

import logging
import os
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING
from uuid import UUID

from candlebench.addresses import (
    beside_of,
    is_live,
    open_source,
    parse_address,
    read_anew,
)
from candlebench.core.errors import FixableError
from candlebench.core.events import ActionKind, Recorded
from candlebench.core.setup import Beside, MeltSetup, Oil
from candlebench.core.track_record import Score, score_of
from candlebench.core.units import Shown
from candlebench.records.folders import data_folder, rescue_places, settings_file
from candlebench.records.journal import Journal, open_journal
from candlebench.records.lock import DataLock
from candlebench.records.probe_lines import take_in_checks
from candlebench.records.rows import MeltSummary
from candlebench.records.set_aside import local_day
from candlebench.records.settings import LastMelt, Settings, limits_with, load, save
from candlebench.words import tr

if TYPE_CHECKING:
    # Loaded when they are asked for, so that the window is painted first: what a melt is made of, what was
    # learned, the cupboard, the checks of probes.
    from candlebench.core.materials.wax import Wax
    from candlebench.records.cupboard import CupboardStore
    from candlebench.records.lesson_rows import Learned
    from candlebench.records.lessons import Lessons
    from candlebench.records.probes import Probes
    from candlebench.runner import Moment, Runner
    from candlebench.teacher import Teacher

log = logging.getLogger(__name__)

# A jug that was left this long is cold and set; its melt is over. Common practice, no source.
TAKEN_UP_S = 12 * 3600.0
# A lesson is drawn in 0.1 to 0.3 s, one of a day-long melt in a few: worth waiting for before the next melt
# begins and before the program ends, but not for long.
LESSON_S = 2.0


class Workshop:
    """Settings, journal and at most one running melt.

    Parameters
    ----------
    data : Path or None
        Data folder, when one was named.
    on_trouble : callable
        Called from any thread with a sentence while events cannot be written, and with '' when it is over.
    on_notice : callable
        Called from any thread with a sentence that the person should see once.

    Raises
    ------
    FixableError
        Another candlebench has this folder open.
    """

    def __init__(
        self,
        data: Path | None,
        on_trouble: Callable[[str], None],
        on_notice: Callable[[str], None],
    ) -> None:
        home = Path.home()
        self.folder = data_folder(data, os.environ, sys.platform, home)
        self._settings_file = settings_file(None, os.environ, sys.platform, home)
        places = rescue_places(os.environ, home)
        self._lock = DataLock(self.folder, places)
        try:
            self.journal: Journal = open_journal(self.folder, places, on_trouble, on_notice)
        except BaseException:
            self._lock.release()
            raise
        self.settings, faults = load(self._settings_file, local_day(time.time()))
        for fault in faults:
            on_notice(fault)
        self._places, self._on_notice = places, on_notice
        for sentence in take_in_checks(self.folder, places, time.time):
            on_notice(sentence)
        self._caught_up = False
        self.runner: Runner | None = None

    @property
    def shown(self) -> Shown:
        return Shown(self.settings.unit)

    def look_around(self) -> None:
        """Open what the first picture does not need, but whose trouble is to be said at the start."""
        assert self.cupboard is not None

    @cached_property
    def waxes(self) -> "dict[str, Wax]":
        """The kinds of wax by their names."""
        from candlebench.core.materials.wax import load_waxes

        return load_waxes()

    @cached_property
    def cupboard(self) -> "CupboardStore":
        """The store cupboard; what is wrong with its file is said when it is opened."""
        from candlebench.records.cupboard import CupboardStore

        store = CupboardStore(self.folder, lambda: datetime.now().astimezone())
        for sentence in store.notices:
            self._on_notice(sentence)
        return store

    @cached_property
    def lessons(self) -> "Lessons":
        """What melts taught."""
        from candlebench.records.lessons import Lessons

        return Lessons(lambda: self.journal.path)

    @cached_property
    def _teacher(self) -> "Teacher":
        from candlebench.teacher import Teacher

        return Teacher(self.journal, self.lessons)

    @cached_property
    def probes(self) -> "Probes":
        """The checks of probes."""
        from candlebench.records.probes import Probes

        return Probes(lambda: self.folder, self._places, self._on_notice)

    def change_settings(self, settings: Settings) -> None:
        """Use and keep other settings.

        Raises
        ------
        FixableError
            They cannot be written; they are used all the same.
        """
        self.settings = settings
        save(self._settings_file, settings)

    # --- melts --------------------------------------------------------------------------------------------

    def usual_setup(self, source: str) -> MeltSetup:
        """A melt as the settings say, for a real thermometer."""
        settings, last = self.settings, self.settings.last_melt
        oil = Oil(last.oil_name, last.oil_g) if last.oil_name or last.oil_g is not None else Oil("")
        return self.with_limits(
            MeltSetup(
                title=last.title or tr("{wax} melt").format(wax=self.wax_words(settings.wax)),
                wax=settings.wax,
                limits=self.waxes["beeswax"].limits,
                room_c=settings.room_c,
                altitude_m=settings.altitude_m,
                wax_g=last.wax_g,
                oil=oil,
                source=source,
                lot=last.lot,
                jug=last.jug,
                probe=last.probe,
            )
        )

    def with_limits(self, setup: MeltSetup) -> MeltSetup:
        """The same melt with the limits that its wax, altitude, oil and the person's own changes give."""
        from candlebench.core.materials.wax import limits_for

        wax = self.waxes.get(setup.wax, self.waxes["beeswax"])
        own = replace(wax, limits=limits_with(wax.limits, self.settings.limits.get(wax.name, {})))
        return replace(setup, limits=limits_for(own, setup.altitude_m, setup.oil))

    def corrected(self, before: MeltSetup, after: MeltSetup) -> MeltSetup:
        """A running melt as the person corrected it.

        A planned melt keeps the limits of its plan, which may be those of its lot, while nothing changes that
        they follow from.
        """
        same = (before.wax, before.oil, before.altitude_m) == (after.wax, after.oil, after.altitude_m)
        return after if after.plan and same else self.with_limits(after)

    def with_known(self, setup: MeltSetup) -> MeltSetup:
        """The same melt with what earlier ones taught about its lot, jug and probe.

        A practice melt that names none works with those of its scenario, so that it can be seen to learn.
        """
        from candlebench.teacher import origin_of

        origin = origin_of(setup.source)
        if origin == "practice":
            scenario = parse_address(setup.source).rest or tr("practice")
            setup = replace(
                setup,
                lot=setup.lot or scenario,
                jug=setup.jug or scenario,
                probe=setup.probe or scenario,
            )
        try:
            learned = replace(setup, known=self.lessons.known(setup, origin))
            return self._with_checks(learned) if origin == "live" else learned
        except FixableError as error:
            # A melt goes on without what was learned.
            log.warning("what was learned cannot be read: %s", error)
            return setup

    def _with_checks(self, setup: MeltSetup) -> MeltSetup:
        from candlebench.records.checked_setup import with_checks

        return with_checks(setup, self.probes)

    # --- what was learned ---------------------------------------------------------------------------------

    def learned(self) -> "tuple[Learned, ...]":
        """What is known of every lot, jug and probe; waits for a melt that has just ended, if that is quick.

        Raises
        ------
        FixableError
            It cannot be read.
        """
        runner = self.runner
        if runner is not None and runner.session.melt.finished:
            self._teacher.teach(runner.session.melt_id, runner.session.melt.kept_forecasts)
        self._teacher.wait(LESSON_S)
        return self.lessons.learned()

    def known_names(self, origin: str) -> dict[str, tuple[str, ...]]:
        """Names of lots, jugs and probes to choose from, the latest used first; empty when unreadable."""
        from candlebench.records.lessons import KINDS

        try:
            return {kind: self.lessons.names(kind, origin) for kind in KINDS}
        except FixableError as error:
            log.warning("what was learned cannot be read: %s", error)
            return {}

    def last_melt_of(self, setup: MeltSetup) -> LastMelt:
        """What to remember of a melt; a practice melt's lot, jug and probe are not those on the shelf."""
        chosen = LastMelt.of(setup)
        if is_live(setup.source):
            return chosen
        last = self.settings.last_melt
        return replace(chosen, lot=last.lot, jug=last.jug, probe=last.probe)

    def score(self) -> Score:
        """How the last forecasts fared: of real melts, or of practice while one runs."""
        from candlebench.teacher import origin_of

        runner = self.runner
        origin = "live" if runner is None else origin_of(runner.session.melt.setup.source)
        try:
            return self.lessons.score(origin)
        except FixableError as error:
            log.warning("the track record cannot be read: %s", error)
            return score_of(())

    def say(self, kind: str, name: str, origin: str, value: float) -> None:
        """Take her word for a lot's, jug's or probe's value; the running melt follows.

        Raises
        ------
        FixableError
            It cannot be so, or cannot be kept.
        """
        self.lessons.say(kind, name, origin, value, time.time())
        self._tell_running()

    def forget(self, kind: str, name: str, origin: str) -> None:
        """Use nothing any more of what was learned or said about it; the running melt follows.

        Raises
        ------
        FixableError
            Nothing is known by that name, or it cannot be kept.
        """
        self.lessons.forget(kind, name, origin, time.time())
        self._tell_running()

    def leave_out(self, kind: str, name: str, melt: UUID, left_out: bool) -> None:
        """Use one melt's lesson no more, or again; the running melt follows.

        Raises
        ------
        FixableError
            It cannot be kept.
        """
        self.lessons.forget_melt(kind, name, melt, left_out)
        self._tell_running()

    def checked(self) -> None:
        """A probe was checked, or a check was taken back: the running melt follows."""
        self._tell_running()

    def _tell_running(self) -> None:
        if self.runner is None or self.runner.session.melt.finished:
            return
        setup = self.runner.session.melt.setup
        known = self.with_known(setup)
        if known != setup:
            self.runner.change_setup(known)

    def wax_words(self, name: str) -> str:
        """The wax's name for people."""
        return self.waxes[name].shown_name if name in self.waxes else tr("no wax (water)")

    def unfinished(self) -> MeltSummary | None:
        """The latest real melt that was not finished; practice melts are not taken up again."""
        for summary in sorted(self.journal.melts(), key=lambda m: -m.began_wall_s):
            if summary.finished or time.time() - summary.began_wall_s - summary.last_elapsed_s > TAKEN_UP_S:
                continue
            first = next(iter(self.journal.events(summary.uuid)), None)
            setup = getattr(getattr(first, "event", None), "setup", None)
            if isinstance(setup, MeltSetup) and is_live(setup.source):
                return summary
        return None

    def begin(
        self, address: str, listener: "Callable[[Moment], None]", planned: MeltSetup | None = None
    ) -> "Runner":
        """Start a new melt on a thermometer, a planned one or one as the settings say.

        Raises
        ------
        FixableError
            The address cannot be used.
        """
        from candlebench.runner import Runner, Session
        from candlebench.second_probe import secondary_of

        source = open_source(address, 0.0, self.settings.unit)
        setup = planned or getattr(source, "setup", None) or self.usual_setup(address)
        setup = replace(setup, source=address, beside=self.beside_for(address))
        secondary = secondary_of(setup, source.clock)
        self.stop()
        self._teacher.wait(LESSON_S)
        session = Session.begin(self.journal, self.with_known(setup), time.time(), self.shown)
        return self._run(Runner(session, source, listener, secondary))

    def beside_for(self, address: str) -> Beside | None:
        """The second probe that goes with a thermometer: one named in its address, or the person's own.

        Raises
        ------
        FixableError
            The address names two.
        """
        named, kept = beside_of(address), self.settings.beside
        if named is not None:
            same = kept is not None and kept.place is named.place and not kept.source and is_live(address)
            return replace(named, probe=kept.probe) if kept is not None and same else named
        return kept if kept is not None and kept.source and is_live(address) else None

    def take_up(self, summary: MeltSummary, listener: "Callable[[Moment], None]") -> "Runner":
        """Go on with a recorded melt where it was; the time in between becomes a gap."""
        from candlebench.runner import Runner, Session
        from candlebench.second_probe import secondary_of

        recorded: list[Recorded] = list(self.journal.events(summary.uuid))
        session = Session.taken_up(self.journal, recorded, time.time(), self.shown)
        setup = session.melt.setup
        source = open_source(setup.source, session.melt.now_s, self.settings.unit)
        return self._run(Runner(session, source, listener, secondary_of(setup, source.clock)))

    def change_source(self, address: str, listener: "Callable[[Moment], None]") -> "Runner":
        """Read the running melt through another thermometer.

        Raises
        ------
        FixableError
            The address cannot be used; the melt goes on as it was.
        """
        from candlebench.runner import Runner
        from candlebench.second_probe import secondary_of

        if self.runner is None:
            return self.begin(address, listener)
        session = self.runner.session
        setup = replace(session.melt.setup, source=address, beside=self.beside_for(address))
        lines = read_anew(session.melt.setup.source, address)
        use = getattr(self.runner.source, "use", None)
        if lines is not None and use is not None:
            use(lines)
            self.runner.change_setup(self.with_known(setup))
            return self.runner
        source = open_source(address, self.runner.clock.elapsed_s(), self.settings.unit)
        secondary = secondary_of(setup, source.clock)
        self.runner.stop()
        # The melt goes on: there is nothing to learn from it yet.
        self.runner = None
        runner = self._run(Runner(session, source, listener, secondary))
        runner.change_setup(self.with_known(setup))
        return runner

    def change_beside(self, beside: Beside | None) -> None:
        """Read another second thermometer in the running melt, or none; the first one is not touched.

        For a second probe on the first one's wire, change the first one's address.

        Raises
        ------
        FixableError
            It cannot be read beside the other one; the melt goes on as it was.
        """
        from candlebench.second_probe import secondary_of

        runner = self.runner
        if runner is None:
            return
        setup = replace(runner.session.melt.setup, beside=beside)
        runner.read_beside(secondary_of(setup, runner.clock))
        runner.change_setup(self.with_known(setup))

    def stop(self) -> None:
        """Stop reading; the melt stays as it is in the journal, and its lesson is drawn."""
        runner = self.runner
        if runner is not None:
            runner.stop()
            self.runner = None
            self._teacher.teach(runner.session.melt_id, runner.session.melt.kept_forecasts)

    def finish(self) -> None:
        """End the running melt for good."""
        if self.runner is not None:
            self.runner.act(ActionKind.FINISHED)
            self.stop()

    def close(self) -> tuple[str, ...]:
        """Stop everything and write what waits; returns sentences the person should see."""
        self.stop()
        if "_teacher" in self.__dict__:
            # Without it no melt was ended here.
            self._teacher.stop(LESSON_S)
        said = self.journal.close()
        self._lock.release()
        return said

    def _run(self, runner: "Runner") -> "Runner":
        self.stop()
        self.runner = runner
        runner.start()
        if not self._caught_up:
            self._caught_up = True
            self._catch_up(runner.session.melt_id)
        return runner

    def _catch_up(self, running: UUID) -> None:
        """Learn from melts during which the program ended, in the background."""
        try:
            self._teacher.catch_up(running)
        except FixableError as error:
            log.warning("old melts cannot be learned from: %s", error)

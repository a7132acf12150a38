"""What the check page asks of the rest of the program: names, records, the running melt, the altitude."""

import time
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from uuid import UUID

from candlebench.addresses import is_live
from candlebench.core.correction import Correction
from candlebench.core.errors import CandlebenchError
from candlebench.core.known import KnownProbe
from candlebench.core.trust.check import ProbeCheck
from candlebench.core.trust.plunge import Plunge
from candlebench.core.units import Shown
from candlebench.records.probes import Kept
from candlebench.records.set_aside import local_day
from candlebench.records.settings import Settings
from candlebench.runner import Runner
from candlebench.ui.check_feed import Way
from candlebench.workshop import Workshop


class CheckShop:
    """Stands between the page and the workshop.

    Parameters
    ----------
    workshop : Workshop
    remember : callable
        Keeps changed settings.
    wall_s : callable
        Unix time.
    """

    def __init__(
        self,
        workshop: Workshop,
        remember: Callable[[Settings], object],
        wall_s: Callable[[], float] = time.time,
    ) -> None:
        self._workshop, self._remember, self._wall_s = workshop, remember, wall_s
        self._probes = workshop.probes

    @property
    def shown(self) -> Shown:
        return self._workshop.shown

    @property
    def today(self) -> date:
        return local_day(self._wall_s())

    @property
    def altitude_m(self) -> float:
        return self._workshop.settings.altitude_m

    def use_altitude(self, altitude_m: float) -> None:
        """Remember another altitude, for melts too."""
        if altitude_m != self.altitude_m:
            self._remember(replace(self._workshop.settings, altitude_m=altitude_m))

    # --- which probe --------------------------------------------------------------------------------------

    def names(self) -> tuple[str, ...]:
        """Probes to choose from, those checked before first.

        Raises
        ------
        FixableError
            The checks kept so far cannot be read.
        """
        found: list[str] = []
        for name in (*self._probes.names(), *self._workshop.known_names("live").get("probe", ())):
            if not any(_same(name, other) for other in found):
                found.append(name)
        return tuple(found)

    def usual_name(self) -> str:
        """The probe that is in use."""
        runner = self._running()
        named = "" if runner is None else runner.session.melt.setup.probe
        return named or self._workshop.settings.last_melt.probe

    def way(self) -> Way:
        """How the probe can be read now."""
        runner = self._running()
        if runner is not None and not runner.session.melt.setup.source.startswith("typed:"):
            return Way(runner.session.melt.setup.source, by_melt=True)
        settings = self._workshop.settings
        return Way(settings.source) if settings.reads_by == "plugged in" else Way()

    def finish_melt(self) -> None:
        """End the running melt, so that the thermometer is free."""
        self._workshop.finish()

    def _running(self) -> Runner | None:
        """The live melt on the hob."""
        runner = self._workshop.runner
        if runner is None or runner.session.melt.finished or not is_live(runner.session.melt.setup.source):
            return None
        return runner

    # --- what is known of it ------------------------------------------------------------------------------

    def history(self, name: str) -> tuple[Kept, ...]:
        """Everything kept of a probe, oldest first; raises FixableError when it cannot be read."""
        return self._probes.history(name)

    def correction(self, name: str) -> Correction | None:
        """The correction in force; raises FixableError when it cannot be read."""
        return self._probes.correction(name)

    def plunge(self, name: str) -> Plunge | None:
        """The plunge test in force; raises FixableError when it cannot be read."""
        return self._probes.plunge(name)

    def faults(self) -> tuple[str, ...]:
        """What could not be read of the checks kept so far."""
        return self._probes.faults()

    def known_probe(self, name: str) -> KnownProbe | None:
        """What melts taught about its lag."""
        try:
            learned = self._workshop.lessons.learned()
        except CandlebenchError:
            return None
        for thing in learned:
            if thing.kind == "probe" and thing.origin == "live" and _same(thing.name, name):
                return thing.known if isinstance(thing.known, KnownProbe) else None
        return None

    # --- keeping ------------------------------------------------------------------------------------------

    def keep(self, name: str, what: ProbeCheck | Plunge, used: bool) -> bool:
        """Keep a check or a plunge test; return whether it is used and the running melt follows.

        Raises
        ------
        FixableError
            It cannot be kept.
        """
        wall_s = self._wall_s()
        kept = self._probes.keep(name, what, wall_s)
        if not used:
            self._probes.forget_one(kept.uuid, wall_s)
            return False
        last = self._workshop.settings.last_melt
        if not last.probe:
            self._remember(replace(self._workshop.settings, last_melt=replace(last, probe=kept.name)))
        return self._tell_running(kept.name)

    def leave_out(self, name: str, uuid: UUID) -> None:
        """Use one check or plunge test no more; the running melt follows.

        Raises
        ------
        FixableError
            It cannot be kept.
        """
        self._probes.forget_one(uuid, self._wall_s())
        self._tell_running(name)

    def use_again(self, name: str, uuid: UUID) -> None:
        """Use one check or plunge test that was left out; the running melt follows.

        Raises
        ------
        FixableError
            It cannot be kept.
        """
        self._probes.use_one_again(uuid, self._wall_s())
        self._tell_running(name)

    def _tell_running(self, name: str) -> bool:
        """Correct the running melt too: the one with this probe, or with a probe that has no name yet."""
        runner = self._running()
        if runner is None:
            return False
        setup = runner.session.melt.setup
        if setup.probe and not _same(setup.probe, name):
            return False
        if setup.probe:
            self._workshop.checked()
        else:
            runner.change_setup(self._workshop.with_known(replace(setup, probe=name)))
        return True


def _same(one: str, other: str) -> bool:
    """Capitals and spaces do not matter, as in `records.probes`."""
    return " ".join(one.casefold().split()) == " ".join(other.casefold().split())

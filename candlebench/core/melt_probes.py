"""The probes of one melt: its own in the wax, and a second one in the bath or the room."""

import math
from collections.abc import Iterator

from candlebench.core.believed import reads_by_hand
from candlebench.core.correction import Correction
from candlebench.core.events import ActionKind, KeptOut, Reading
from candlebench.core.forecast.room import typed_room
from candlebench.core.place import Place
from candlebench.core.probe import Heard, Probe
from candlebench.core.probe_notes import Lifting, old_check_text
from candlebench.core.setup import MeltSetup
from candlebench.core.state import BesideState
from candlebench.core.suspicion import Fault, Suspicion
from candlebench.core.two_probes import TwoProbes
from candlebench.core.units import Shown

# How far and how long the readings may leave their path when something is done: oil and stirring bring hot
# wax from the wall, cold wax from the middle; a lifted jug takes up what its wall still holds. Tried on
# practice melts.
MOVES = {
    ActionKind.OIL_IN: (1.0, 90.0),
    ActionKind.STIRRED: (3.0, 60.0),
    ActionKind.OFF_HEAT: (1.5, 60.0),
    ActionKind.ON_HEAT: (1.5, 60.0),
}
# The drop from cold oil is known to about a third: room or fridge, how much stuck to the glass. From memory.
CHILL_SPREAD = 0.35


class MeltProbes:
    """Hands readings to the probe they come from, and sees two probes together."""

    def __init__(self, shown: Shown) -> None:
        self._shown = shown
        self.wax = Probe(Place.MELT, shown)
        self.beside: Probe | None = None
        self._ever_beside: dict[Place, Probe] = {}
        self._two = TwoProbes()
        self._together: Suspicion | None = None
        self._lifting = Lifting()
        self._old_said = False

    def __iter__(self) -> Iterator[Probe]:
        yield self.wax
        if self.beside is not None:
            yield self.beside

    def at(self, place: Place) -> Probe:
        """The probe that hangs there; what is heard of one that the setup does not name is not shown."""
        for probe in self:
            if probe.place is place:
                return probe
        return Probe(place, self._shown)

    # --- what happens -------------------------------------------------------------------------------------

    def use(self, setup: MeltSetup, boiling_c: float) -> bool:
        """Go by this setup; return whether the curve of the wax is another now."""
        room_c = typed_room(setup.room_c).temp_c
        corrected = self.wax.use(setup.correction, corrects_typed=reads_by_hand(setup))
        self.wax.hangs_in(room_c, setup.limits, boiling_c)
        self._together = None
        if setup.beside is None:
            self.beside = None
            return corrected
        # One that was taken out of the setup and named again goes on with its own curve.
        place = setup.beside.place
        if self.beside is None or self.beside.place is not place:
            self.beside = self._ever_beside.setdefault(place, Probe(place, self._shown))
            self.beside.forget()
            self.beside.show_in(self._shown)
        self.beside.use(setup.beside.correction, corrects_typed=True)
        self.beside.hangs_in(room_c, None, boiling_c)
        return corrected

    def show_in(self, shown: Shown) -> None:
        """Write sentences in another unit from now on."""
        self._shown = shown
        for probe in self:
            probe.show_in(shown)

    def forget(self) -> None:
        """After a gap nothing is known about the last temperatures."""
        for probe in self:
            probe.forget()
        self._two.restart()
        self._together = None
        self._lifting.forget()

    def did(self, kind: ActionKind, at_s: float, chill_c: float) -> None:
        """The person did something that moves the readings; cold oil by `chill_c`."""
        by_k, for_s = announced(kind, chill_c)
        for probe in self:
            probe.announce(at_s, by_k, for_s)
            if kind is ActionKind.POURED:
                probe.watch_no_more()
        if kind is ActionKind.OFF_HEAT:
            self._two.restart()
            self._lifting.lifted(at_s)
        elif kind in MOVES:
            self._lifting.forget()

    def undone(self) -> None:
        """The last step was undone: the probes hang where they did."""
        self._lifting.forget()
        for probe in self:
            probe.watch_again()

    def read(self, reading: Reading, on_heat: bool) -> tuple[Probe, Heard]:
        """Hand over one reading, and compare the two probes."""
        probe = self.at(reading.place)
        heard = probe.read(reading, on_heat)
        self._compare(on_heat)
        return probe, heard

    def take_left_out(self) -> tuple[KeptOut, ...]:
        """Hand over what the record is to say of readings that are not believed, once."""
        return tuple(one for probe in self for one in probe.take_left_out())

    def _compare(self, on_heat: bool) -> None:
        beside = self.beside
        if beside is None or beside.place is not Place.BATH:
            return
        wax, bath = self.wax.level, beside.level
        if wax is None or bath is None:
            return
        found = self._two.compared(wax, bath, on_heat, self._shown)
        self._together = found if found is not None and found.kind is Fault.APART else None
        if found is None or found.kind is Fault.APART:
            return
        for probe in (self.wax, beside) if found.kind is Fault.SWAPPED else (self.wax,):
            if probe.suspicion is None or probe.suspicion.kind is not found.kind:
                probe.blame(found)

    # --- what is known ------------------------------------------------------------------------------------

    @property
    def suspicion(self) -> Suspicion | None:
        """What is to be said of the probes: of the wax's own first."""
        beside = self.beside.suspicion if self.beside is not None else None
        return self.wax.suspicion or self._together or beside

    def notes(self, now_s: float, wall_s: float, correction: Correction | None) -> list[tuple[str, str]]:
        """Calm notes that are due now, each as its code and its sentence."""
        found = []
        if not self._old_said and self.wax.last is not None:
            self._old_said = True
            found.append(("probe_check_old", old_check_text(correction, wall_s)))
        found.append(("probe_fell_at_lifting", self._lifting.fell_text(self.wax, now_s, self._shown)))
        return [(code, text) for code, text in found if text]

    @property
    def answered_s(self) -> float:
        """When the wax's probe last answered; a doubted reading is no silence, it is said otherwise."""
        probe = self.wax
        last_s = probe.last.elapsed_s if probe.last is not None else -math.inf
        doubted = probe.suspicion is not None or probe.doubt is not None or probe.waits
        return max(probe.heard_s, last_s) if doubted else last_s

    def bath_c(self, now_s: float) -> float | None:
        """The hottest that a probe in the bath shows now, believed or not; None without one."""
        bath = self.beside
        if bath is None or bath.place is not Place.BATH or bath.last is None:
            return None
        believed_c = bath.last.temp_c if bath.is_current(now_s) else None
        return max((c for c in (bath.high_c, believed_c) if c is not None), default=None)

    def beside_state(self, now_s: float) -> BesideState | None:
        """The second probe for a view; None without one."""
        probe = self.beside
        if probe is None:
            return None
        return BesideState(
            place=probe.place,
            temp_c=probe.last.temp_c if probe.last else None,
            reading_s=probe.last.elapsed_s if probe.last else None,
            fresh=probe.is_current(now_s),
            rate_c_per_min=probe.rate_c_per_min,
            probe=probe.status(now_s),
            times_s=probe.track.times_s,
            temps_c=probe.track.temps_c,
            track_version=probe.version,
        )


def announced(kind: ActionKind, chill_c: float) -> tuple[float, float]:
    """How far, in kelvin, and how long, in seconds, readings may leave their path after a step."""
    by_k, for_s = MOVES.get(kind, (0.0, 0.0))
    return (by_k + (1.0 + CHILL_SPREAD) * chill_c, for_s) if kind is ActionKind.OIL_IN else (by_k, for_s)

"""A probe in the wax and one in its bath: what each of them cannot show beside the other."""

from dataclasses import dataclass

from candlebench.core.suspicion import Fault, Suspicion
from candlebench.core.units import Shown
from candlebench.words import tr

# On the heat the bath warms the wax: it is warmer, but for the errors of two kitchen probes (1 K each, T8).
# A bath that was topped up with cold water is colder than the wax for a while.
WARMER_K, WARMER_FOR_S = 3.0, 300.0
# Two probes show the same when no more than noise and lag of the slower one are between them.
SAME_K = 1.5
# Only probes that were this far apart can be told from each other when they change places.
APART_K = 5.0
# So soon after each other both jump when they are swapped.
TOGETHER_S = 40.0
# A reading of the other probe older than this says nothing about now.
CURRENT_S = 60.0


@dataclass(frozen=True, slots=True)
class Level:
    """Where a probe was before it left its path, and where it is now."""

    before_c: float
    now_c: float
    left_s: float | None
    at_s: float


class TwoProbes:
    """Compares the probe in the wax with the one in the bath."""

    def __init__(self) -> None:
        self._warmer_since_s: float | None = None

    def restart(self) -> None:
        """After a gap or a lift nothing has lasted."""
        self._warmer_since_s = None

    def compared(self, wax: Level, bath: Level, on_heat: bool, shown: Shown) -> Suspicion | None:
        """Return what is wrong with the two, seen together; None when nothing is.

        Parameters
        ----------
        wax, bath : Level
            `left_s` is when the probe left its path, None while it follows it.
        on_heat : bool
            Whether the jug stands in the bath, heated.
        """
        if abs(wax.at_s - bath.at_s) > CURRENT_S:
            return None
        moved = _moved(wax, bath)
        if moved is not None:
            self._warmer_since_s = None
            return moved
        return self._warmer_than_bath(wax, bath, on_heat, shown)

    def _warmer_than_bath(self, wax: Level, bath: Level, on_heat: bool, shown: Shown) -> Suspicion | None:
        doubted = wax.left_s is not None or bath.left_s is not None
        if not on_heat or doubted or wax.now_c - bath.now_c <= WARMER_K:
            self._warmer_since_s = None
            return None
        now_s = max(wax.at_s, bath.at_s)
        if self._warmer_since_s is None:
            self._warmer_since_s = now_s
        if now_s - self._warmer_since_s < WARMER_FOR_S:
            return None
        text = tr(
            "On the heat the wax ({wax}) cannot stay warmer than its bath ({bath}): look where the two "
            "probes hang, and that the jug does not stand on the pan."
        ).format(wax=shown.temp(wax.now_c), bath=shown.temp(bath.now_c))
        return Suspicion(Fault.APART, self._warmer_since_s, text)


def _moved(wax: Level, bath: Level) -> Suspicion | None:
    """The wax probe that shows the bath, or two that have changed places."""
    if wax.left_s is None or abs(wax.before_c - bath.before_c) < APART_K:
        return None
    if bath.left_s is not None and abs(wax.left_s - bath.left_s) <= TOGETHER_S:
        crossed_k = max(abs(wax.now_c - bath.before_c), abs(bath.now_c - wax.before_c))
        if crossed_k <= SAME_K:
            text = tr("The two probes seem to have changed places: put each back where it was.")
            return Suspicion(Fault.SWAPPED, min(wax.left_s, bath.left_s), text)
        return None
    if bath.left_s is None and abs(wax.now_c - bath.now_c) <= SAME_K:
        text = tr(
            "The probe of the wax shows what the bath has: it may have slipped into the water or onto "
            "the wall. Hang it into the middle of the wax."
        )
        return Suspicion(Fault.IN_THE_BATH, wax.left_s, text)
    return None

"""How a debrief says differences and lengths of time that are over."""

from candlebench.core.units import Shown, about
from candlebench.words import tr


def off_words(off_c: float | None, shown: Shown) -> str:
    """'inside', '3.1 °C too hot', '1.0 °C too cool', or a dash."""
    if off_c is None:
        return "–"
    if off_c == 0.0:
        return tr("inside")
    text = tr("{off} too hot") if off_c > 0.0 else tr("{off} too cool")
    return text.format(off=shown.drop(abs(off_c)))


def minutes(seconds: float) -> str:
    """'0 min', '2.0 min', '13 min'."""
    if seconds <= 0.0:
        return tr("0 min")
    digits = 1 if seconds < 597.0 else 0
    return tr("{minutes} min").format(minutes=f"{seconds / 60.0:.{digits}f}")


def lasted(seconds: float) -> str:
    """'25 s', '8 min'."""
    return tr("{seconds:.0f} s").format(seconds=seconds) if seconds < 90.0 else about(seconds)


def percents(*kept: float) -> tuple[str, ...]:
    """Shares kept as per cent, with as many decimals as still show the least that went off."""
    least_lost = 1.0 - max(kept)
    digits = 0 if least_lost >= 0.05 else 1 if least_lost >= 0.001 else 2
    return tuple(f"{100.0 * share:.{digits}f}" for share in kept)

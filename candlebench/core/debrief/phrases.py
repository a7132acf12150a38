"""How a debrief says differences, lengths of time that are over, and what is left of the scent."""

from candlebench.core.units import Shown, clock_face
from candlebench.words import tr

# An estimate good to a factor of two tells no more than this of what was kept. Design decision.
NEARLY_ALL = 0.99
# Beside a good run: less than the first is no difference, from the second on it is twice as much.
NO_MORE, TWICE = 1.3, 1.75


def off_words(off_c: float | None, shown: Shown) -> str:
    """'inside', '3.1 °C too hot', '1.0 °C too cool', or a dash."""
    if off_c is None:
        return "–"
    if off_c == 0.0:
        return tr("inside")
    text = tr("{off} too hot") if off_c > 0.0 else tr("{off} too cool")
    return text.format(off=shown.drop(abs(off_c)))


def lasted(seconds: float) -> str:
    """'0:25', '8:00', '1:02:05': every length of time in a debrief."""
    return clock_face(round(seconds))


def how_long(seconds: float) -> str:
    """`lasted`, or 'never'."""
    return lasted(seconds) if seconds > 0.0 else tr("never")


def late_or_early(off_by_s: float) -> str:
    """'0:48 too early', '1:00 too late', 'right': what was said of when something would come."""
    if abs(off_by_s) < 5.0:
        return tr("right")
    text = tr("{time} too late") if off_by_s > 0.0 else tr("{time} too early")
    return text.format(time=lasted(abs(off_by_s)))


def scent_words(kept: float, kept_low: float) -> str:
    """'more than 99 %', or 'about 96 %'; shares of one, `kept_low` the least that may be left."""
    if kept_low >= NEARLY_ALL:
        return tr("more than 99 %")
    return tr("about {kept} %").format(kept=percent(kept))


def percent(kept: float) -> str:
    """A share as whole per cent; 100 would say that nothing went off."""
    return f"{min(99.0, 100.0 * kept):.0f}"


def times_words(times_right: float) -> str:
    """'seven times the loss of a good run'."""
    if times_right < NO_MORE:
        return tr("no more lost than in a good run")
    if times_right < TWICE:
        return tr("one and a half times the loss of a good run")
    words = (
        tr("twice"),
        tr("three times"),
        tr("four times"),
        tr("five times"),
        tr("six times"),
        tr("seven times"),
        tr("eight times"),
        tr("nine times"),
    )
    whole = max(2, round(times_right))
    times = words[whole - 2] if whole - 2 < len(words) else tr("{whole} times").format(whole=whole)
    return tr("{times} the loss of a good run").format(times=times)

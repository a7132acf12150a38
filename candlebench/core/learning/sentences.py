"""What has been learned, in a maker's words."""

from candlebench.core.known import KnownJug, KnownProbe, KnownWax
from candlebench.core.learning.lesson import JugLesson, ProbeLesson, WaxLesson
from candlebench.core.units import Shown
from candlebench.words import tr, tr_count

# Rounded so that the least digit means something.
_LEAST_TENTH = 0.05


def wax_sentence(known: KnownWax, shown: Shown, by_hand: bool = False) -> str:
    """'This lot sets at 62.8 °C, give or take 0.3 (two melts).'"""
    text = tr("This lot sets at {temp}, give or take {spread} ({melts}).")
    return text.format(
        temp=f"{shown.number(known.knee_c):.1f} {shown.sign}",
        spread=_spread(shown.difference(known.knee_sd_k)),
        melts=_melts(known.melts, by_hand),
    )


def jug_sentence(known: KnownJug, shown: Shown, by_hand: bool = False) -> str:
    """'With 700 g in it this jug loses 0.84 °C a minute when it is 50 °C warmer than the room ...'"""
    text = tr(
        "With {grams:.0f} g in it this jug loses {loss:.2f} {unit} a minute when it is {above:.0f} {unit} "
        "warmer than the room, give or take {spread:.2f} ({melts})."
    )
    loss = shown.difference(known.loss_k_per_min)
    return text.format(
        grams=known.fill_g,
        loss=loss,
        unit=shown.sign,
        above=shown.difference(50.0),
        spread=max(0.01, loss * known.sd_log),
        melts=_melts(known.melts, by_hand),
    )


def probe_sentence(known: KnownProbe, by_hand: bool = False) -> str:
    """'This probe follows 8 s behind the wax, give or take 2 (one melt).'"""
    text = tr("This probe follows {lag:.0f} s behind the wax, give or take {spread:.0f} ({melts}).")
    return text.format(
        lag=known.lag_s, spread=max(1.0, known.lag_s * known.sd_log), melts=_melts(known.melts, by_hand)
    )


def known_sentence(known: KnownWax | KnownJug | KnownProbe, shown: Shown, by_hand: bool = False) -> str:
    """The sentence for whatever it is."""
    match known:
        case KnownWax():
            return wax_sentence(known, shown, by_hand)
        case KnownJug():
            return jug_sentence(known, shown, by_hand)
        case KnownProbe():
            return probe_sentence(known, by_hand)


def lesson_words(lesson: WaxLesson | JugLesson | ProbeLesson, shown: Shown) -> str:
    """One melt's value: '62.6 °C, give or take 0.4, seen while it set'."""
    match lesson:
        case WaxLesson():
            seen = tr("seen while it set") if lesson.seen == "cooling" else tr("seen while it melted")
            return tr("{temp}, give or take {spread}, {seen}").format(
                temp=f"{shown.number(lesson.knee_c):.1f} {shown.sign}",
                spread=_spread(shown.difference(lesson.knee_sd_k)),
                seen=seen,
            )
        case JugLesson():
            loss = shown.difference(lesson.loss_k_per_min)
            return tr("{loss:.2f} {unit} a minute with {grams:.0f} g, give or take {spread:.2f}").format(
                loss=loss, unit=shown.sign, grams=lesson.fill_g, spread=max(0.01, loss * lesson.sd_log)
            )
        case ProbeLesson():
            spread = max(1.0, lesson.lag_s * lesson.sd_log)
            return tr("{lag:.0f} s, give or take {spread:.0f}").format(lag=lesson.lag_s, spread=spread)


def _spread(value: float) -> str:
    return f"{max(value, _LEAST_TENTH):.1f}"


def _melts(count: int, by_hand: bool) -> str:
    if not count:
        return tr("as you said")
    words = tr_count("{count} melt", "{count} melts", count).format(count=_number(count))
    return tr("as you said, and {melts} since").format(melts=words) if by_hand else words


def _number(count: int) -> str:
    small = (tr("one"), tr("two"), tr("three"), tr("four"), tr("five"), tr("six"))
    return small[count - 1] if 1 <= count <= len(small) else str(count)

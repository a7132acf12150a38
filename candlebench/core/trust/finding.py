"""What a check found, in sentences: the correction, its class, what to be careful about, and drift."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from candlebench.core.correction import Correction
from candlebench.core.trust.check import CheckedPoint, ProbeCheck
from candlebench.core.trust.classes import UNNAMED_CLASS, ProbeClass, Verdict, find_class, judged
from candlebench.core.trust.line import (
    correction_of,
    disagree,
    reading_sd_k,
    shares_at,
    tells_slope,
    uncertainty_k,
)
from candlebench.core.trust.points import COVERAGE, PointKind
from candlebench.core.units import Shown
from candlebench.words import tr

# Where a melt needs it: the oil goes in and the jars are poured about 70, the wax darkens at 85 (waxes.toml).
SHOWN_AT_C = (70.0, 85.0)
# Common practice, no source.
OLD_DAYS = 365
# An error this many times its class allows is more likely a slip of the check. Design decision.
SUSPECT_TIMES = 1.5
# Beyond the outermost points by more than this, the line is only a guess.
BEYOND_K = 15.0
# Wider than this the correction says little that an uncorrected good kitchen probe would not (row T8).
WIDE_K = 1.0


@dataclass(frozen=True, slots=True)
class TrueAt:
    """Where the probe shows `read_c` it is `true_c`, give or take `uncertainty_k` (95 %)."""

    read_c: float
    true_c: float
    uncertainty_k: float


@dataclass(frozen=True, slots=True)
class PointVerdict:
    """How one point compares with the tolerance of the probe's class.

    Attributes
    ----------
    kind : PointKind
    true_c, error_k, uncertainty_k, tolerance_k : float
        Temperature there, what the probe showed minus that, half-width of its 95 % interval, and what the
        class allows.
    verdict : Verdict
    text : str
        One sentence.
    """

    kind: PointKind
    true_c: float
    error_k: float
    uncertainty_k: float
    tolerance_k: float
    verdict: Verdict
    text: str


@dataclass(frozen=True, slots=True)
class Finding:
    """What a check found.

    Attributes
    ----------
    correction : Correction
        To be used from now on.
    true_at : tuple of TrueAt
        At 70 and 85 C shown.
    headline : str
        What it comes to, one sentence.
    verdicts : tuple of PointVerdict
        One a point; empty when the probe's class is not known.
    class_text : str
        All of them in one sentence where they agree; '' when the class is not known.
    mostly : str
        What makes it uncertain most, and what would help.
    drift : str
        How it compares with the check before; '' without one.
    cautions : tuple of str
        What to be careful about, a sentence each.
    """

    correction: Correction
    true_at: tuple[TrueAt, ...]
    headline: str
    verdicts: tuple[PointVerdict, ...]
    class_text: str
    mostly: str
    drift: str
    cautions: tuple[str, ...]


def finding(check: ProbeCheck, today: date, shown: Shown, earlier: Correction | None = None) -> Finding:
    """Return what a check found.

    Parameters
    ----------
    check : ProbeCheck
    today : date
        For the age of the check.
    shown : Shown
        The unit of the sentences.
    earlier : Correction or None
        Of the check before, for the drift.

    Raises
    ------
    FixableError
        No class is called as the check says.
    """
    correction = correction_of(check)
    true_at = tuple(
        TrueAt(read_c, correction.true_c(read_c), uncertainty_k(check, read_c)) for read_c in SHOWN_AT_C
    )
    known = find_class(check.class_name) if check.class_name else None
    verdicts = () if known is None else tuple(_verdict(each, check, known, shown) for each in check.points)
    return Finding(
        correction,
        true_at,
        correction_text(correction, shown),
        verdicts,
        "" if known is None else _class_text(known, verdicts, shown),
        _mostly(check, shown),
        "" if earlier is None else drift_text(earlier, correction, shown),
        (*_check_cautions(check, correction, shown), *age_cautions(correction, today)),
    )


def correction_text(correction: Correction, shown: Shown) -> str:
    """'When it shows 70 °C it is 70.6 °C, and 85 °C is 85.8 °C, give or take 0.5 °C at the most.'"""
    low_c, high_c = SHOWN_AT_C
    text = tr("When it shows {low} it is {true_low}, and {high} is {true_high}, give or take {spread}.")
    return text.format(
        low=shown.temp(low_c),
        true_low=_tenths(correction.true_c(low_c), shown),
        high=shown.temp(high_c),
        true_high=_tenths(correction.true_c(high_c), shown),
        spread=spread_words(correction.uncertainty_k, shown),
    )


def spread_words(half_width_k: float, shown: Shown) -> str:
    """'0.5 °C': a half-width in the shown unit, rounded up to a tenth, so that it never promises more."""
    return f"{math.ceil(round(10.0 * shown.difference(half_width_k), 6)) / 10.0:.1f} {shown.sign}"


def age_cautions(correction: Correction, today: date) -> tuple[str, ...]:
    """Return why a correction may no longer hold by its day: over a year old, or not yet made."""
    day = date.fromisoformat(correction.checked_on)
    if day > today:
        text = tr("This check is dated {day}, which is still to come: look at the computer's date.")
        return (text.format(day=correction.checked_on),)
    if (today - day).days > OLD_DAYS:
        text = tr("This check is of {day}, over a year ago: check the probe again.")
        return (text.format(day=correction.checked_on),)
    return ()


def drift_text(old: Correction, new: Correction, shown: Shown) -> str:
    """Return in words how a probe has changed between two checks, where the wax darkens."""
    at_c = SHOWN_AT_C[1]
    # What is shown for the same true temperature rises by what the correction falls.
    higher_k = old.true_c(at_c) - new.true_c(at_c)
    told_k = math.hypot(old.uncertainty_k, new.uncertainty_k)
    if abs(higher_k) <= told_k:
        text = tr("Since {day} it has not drifted by more than the two checks can tell ({spread}).")
        return text.format(day=old.checked_on, spread=spread_words(told_k, shown))
    text = tr("Since {day} it has come to show {drift} more at {temp}: check it again soon.")
    if higher_k < 0.0:
        text = tr("Since {day} it has come to show {drift} less at {temp}: check it again soon.")
    return text.format(day=old.checked_on, drift=shown.drop(abs(higher_k)), temp=shown.temp(at_c))


def _tenths(temp_c: float, shown: Shown) -> str:
    return f"{shown.number(temp_c):.1f} {shown.sign}"


def _error_uncertainty_k(each: CheckedPoint, check: ProbeCheck) -> float:
    """Half-width of the 95 % interval of the error at a point itself, not of the line there."""
    return COVERAGE * math.hypot(each.point.sd_k, reading_sd_k(each, check.step_k))


def _error_words(error_k: float, shown: Shown) -> str:
    text = tr("{error} too high") if error_k >= 0.0 else tr("{error} too low")
    return text.format(error=shown.drop(abs(error_k)))


def _verdict(each: CheckedPoint, check: ProbeCheck, known: ProbeClass, shown: Shown) -> PointVerdict:
    true_c, error_k = each.point.true_c, each.error_k
    allowed_k, told_k = known.tolerance_k(true_c), _error_uncertainty_k(each, check)
    verdict = judged(error_k, told_k, allowed_k)
    text = {
        Verdict.WITHIN: tr("At {temp} it reads {error}, within “{name}” ({allowed})."),
        Verdict.OUTSIDE: tr("At {temp} it reads {error}, outside “{name}” ({allowed})."),
        Verdict.UNDECIDED: tr(
            "At {temp} it reads {error}, give or take {told}: too close to call for “{name}” ({allowed})."
        ),
    }[verdict].format(
        temp=_tenths(true_c, shown),
        error=_error_words(error_k, shown),
        name=known.shown_name,
        allowed=f"{shown.difference(allowed_k):.2f} {shown.sign}",
        told=spread_words(told_k, shown),
    )
    return PointVerdict(each.point.kind, true_c, error_k, told_k, allowed_k, verdict, text)


def _class_text(known: ProbeClass, verdicts: tuple[PointVerdict, ...], shown: Shown) -> str:
    if all(each.verdict is Verdict.WITHIN for each in verdicts):
        places = tr(" and at ").join(_tenths(each.true_c, shown) for each in verdicts)
        return tr("It keeps to “{name}” at {places}.").format(name=known.shown_name, places=places)
    return " ".join(each.text for each in verdicts)


def _mostly(check: ProbeCheck, shown: Shown) -> str:
    shares = shares_at(check, SHOWN_AT_C[1])
    line_text = tr("Most of it is what may be off between the points: a third one near {temp} would help.")
    if not tells_slope(check):
        line_text = tr("Most of it is that no second temperature far from the first was checked.")
    texts = (
        (shares.air_k, tr("Most of it is the weather: give the air pressure, and it becomes surer.")),
        (shares.points_k, tr("Most of it is how exactly the known temperatures themselves are met.")),
        (shares.readings_k, tr("Most of it is how the readings scatter: read several times.")),
        (shares.digit_k, tr("Most of it is the step of the display.")),
        (shares.line_k, line_text),
    )
    return max(texts)[1].format(temp=shown.temp(SHOWN_AT_C[0]))


def _check_cautions(check: ProbeCheck, correction: Correction, shown: Shown) -> Iterator[str]:
    yield from _suspects(check, shown)
    if len(check.points) > 1 and not tells_slope(check):
        yield tr(
            "The points lie close together, so that only one offset for all temperatures could be told: "
            "check at ice and boiling water too."
        )
    shown_c = [each.reading.read_c for each in check.points]
    if tells_slope(check) and max(shown_c) + BEYOND_K < SHOWN_AT_C[1]:
        yield tr("No point was checked near {temp}, so that the line goes beyond what was checked.").format(
            temp=shown.temp(SHOWN_AT_C[1])
        )
    if disagree(check):
        yield tr("The points do not agree with one line: repeat the one that you trust least.")
    if correction.uncertainty_k > WIDE_K:
        yield tr("This check is not sharper than a good kitchen probe by itself ({spread}).").format(
            spread=spread_words(correction.uncertainty_k, shown)
        )


def _suspects(check: ProbeCheck, shown: Shown) -> Iterator[str]:
    """Points that are further off than such a probe may be."""
    known = find_class(check.class_name or UNNAMED_CLASS)
    for each in check.points:
        allowed_k = SUSPECT_TIMES * known.tolerance_k(each.point.true_c)
        if abs(each.error_k) - _error_uncertainty_k(each, check) > allowed_k:
            text = tr(
                "{error} at {temp} is more than such a probe should be off: repeat the check, and if it "
                "stays, do not trust the probe."
            )
            yield text.format(error=_error_words(each.error_k, shown), temp=_tenths(each.point.true_c, shown))

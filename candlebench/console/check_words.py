"""What `candlebench check` prints: lines for people, and rows for programs."""

from dataclasses import asdict, dataclass
from datetime import date
from typing import Any

from candlebench.core.trust.check import ProbeCheck
from candlebench.core.trust.finding import Finding, age_cautions, correction_text
from candlebench.core.trust.guides import guide_to, guide_to_plunge
from candlebench.core.trust.lag import wax_lag_text, with_plunge
from candlebench.core.trust.plunge import Plunge, plunge_text
from candlebench.core.trust.points import point_words
from candlebench.core.units import Shown
from candlebench.records.probes import Kept, Probes
from candlebench.words import tr


@dataclass(frozen=True, slots=True)
class Known:
    """What is known of one probe: lines for people, a row for programs."""

    lines: tuple[str, ...]
    row: dict[str, Any]


def check_lines(check: ProbeCheck, found: Finding, shown: Shown) -> list[str]:
    """Return the lines of a new check."""
    lines = [_point_line(check, n, shown) for n in range(len(check.points))]
    lines.append(found.headline)
    correction = found.correction
    lines.append(
        tr("Correction: {gain} times what it shows, {offset} °C, checked {day}.").format(
            gain=f"{correction.gain:.4f}",
            offset=f"{correction.offset_c:+.2f}",
            day=correction.checked_on,
        )
    )
    lines += [text for text in (found.class_text, found.mostly, found.drift) if text]
    kinds = dict.fromkeys(each.point.kind for each in check.points)
    hazards = [caution for kind in kinds for caution in guide_to(kind, shown).cautions]
    return [*lines, *(tr("Caution: {text}").format(text=text) for text in (*found.cautions, *hazards))]


def plunge_lines(plunge: Plunge) -> list[str]:
    """Return the lines of a new plunge test."""
    return [plunge_text(plunge), wax_lag_text(with_plunge(None, plunge))]


def plunge_cautions(shown: Shown) -> list[str]:
    """Return what to take care of at the next plunge test."""
    return [tr("Caution: {text}").format(text=text) for text in guide_to_plunge(shown).cautions]


def json_of(
    probe: str, check: ProbeCheck, found: Finding | None, plunge: Plunge | None, kept: bool
) -> dict[str, Any]:
    """Return a new check or plunge test as one row."""
    row: dict[str, Any] = {"probe": probe, "kept": kept, "correction": None, "plunge": None}
    if found is not None:
        row |= {
            "correction": asdict(found.correction),
            "points": [
                {
                    "kind": each.point.kind.value,
                    "shown_c": round(each.reading.read_c, 3),
                    "true_c": round(each.point.true_c, 3),
                    "true_sd_k": round(each.point.sd_k, 3),
                }
                for each in check.points
            ],
            "true_at": [{key: round(n, 3) for key, n in asdict(at).items()} for at in found.true_at],
            "class": check.class_name or None,
            "verdicts": [
                asdict(each) | {"kind": each.kind.value, "verdict": each.verdict.value}
                for each in found.verdicts
            ],
            "drift": found.drift,
            "cautions": list(found.cautions),
        }
    if plunge is not None:
        row["plunge"] = _plunge_row(plunge)
    return row


def what_is_known(name: str, probes: Probes, shown: Shown, today: date) -> Known:
    """Return what is known of a probe, and its history."""
    history, correction, plunge = probes.history(name), probes.correction(name), probes.plunge(name)
    shown_name = history[-1].name if history else name
    lines = [tr("“{probe}” has not been checked: it is used as it reads.").format(probe=shown_name)]
    if correction is not None:
        told = tr("“{probe}”, checked {day}: {text}")
        text = correction_text(correction, shown)
        lines = [told.format(probe=shown_name, day=correction.checked_on, text=text)]
        lines += age_cautions(correction, today)
    if plunge is not None:
        lines += plunge_lines(plunge)
    lines += [f"  {_history_line(kept, shown)}" for kept in history]
    row = {
        "probe": shown_name,
        "correction": None if correction is None else asdict(correction),
        "plunge": None if plunge is None else _plunge_row(plunge),
        "history": [_history_row(kept) for kept in history],
    }
    return Known(tuple(lines), row)


def _point_line(check: ProbeCheck, number: int, shown: Shown) -> str:
    each = check.points[number]
    return tr("{point}: it showed {number} {sign}.").format(
        point=point_words(each.point, shown),
        number=f"{shown.number(each.reading.read_c):.2f}",
        sign=shown.sign,
    )


def _history_line(kept: Kept, shown: Shown) -> str:
    if isinstance(kept.what, Plunge):
        text = f"{kept.what.tested_on}  {plunge_text(kept.what)}"
    else:
        told = "" if kept.correction is None else correction_text(kept.correction, shown)
        text = f"{kept.what.checked_on}  {told}"
    return tr("{text} (not used)").format(text=text) if kept.forgotten else text


def _history_row(kept: Kept) -> dict[str, Any]:
    if isinstance(kept.what, Plunge):
        row = {"kind": "plunge", "on": kept.what.tested_on, "lag_s": round(kept.what.lag_s, 2)}
    else:
        correction = None if kept.correction is None else asdict(kept.correction)
        row = {"kind": "check", "on": kept.what.checked_on, "correction": correction}
    return {**row, "uuid": str(kept.uuid), "forgotten": kept.forgotten}


def _plunge_row(plunge: Plunge) -> dict[str, Any]:
    wax = with_plunge(None, plunge)
    return {
        **asdict(plunge),
        "medium": plunge.medium.value,
        "lag_s": round(plunge.lag_s, 3),
        "low_s": round(plunge.low_s, 3),
        "high_s": round(plunge.high_s, 3),
        "in_wax": {"lag_s": round(wax.lag_s, 2), "sd_log": round(wax.sd_log, 3)},
    }

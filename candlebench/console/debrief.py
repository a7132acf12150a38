"""`candlebench debrief`: how a recorded melt went, in words, as JSON, or as a PDF."""

import json
import os
import sys
from dataclasses import asdict
from pathlib import Path
from typing import Any

from candlebench.console.records import reading_journal
from candlebench.core.debrief.advice import advice
from candlebench.core.debrief.attempt import Attempt, attempt_of, compared
from candlebench.core.debrief.chance import Chance
from candlebench.core.debrief.foreseen import foreseen_rows
from candlebench.core.debrief.judge import Debrief, full_debrief
from candlebench.core.debrief.rows import rows
from candlebench.core.errors import FixableError
from candlebench.core.units import Shown
from candlebench.records.attempts import earlier_attempts
from candlebench.records.folders import data_folder
from candlebench.words import tr


def debrief_melt(name: str, data: Path | None, as_json: bool, pdf: Path | None, paper: str) -> int:
    """Debrief a recorded melt: print it, and write it as a PDF where one is wanted.

    Parameters
    ----------
    name : str
        'latest', or the first letters of a melt's identity.
    data : Path or None
        Data folder.
    as_json : bool
        One JSON object instead of words.
    pdf : Path or None
        The file to write.
    paper : str
        'a4' or 'letter'.

    Raises
    ------
    FixableError
        No such melt, it cannot be read, or the PDF cannot be written.
    """
    folder = data_folder(data, os.environ, sys.platform, Path.home())
    with reading_journal(folder) as records:
        summary = records.find(name)
        try:
            debrief = full_debrief(recorded.event for recorded in records.events(summary.uuid))
        except ValueError:
            text = tr("{title} has no beginning in the records: choose another melt.")
            raise FixableError(text.format(title=summary.title or summary.uuid)) from None
        attempts = earlier_attempts(records, summary.uuid, debrief.story.setup)
    now, shown = attempt_of(summary.uuid, debrief), Shown()
    if as_json:
        print(json.dumps(as_object(debrief, now, attempts, shown), ensure_ascii=False, allow_nan=False))
    else:
        _print(debrief, now, attempts, shown)
    if pdf is not None:
        _write_pdf(pdf, debrief, attempts, shown, paper)
        print(tr("Written to {file}.").format(file=pdf), file=sys.stderr)
    return 0


def as_object(debrief: Debrief, now: Attempt, attempts: tuple[Attempt, ...], shown: Shown) -> dict[str, Any]:
    """Return the debrief as plain values: seconds, degrees Celsius, shares of one; null where not known."""
    heat, oil, pour, scent = debrief.heat, debrief.oil, debrief.pour, debrief.scent
    return {
        "melt": str(now.melt),
        "title": debrief.story.setup.title,
        "began_wall_s": now.began_wall_s,
        "heat": asdict(heat),
        "oil": None
        if oil is None
        else {
            "done_s": oil.done_s,
            "temp_c": oil.temp_c,
            "read_before_s": oil.read_before_s,
            "off_by_c": oil.off_by_c,
            "on_heat": oil.on_heat,
            "stirring_s": oil.stirring_s,
            "landed_c": oil.landed_c,
            "landed_off_c": oil.landed_off_c,
            "window": _chance(oil.chance),
        },
        "pour": {
            "done_s": pour.done_s,
            "temp_c": pour.temp_c,
            "read_before_s": pour.read_before_s,
            "off_by_c": pour.off_by_c,
            "window": _chance(pour.chance),
        },
        "scent_estimate": asdict(scent),
        "drift": None if debrief.drift is None else asdict(debrief.drift),
        "forecasts": [
            {
                "what": kept.what,
                "target_c": kept.target_c,
                "lead_s": kept.lead_s,
                "said_s": kept.in_s,
                "took_s": kept.took_s,
                "inside_band": kept.outcome.value == "inside",
            }
            for kept in debrief.foretold
        ],
        "guesses": [
            {
                "target_c": each.guess.target_c,
                "guessed_s": each.guess.in_s,
                "forecast_s": None if each.forecast is None else each.forecast.in_s,
                "took_s": each.took_s,
            }
            for each in debrief.guesses
        ],
        "advice": list(advice(debrief, shown)),
        "earlier_attempts": [{**asdict(each), "melt": str(each.melt)} for each in attempts],
    }


def _chance(chance: Chance) -> dict[str, Any]:
    return {
        "safe": chance.safe,
        "low_c": chance.window.low_c,
        "useful_end_c": chance.window.end_c,
        "high_c": chance.window.high_c,
        "spans_s": [list(span) for span in chance.spans],
        "opened_s": chance.opened_s,
        "closed_s": chance.closed_s,
        "best_s": chance.best_s,
        "best_c": chance.best_c,
        "estimated_from_s": chance.drawn_on_s,
    }


def _print(debrief: Debrief, now: Attempt, attempts: tuple[Attempt, ...], shown: Shown) -> None:
    print(debrief.story.setup.title)
    for sentence in advice(debrief, shown):
        print(f"  {sentence}")
    if attempts:
        print(f"  {compared(now, attempts[0], shown)}")
    for group in (rows(debrief, shown), foreseen_rows(debrief, shown)):
        if group:
            print()
        name_width = max((len(row.name) for row in group), default=0)
        value_width = max((len(row.value) for row in group), default=0)
        for row in group:
            print(f"  {row.name:<{name_width}}  {row.value:<{value_width}}  {row.why}")
    print()
    print(tr("Scent and times marked ~ are estimates. Data sheets and local rules come first."))


def _write_pdf(file: Path, debrief: Debrief, attempts: tuple[Attempt, ...], shown: Shown, paper: str) -> None:
    # Only here, so that the console works without Qt; and no screen is needed to write a file.
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    from PySide6.QtGui import QGuiApplication

    from candlebench.ui.debrief_paper import write_debrief_pdf

    app = QGuiApplication.instance() or QGuiApplication(["candlebench"])
    write_debrief_pdf(str(file), debrief, attempts, shown, paper)
    del app

"""`candlebench learned`: what earlier melts taught, and how the forecasts fared."""

import json
import math
import os
import sys
import time
from collections.abc import Callable
from dataclasses import asdict
from datetime import datetime
from pathlib import Path
from typing import Any

from candlebench.core.errors import FixableError
from candlebench.core.learning.drift import drift_sentence
from candlebench.core.learning.sentences import known_sentence, lesson_words
from candlebench.core.track_record import Score
from candlebench.core.units import Shown
from candlebench.records.folders import data_folder, rescue_places
from candlebench.records.journal import open_journal
from candlebench.records.lesson_rows import Learned
from candlebench.records.lessons import KINDS, Lessons
from candlebench.records.lock import DataLock
from candlebench.records.opening import FILE_NAME
from candlebench.words import tr

_ORIGINS = ("live", "practice")


def show_learned(data: Path | None, as_json: bool) -> int:
    """Print the track record and what is known of each lot, jug and probe.

    Raises
    ------
    FixableError
        The records cannot be read.
    """
    path = data_folder(data, os.environ, sys.platform, Path.home()) / FILE_NAME
    lessons = Lessons(lambda: path)
    learned = lessons.learned() if path.exists() else ()
    scores = {origin: lessons.score(origin) for origin in _ORIGINS} if path.exists() else {}
    if as_json:
        rows = {
            "forecasts": {origin: _score_row(score) for origin, score in scores.items()},
            "learned": [_row(thing) for thing in learned],
        }
        print(json.dumps(rows))
        return 0
    if "live" in scores:
        print(" ".join(part for part in (scores["live"].sentence, scores["live"].widen_sentence) if part))
    if not learned:
        print(tr("Nothing has been learned yet: name the lot, the jug and the probe of a melt."))
    for thing in learned:
        for line in _lines(thing):
            print(line)
    return 0


def forget_learned(data: Path | None, kind: str, name: str, practice: bool) -> int:
    """Use nothing any more of what was learned about one lot, jug or probe.

    Raises
    ------
    FixableError
        It is not known, or the records are open in a window.
    """
    _check_kind(kind)
    _change(data, lambda lessons: lessons.forget(kind, name, _origin(practice), time.time()))
    print(tr("“{name}” is forgotten; later melts teach it anew.").format(name=name))
    return 0


def say_learned(data: Path | None, kind: str, name: str, value: str, practice: bool) -> int:
    """Keep what the person says herself of one lot (°C), jug (K a minute) or probe (s).

    Raises
    ------
    FixableError
        It cannot be so, or the records are open in a window.
    """
    _check_kind(kind)
    try:
        number = float(value.replace(",", "."))
    except ValueError as error:
        raise FixableError(tr("“{value}” is no number: write one like 63.0.").format(value=value)) from error
    _change(data, lambda lessons: lessons.say(kind, name, _origin(practice), number, time.time()))
    print(tr("“{name}”: {value:g} is used from now on.").format(name=name, value=number))
    return 0


def _change(data: Path | None, change: Callable[[Lessons], None]) -> None:
    folder = data_folder(data, os.environ, sys.platform, Path.home())
    places = rescue_places(os.environ, Path.home())
    with DataLock(folder, places):
        journal = open_journal(folder, places, _say, _say)
        try:
            change(Lessons(lambda: journal.path))
        finally:
            for sentence in journal.close():
                _say(sentence)


def _check_kind(kind: str) -> None:
    if kind not in KINDS:
        raise FixableError(
            tr("“{kind}” cannot be learned about: write one of {kinds}.").format(
                kind=kind, kinds=", ".join(KINDS)
            )
        )


def _origin(practice: bool) -> str:
    return "practice" if practice else "live"


def _say(sentence: str) -> None:
    if sentence:
        print(sentence, file=sys.stderr, flush=True)


def _lines(thing: Learned) -> list[str]:
    shown = Shown()
    name = thing.name if thing.origin == "live" else tr("{name} (practice)").format(name=thing.name)
    known = tr("nothing of it is used")
    if thing.known is not None:
        known = known_sentence(thing.known, shown, thing.said is not None)
    lines = [f"{thing.kind} {name}: {known}"]
    if thing.drift is not None:
        lines.append(f"  {drift_sentence(thing.drift, shown)}")
    for kept in thing.lessons:
        words = kept.why if kept.lesson is None else lesson_words(kept.lesson, shown)
        if kept.forgotten:
            words = tr("{words}: left out").format(words=words)
        lines.append(f"  {str(kept.melt)[:8]}  {_day(kept.began_wall_s)}  {words}")
    return lines


def _day(wall_s: float) -> str:
    return datetime.fromtimestamp(wall_s).astimezone().strftime("%Y-%m-%d %H:%M")


def _score_row(score: Score) -> dict[str, Any]:
    return {
        "compared": len(score.last),
        "inside": score.held,
        "typical_miss_s": None if score.miss_s is None else round(score.miss_s, 1),
        "widen": round(score.widen, 3),
        "last": [
            {
                "what": kept.what,
                "target_c": kept.target_c,
                "lead_s": kept.lead_s,
                "low_s": round(kept.low_s, 1),
                "in_s": round(kept.in_s, 1),
                "high_s": round(kept.high_s, 1) if math.isfinite(kept.high_s) else None,
                "took_s": None if kept.took_s is None else round(kept.took_s, 1),
                "outcome": kept.outcome.value,
            }
            for kept in score.last
        ],
    }


def _row(thing: Learned) -> dict[str, Any]:
    return {
        "kind": thing.kind,
        "name": thing.name,
        "origin": thing.origin,
        "said": thing.said,
        "known": None if thing.known is None else asdict(thing.known),
        "sentence": ""
        if thing.known is None
        else known_sentence(thing.known, Shown(), thing.said is not None),
        "drift": None if thing.drift is None else asdict(thing.drift),
        "melts": [
            {
                "melt": str(kept.melt),
                "began": datetime.fromtimestamp(kept.began_wall_s).astimezone().isoformat(timespec="seconds"),
                "wax": kept.wax,
                "lesson": None if kept.lesson is None else asdict(kept.lesson),
                "why": kept.why,
                "left_out": kept.forgotten,
            }
            for kept in thing.lessons
        ],
    }

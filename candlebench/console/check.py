"""`candlebench check`: whether a probe shows what is true, and how late it is."""

import json
import os
import re
import sys
import time
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from candlebench.console.check_words import check_lines, json_of, plunge_cautions, plunge_lines, what_is_known
from candlebench.core.errors import FixableError
from candlebench.core.trust.check import CheckedPoint, ProbeCheck, checked
from candlebench.core.trust.classes import find_class
from candlebench.core.trust.finding import Finding, finding
from candlebench.core.trust.plunge import Medium, Plunge, plunge_by_stopwatch, plunge_test
from candlebench.core.trust.points import (
    USUAL_TRUST_K,
    CheckPoint,
    beside_point,
    boiling_at_altitude,
    boiling_at_pressure,
    boiling_by_report,
    ice_point,
)
from candlebench.core.trust.readings import PointReading, is_typed_number, typed_reading
from candlebench.core.trust.settling import settling
from candlebench.core.units import Shown
from candlebench.records.folders import data_folder, rescue_places, settings_file
from candlebench.records.probes import Probes
from candlebench.records.set_aside import local_day
from candlebench.records.settings import load
from candlebench.thermometers.series_file import read_series
from candlebench.words import tr

_BESIDE = re.compile(r"([^=]+)=([^=]+)")


@dataclass(frozen=True, slots=True)
class Asked:
    """What the command line says.

    Attributes
    ----------
    probe : str
        What the person calls the probe; '' to list those that are known.
    ice, boiling : sequence of str
        What it showed there: numbers, or one file of readings.
    beside : sequence of str
        'SHOWN=TRUE' against another thermometer.
    beside_k : float or None
        How far that one is trusted, half-width of 95 %.
    altitude_m, pressure_hpa, report_hpa : float or None
        Of the place, as a barometer there shows it, and as a weather report gives it.
    class_name : str
        Tolerance class, '' when not known.
    plunge : Path or None
        Readings of a plunge test.
    plunged_at_s : float or None
        When in that file the probe went in.
    t90_s : float or None
        Seconds until nine tenths of the way, by a stopwatch.
    in_wax : bool
        The plunge was into melted wax, not into stirred water.
    on : str
        Day of the check, ISO 8601; '' for today.
    """

    probe: str = ""
    ice: Sequence[str] = ()
    boiling: Sequence[str] = ()
    beside: Sequence[str] = ()
    beside_k: float | None = None
    altitude_m: float | None = None
    pressure_hpa: float | None = None
    report_hpa: float | None = None
    class_name: str = ""
    plunge: Path | None = None
    plunged_at_s: float | None = None
    t90_s: float | None = None
    in_wax: bool = False
    on: str = ""


def check_probe(asked: Asked, data: Path | None, as_json: bool, show_only: bool = False) -> int:
    """Work out and keep a check, a plunge test or both; without either, say what is known.

    Parameters
    ----------
    asked : Asked
    data : Path or None
        Data folder, when one was named.
    as_json : bool
        One JSON object in place of sentences.
    show_only : bool
        Keep nothing.

    Raises
    ------
    FixableError
        Something cannot be; one sentence says what to do.
    """
    shown, probes, now_s = Shown(), _probes(data), time.time()
    day = _day(asked.on, local_day(now_s))
    points = _points(asked, shown)
    plunge = _plunge(asked, day, shown)
    if not points and plunge is None:
        return _show(asked, probes, as_json, shown, local_day(now_s))
    if not asked.probe.strip():
        raise FixableError(tr("Say which probe it is: --probe NAME."))
    found: Finding | None = None
    check = ProbeCheck(day, points, find_class(asked.class_name).name if asked.class_name else "")
    if points:
        found = finding(check, local_day(now_s), shown, probes.correction(asked.probe))
    if not show_only:
        for what in ((check,) if points else ()) + (() if plunge is None else (plunge,)):
            probes.keep(asked.probe, what, now_s)
    if as_json:
        print(json.dumps(json_of(asked.probe, check, found, plunge, not show_only)))
        return 0
    lines = [] if found is None else check_lines(check, found, shown)
    lines += [] if plunge is None else [*plunge_lines(plunge), *plunge_cautions(shown)]
    kept = tr("Kept for “{probe}”: melts with a probe of that name are corrected by it.")
    if found is None:
        kept = tr("Kept for “{probe}”: forecasts of melts with a probe of that name reckon with it.")
    lines.append(tr("Nothing was kept.") if show_only else kept.format(probe=asked.probe))
    print("\n".join(lines))
    return 0


def forget_checks(probe: str, data: Path | None) -> int:
    """Use no check or plunge test of a probe any more.

    Raises
    ------
    FixableError
        There is none, or that cannot be written.
    """
    _probes(data).forget(probe, time.time())
    print(tr("“{probe}” is used as it reads; what was kept stays in the file.").format(probe=probe))
    return 0


def use_checks_again(probe: str, data: Path | None) -> int:
    """Use again what was last left out of a probe's checks and plunge tests.

    Raises
    ------
    FixableError
        Nothing was, or that cannot be written.
    """
    _probes(data).use_again(probe, time.time())
    print(tr("What was last left out of “{probe}” is used again.").format(probe=probe))
    return 0


def _probes(data: Path | None) -> Probes:
    home = Path.home()
    folder = data_folder(data, os.environ, sys.platform, home)
    return Probes(
        lambda: folder, rescue_places(os.environ, home), lambda sentence: print(sentence, file=sys.stderr)
    )


def _show(asked: Asked, probes: Probes, as_json: bool, shown: Shown, today: date) -> int:
    names = (asked.probe,) if asked.probe.strip() else probes.names()
    for fault in probes.faults():
        print(fault, file=sys.stderr)
    if as_json:
        print(json.dumps([what_is_known(name, probes, shown, today).row for name in names]))
        return 0
    if not names:
        print(
            tr("No probe has been checked yet: candlebench check --probe NAME --ice SHOWN --boiling SHOWN.")
        )
    for name in names:
        print("\n".join(what_is_known(name, probes, shown, today).lines))
    return 0


# --- from the command line --------------------------------------------------------------------------------


def _points(asked: Asked, shown: Shown) -> tuple[CheckedPoint, ...]:
    points: list[CheckedPoint] = []
    if asked.ice:
        points.append(checked(ice_point(), _reading(asked.ice, shown), shown))
    if asked.boiling:
        points.append(checked(_boiling(asked), _reading(asked.boiling, shown), shown))
    for text in asked.beside:
        match = _BESIDE.fullmatch(text)
        if match is None:
            raise FixableError(
                tr("“{text}” is not understood: write what the probe showed, =, and what is true.").format(
                    text=text
                )
            )
        true_c = typed_reading((match[2],), shown).read_c
        point = beside_point(true_c, USUAL_TRUST_K if asked.beside_k is None else asked.beside_k)
        points.append(checked(point, typed_reading((match[1],), shown), shown))
    return tuple(points)


def _reading(texts: Sequence[str], shown: Shown) -> PointReading:
    """Numbers, or one file of readings of a probe that has settled at its end."""
    if len(texts) != 1 or is_typed_number(texts[0]):
        return typed_reading(texts, shown)
    series = read_series(texts[0])
    found = settling(series.times_s, series.temps_c, shown)
    if found.reading is None:
        text = tr("{file}: the probe had not settled. {why}")
        raise FixableError(text.format(file=texts[0], why=found.text))
    return found.reading


def _boiling(asked: Asked) -> CheckPoint:
    if asked.pressure_hpa is not None:
        return boiling_at_pressure(asked.pressure_hpa, asked.altitude_m)
    altitude_m = asked.altitude_m
    if altitude_m is None:
        path = settings_file(None, os.environ, sys.platform, Path.home())
        altitude_m = load(path, local_day(time.time()))[0].altitude_m
    if asked.report_hpa is not None:
        return boiling_by_report(asked.report_hpa, altitude_m)
    return boiling_at_altitude(altitude_m)


def _plunge(asked: Asked, day: str, shown: Shown) -> Plunge | None:
    medium = Medium.WAX if asked.in_wax else Medium.WATER
    if asked.plunge is not None:
        series = read_series(asked.plunge)
        return plunge_test(series.times_s, series.temps_c, day, medium, asked.plunged_at_s, shown)
    return None if asked.t90_s is None else plunge_by_stopwatch(asked.t90_s, day, medium)


def _day(text: str, today: date) -> str:
    if not text:
        return today.isoformat()
    try:
        day = date.fromisoformat(text)
    except ValueError as error:
        raise FixableError(
            tr("“{text}” is no day: write it like {today}.").format(text=text, today=today.isoformat())
        ) from error
    if day > today:
        raise FixableError(tr("{day} is still to come: write the day of the check.").format(day=text))
    return day.isoformat()

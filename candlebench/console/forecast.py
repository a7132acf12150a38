"""`candlebench forecast`: what would have been foreseen at each reading of a recorded series."""

import json
from pathlib import Path

from candlebench.console.setup import console_setup, forecast_rows
from candlebench.core.events import Reading
from candlebench.core.units import Shown, band, clock_face, rounded_clock_face
from candlebench.runner import NoLog, Session
from candlebench.thermometers.series_file import read_series
from candlebench.words import tr


def forecast(file: Path, room_c: float | None, wax: str, targets_c: tuple[float, ...], as_json: bool) -> int:
    """Print one row per reading: time, temperature, stage and the forecast of each target.

    Raises
    ------
    FixableError, BadDataError
        The file or the wax cannot be used.
    """
    setup = console_setup(file.name, wax, room_c, f"replay:{file}")
    series = read_series(file)
    session = Session.begin(NoLog(), setup, 0.0, Shown())
    melt = session.melt
    if not targets_c:
        limits = setup.limits
        targets_c = (limits.oil_high_c, limits.pour_high_c, limits.pour_low_c)
    for elapsed_s, temp_c in zip(series.times_s, series.temps_c, strict=True):
        session.record(Reading(float(elapsed_s), float(elapsed_s), float(temp_c)))
        crossings = melt.foreseen(targets_c)
        stage = melt.stage.value
        if as_json:
            row = {
                "elapsed_s": float(elapsed_s),
                "temp_c": float(temp_c),
                "stage": stage,
                "forecasts": forecast_rows(targets_c, crossings),
            }
            print(json.dumps(row))
            continue
        parts = [f"{clock_face(elapsed_s):>8}  {temp_c:6.1f} °C  {stage:<12}"]
        for target_c, crossing in zip(targets_c, crossings, strict=True):
            if crossing is not None:
                parts.append(
                    tr("{target:g} °C in {time} ({band})").format(
                        target=target_c,
                        time=rounded_clock_face(crossing.in_s),
                        band=band(crossing.low_s, crossing.high_s),
                    )
                )
        print("  ".join(parts))
    return 0

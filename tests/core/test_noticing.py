"""Off the heat is noticed from the curve, and only then."""

import numpy as np
import pytest
from kitchen import LIMITS

from candlebench.core.noticing import OffHeatNoticer


def _first(noticer: OffHeatNoticer, temps_c: np.ndarray, from_s: float = 0.0) -> tuple[int, float] | None:
    for number, temp_c in enumerate(temps_c.tolist()):
        peak_s = noticer.noticed(from_s + number, temp_c)
        if peak_s is not None:
            return number, peak_s
    return None


UP = np.linspace(70.0, 84.0, 300)


@pytest.mark.parametrize("c_per_min", [0.6, 1.0, 1.5])
def test_a_jug_on_a_cloth_is_noticed_within_three_minutes_of_the_peak(c_per_min: float) -> None:
    # Jugs on an insulating base: 0.6 to 1.5 K/min, rows H29 to H32 of heat.md.
    down = 84.0 - c_per_min * np.arange(1.0, 400.0) / 60.0
    found = _first(OffHeatNoticer(LIMITS), np.concatenate([UP, down]))
    assert found is not None
    number, peak_s = found
    assert 299 + 40 <= number <= 299 + 180
    assert peak_s == pytest.approx(299.0, abs=3.0)


def test_a_probe_lifted_out_is_no_jug_off_the_heat() -> None:
    # It falls 60 K in the first minute: 84 towards a room at 21 with a time constant of 30 s.
    out = 21.0 + 63.0 * np.exp(-np.arange(1.0, 300.0) / 30.0)
    assert _first(OffHeatNoticer(LIMITS), np.concatenate([UP, out])) is None


def test_probe_noise_on_a_steady_melt_is_nothing() -> None:
    dice = np.random.default_rng(3)
    steady = 80.0 + dice.normal(0.0, 0.15, 3600)
    assert _first(OffHeatNoticer(LIMITS), steady) is None


def test_a_fall_below_melting_says_nothing() -> None:
    curve = np.concatenate([np.linspace(40.0, 60.0, 200), np.linspace(60.0, 50.0, 600)])
    assert _first(OffHeatNoticer(LIMITS), curve) is None


def test_after_being_undone_it_is_silent_until_the_melt_has_risen_again() -> None:
    noticer = OffHeatNoticer(LIMITS)
    assert _first(noticer, np.concatenate([UP, np.linspace(84.0, 82.0, 120)])) is not None
    noticer.disagreed(82.5)
    assert _first(noticer, np.linspace(82.5, 72.0, 600), 500.0) is None
    again = np.concatenate([np.linspace(72.0, 84.5, 400), np.linspace(84.5, 82.0, 150)])
    assert _first(noticer, again, 1100.0) is not None

"""The plunge test in the window: by wire, by stopwatch, and typed."""

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import pytest
from pytestqt.qtbot import QtBot
from scipy.signal import lsim, lti  # type: ignore[import-untyped]

from candlebench.core.trust.plunge import Medium, Plunge
from candlebench.core.units import Shown
from candlebench.ui.check_course import Step
from candlebench.ui.check_page import CheckPage
from candlebench.ui.check_plunge_step import share_gone
from candlebench.ui.check_plunge_watch import Phase, PlungeWatch
from candlebench.ui.main_window import MainWindow

from .checking import Carried, fast_page, until

DAY = "2026-11-27"
TAU_S = 6.0


@pytest.fixture
def carried(window: MainWindow) -> Iterator[Carried]:
    probe = Carried(21.0, TAU_S)
    window.change_settings(replace(window.workshop.settings, reads_by="plugged in", source=probe.address))
    yield probe
    probe.unplug()


@pytest.fixture
def page(window: MainWindow, carried: Carried, qtbot: QtBot) -> Iterator[CheckPage]:
    page = fast_page(window, qtbot)
    page.probe.name.setEditText("red cable")
    page.go_to(Step.LAG)
    yield page
    page.watch(False)


@pytest.fixture
def typed_page(window: MainWindow, qtbot: QtBot) -> Iterator[CheckPage]:
    page = fast_page(window, qtbot)
    page.probe.name.setEditText("kitchen probe")
    page.go_to(Step.LAG)
    yield page
    page.watch(False)


def test_a_plunge_by_wire_is_seen_and_measured_by_itself(
    page: CheckPage, carried: Carried, window: MainWindow, qtbot: QtBot
) -> None:
    until(qtbot, lambda: page.lag.phase is Phase.READY)
    carried.put_into(75.0)
    until(qtbot, lambda: page.lag.phase is Phase.GOING)
    assert not page.lag.curve.isHidden()
    until(qtbot, lambda: page.lag.plunge is not None)
    plunge = page.lag.plunge
    assert plunge is not None
    # In fast time the pseudo-terminal's own delays are a part of the lag: a fifth at most.
    assert plunge.lag_s == pytest.approx(TAU_S, rel=0.2)
    page.foot.main.click()
    assert window.workshop.probes.plunge("red cable") == plunge


def test_seconds_by_a_stopwatch_are_taken_where_there_is_no_cable(
    typed_page: CheckPage, window: MainWindow
) -> None:
    lag = typed_page.lag
    lag.from_c.setText("20")
    lag.to_c.setText("70")
    # 20 + 0.9 x 50.
    assert "65.0 °C" in lag._stop_at.text()
    lag._take_typed("11,5")
    # tau = t90 / ln 10 for a probe of first order (thermometry.md, below T23).
    assert lag.plunge is not None and lag.plunge.tau_s == pytest.approx(11.5 / 2.302585)
    typed_page.foot.main.click()
    assert window.workshop.probes.plunge("kitchen probe") == lag.plunge


def test_the_big_button_starts_and_stops_the_stopwatch(typed_page: CheckPage, qtbot: QtBot) -> None:
    typed_page.foot.main.click()
    assert typed_page.lag.is_timing
    clock = typed_page.lag._clock
    began_s = clock.elapsed_s()
    until(qtbot, lambda: clock.elapsed_s() - began_s > 5.0)
    typed_page.foot.main.click()
    plunge = typed_page.lag.plunge
    assert plunge is not None and plunge.t90_s is not None
    assert 5.0 <= plunge.t90_s <= clock.elapsed_s()


def test_seconds_that_cannot_be_are_refused(typed_page: CheckPage) -> None:
    for text in ("0", "soon", "1e9"):
        typed_page.lag._take_typed(text)
        assert typed_page.lag.plunge is None
        assert typed_page.lag._problem.text()


def plunged(tau_s: float, every_s: float = 0.5, until_s: float = 90.0) -> tuple[np.ndarray, np.ndarray]:
    """A probe of first order that goes from 21 into 74 C water at 20 s, by scipy; a display of tenths."""
    times_s = np.arange(0.0, until_s, every_s)
    water_c = np.where(times_s >= 20.0, 53.0, 0.0)
    _, above_k, _ = lsim(lti([1.0], [tau_s, 1.0]), water_c, times_s)
    return times_s, np.round(21.0 + above_k, 1)


def followed(watch: PlungeWatch, times_s: np.ndarray, temps_c: np.ndarray) -> list[Phase]:
    phases = []
    for at_s, temp_c in zip(times_s, temps_c, strict=True):
        watch.read(float(at_s), float(temp_c))
        phases.append(watch.look(DAY, Shown()).phase)
    return phases


@pytest.mark.parametrize("tau_s", [2.0, 6.0, 12.0])
def test_the_phases_follow_one_another_and_the_lag_is_that_of_the_probe(tau_s: float) -> None:
    watch = PlungeWatch()
    times_s, temps_c = plunged(tau_s, until_s=30.0 + 14.0 * tau_s)
    phases = followed(watch, times_s, temps_c)
    assert list(dict.fromkeys(phases)) == [Phase.WAITING, Phase.READY, Phase.GOING, Phase.DONE]
    plunge = watch.look(DAY, Shown()).plunge
    assert plunge is not None and plunge.lag_s == pytest.approx(tau_s, rel=0.1)


def test_warm_hands_are_no_plunge() -> None:
    watch = PlungeWatch()
    times_s = np.arange(0.0, 60.0, 0.5)
    phases = followed(watch, times_s, 21.0 + np.clip(times_s - 20.0, 0.0, 6.0))
    assert Phase.GOING not in phases


def test_a_plunge_pulled_out_at_once_gives_no_lag_and_says_so() -> None:
    watch = PlungeWatch()
    times_s, temps_c = plunged(6.0)
    temps_c[times_s > 25.0] = 21.0
    phases = followed(watch, times_s, temps_c)
    assert Phase.DONE not in phases


def test_the_drawn_curve_is_that_of_two_lags_in_series() -> None:
    plunge = Plunge(DAY, Medium.WATER, 5.0, 2.0, None, None, 0.1, 20.0, 70.0, 0.0, 30)
    times_s = np.linspace(0.0, 40.0, 401)
    _, share, _ = lsim(lti([1.0], np.convolve([5.0, 1.0], [2.0, 1.0])), np.ones_like(times_s), times_s)
    drawn = [share_gone(plunge, float(at_s)) for at_s in times_s]
    assert drawn == pytest.approx(share, abs=1e-3)

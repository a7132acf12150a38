"""A probe in the wax and one in the bath: what each cannot show beside the other."""

from dataclasses import replace

import pytest
from kitchen import BEGAN_WALL_S, SETUP, Hob

from candlebench.core.events import Reading
from candlebench.core.place import Place
from candlebench.core.setup import Beside
from candlebench.core.state import Level

BOTH = replace(SETUP, source="serial:/dev/ttyUSB0", beside=Beside(Place.BATH))


def _both(hob: Hob, wax_c: float, bath_c: float) -> None:
    hob.read(wax_c)
    hob.apply(Reading(hob.now_s, BEGAN_WALL_S + hob.now_s, bath_c, place=Place.BATH))


def _warming(seconds: int = 180) -> Hob:
    """Wax at 72 C and rising in a bath of 92."""
    hob = Hob(BOTH)
    for i in range(seconds):
        _both(hob, 68.0 + 0.03 * i + 0.1 * (i % 2), 92.0 + 0.1 * (i % 3))
    assert hob.alarms == []
    return hob


def test_a_probe_that_slips_from_the_wax_into_the_bath_is_told() -> None:
    hob = _warming()
    count = len(hob.melt.state.times_s)
    for i in range(1, 40):
        _both(hob, 92.0 - 18.5 * 0.8**i, 92.0 + 0.1 * (i % 3))
    found = hob.melt.state.alarms
    assert any("slipped into the water" in alarm.reason for alarm in found)
    # A number that high is a danger whether it is right or not.
    assert any(alarm.code == "too_hot" and alarm.level is Level.DANGER for alarm in found)
    assert len(hob.melt.state.times_s) == count and not hob.melt.state.fresh


def test_two_probes_that_have_changed_places_are_told_and_both_are_kept_out() -> None:
    hob = _warming()
    wax_c = hob.melt.state.temp_c or 0.0
    beside = hob.melt.state.beside
    assert beside is not None
    counts = len(hob.melt.state.times_s), len(beside.times_s)
    for i in range(40):
        share = 1.0 - 0.8 ** (i + 1)
        _both(hob, wax_c + (92.0 - wax_c) * share, 92.0 - (92.0 - wax_c) * share)
    state = hob.melt.state
    assert any("changed places" in alarm.reason for alarm in state.alarms)
    assert state.beside is not None and not state.fresh and not state.beside.fresh
    assert len(state.times_s) - counts[0] <= 1 and len(state.beside.times_s) - counts[1] <= 1
    for i in range(30):
        _both(hob, wax_c + 0.03 * i, 92.0 + 0.1 * (i % 3))
    assert hob.melt.state.fresh and "probe_doubtful" not in hob.alarms


@pytest.mark.parametrize(("bath_c", "said"), [(79.0, False), (76.0, True)])
def test_wax_that_stays_warmer_than_its_bath_on_the_heat_is_said(bath_c: float, said: bool) -> None:
    # Two kitchen probes of 1 K each (T8) may differ by 2 K; 5 K for minutes is no error of theirs.
    hob = Hob(BOTH)
    for i in range(420):
        _both(hob, 80.5 - 0.1 * (i % 2), bath_c + 0.1 * (i % 3))
    assert ("probe_doubtful" in hob.codes("alarm")) is said
    if said:
        assert "warmer than its bath" in hob.first("probe_doubtful")[1].text


def test_cold_water_put_into_the_bath_is_no_fault() -> None:
    hob = _warming()
    for i in range(120):
        _both(hob, 73.4 + 0.01 * i + 0.1 * (i % 2), 92.0 - 17.0 * (1.0 - 0.85**i) + 0.02 * i)
    assert "probe_doubtful" not in hob.codes("alarm")
    assert hob.melt.state.beside is not None and hob.melt.state.beside.fresh


def test_a_bath_hotter_than_boiling_water_is_a_danger() -> None:
    hob = _warming()
    for i in range(120):
        _both(hob, 73.5 + 0.02 * i, 92.0 + 0.15 * i)
    level, text = next((n.level, n.text) for _, n in hob.said if n.code == "above_boiling")
    assert level is Level.DANGER and "in the bath" in text

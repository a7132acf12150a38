"""A checked probe is believed as corrected; the record keeps what was read and what was kept out."""

from dataclasses import replace
from uuid import UUID

import pytest

from candlebench.core.correction import Correction
from candlebench.core.events import Event, KeptOut, MeltBegan, Reading, Recorded, SetupChanged
from candlebench.core.melt import Melt
from candlebench.core.setup import Limits, MeltSetup
from candlebench.core.units import Shown
from candlebench.runner import Session

LIMITS = Limits(66.0, 70.0, 75.0, 68.0, 71.0, 80.0, 85.0, 95.0)
# A probe that shows 0.6 in melting ice and 99.0 in water that boils at 100.0 (two points, one line; algebra).
CORRECTION = Correction(100.0 / 98.4, -0.6 * 100.0 / 98.4, 0.5, "2026-11-20")
WIRED = MeltSetup("first", "beeswax", LIMITS, source="serial:/dev/ttyUSB0", correction=CORRECTION)


def begun(setup: MeltSetup) -> Melt:
    melt = Melt()
    melt.apply(MeltBegan(0.0, 1000.0, setup))
    return melt


def test_the_melt_goes_by_the_corrected_temperature_and_tells_what_the_probe_shows() -> None:
    melt = begun(WIRED)
    melt.apply(Reading(1.0, 1001.0, 70.0))
    assert melt.state.temp_c == pytest.approx((70.0 - 0.6) / 98.4 * 100.0)
    assert melt.state.read_c == 70.0
    assert melt.state.temps_c[-1] == pytest.approx(melt.state.temp_c)


def test_a_number_typed_beside_a_wired_probe_is_another_thermometers_and_stays() -> None:
    melt = begun(WIRED)
    melt.apply(Reading(1.0, 1001.0, 70.0))
    melt.apply(Reading(2.0, 1002.0, 70.4, by_hand=True))
    assert melt.state.temp_c == 70.4


def test_a_typed_melt_corrects_what_is_read_off_its_probe() -> None:
    melt = begun(replace(WIRED, source="typed:"))
    melt.apply(Reading(1.0, 1001.0, 70.0, by_hand=True))
    assert melt.state.temp_c == pytest.approx(CORRECTION.true_c(70.0))


def test_a_correction_named_in_the_middle_of_a_melt_holds_for_its_whole_curve() -> None:
    from_the_start, named_late = begun(WIRED), begun(replace(WIRED, correction=None))
    for melt in (from_the_start, named_late):
        for second in range(1, 60):
            melt.apply(Reading(float(second), 1000.0 + second, 70.0 + 0.02 * second))
        melt.apply(Reading(30.5, 1030.5, 71.0, by_hand=True))
    named_late.apply(SetupChanged(60.0, 1060.0, WIRED))
    assert named_late.state.temps_c == pytest.approx(from_the_start.state.temps_c)
    assert named_late.state.temp_c == pytest.approx(from_the_start.state.temp_c)
    assert 71.0 in named_late.state.temps_c.tolist()
    assert named_late.state.track_version > 0


class _Kept:
    def __init__(self) -> None:
        self.events: list[Event] = []

    def append(self, recorded: Recorded) -> None:
        assert recorded.number == len(self.events)
        self.events.append(recorded.event)


def test_the_record_says_of_a_reading_that_it_was_kept_out_and_a_replay_believes_the_same() -> None:
    kept = _Kept()
    session = Session.begin(kept, WIRED, 1000.0, Shown())
    assert isinstance(session.melt_id, UUID)
    for second in range(1, 20):
        session.record(Reading(float(second), 1000.0 + second, 70.0))
    session.record(Reading(20.0, 1020.0, 400.0))
    session.record(Reading(21.0, 1021.0, 70.0))
    out = [event for event in kept.events if isinstance(event, KeptOut)]
    assert [(each.reading_s, each.temp_c) for each in out] == [(20.0, 400.0)]
    assert out[0].why
    assert kept.events.index(out[0]) == kept.events.index(Reading(20.0, 1020.0, 400.0)) + 1
    again = Melt.replayed(kept.events)
    assert again.state.temps_c.tolist() == session.melt.state.temps_c.tolist()

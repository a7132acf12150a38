"""A melt whose readings are typed asks for the next one, and says 'now' on a fresh one only."""

import pytest
from kitchen import Hob

from candlebench.core.events import ActionKind


def _typed(hob: Hob, temps_c: tuple[float, ...], every_s: float = 60.0) -> Hob:
    for temp_c in temps_c:
        hob.read(temp_c, every_s, by_hand=True)
    return hob


def _melting() -> Hob:
    return _typed(Hob(), (45.0, 50.0, 54.5, 58.0, 61.1))


def _cooling() -> Hob:
    hob = _typed(Hob(), (70.0, 74.0, 78.0))
    hob.do(ActionKind.MELTED)
    hob.do(ActionKind.OFF_HEAT)
    return _typed(hob, (78.0, 77.5, 77.0, 76.4, 75.9, 75.4, 74.9))


def test_before_the_next_reading_is_due_the_step_says_in_how_long() -> None:
    hob = _typed(Hob(), (45.0,))
    assert "Read it again in about **1 min**." in hob.melt.state.step.reason
    hob.silence(20.0)
    assert "Read it again in about **40 s**." in hob.melt.state.step.reason


def test_on_the_heat_an_old_reading_is_asked_for_with_where_the_wax_may_be() -> None:
    hob = _melting()
    hob.silence(100.0)
    step = hob.melt.state.step
    assert (step.headline, step.accent, step.now) == ("Read the thermometer", "now", False)
    assert "1:40" in step.reason and "the wax may be at 61 to" in step.reason
    assert step.main is not None and step.main.kind is ActionKind.MELTED


def test_it_is_asked_aloud_once_for_each_reading() -> None:
    hob = _melting()
    hob.silence(130.0)
    assert hob.codes("cue").count("read_again") == 1
    hob.read(64.0, 1.0, by_hand=True)
    hob.silence(130.0)
    assert hob.codes("cue").count("read_again") == 2


def test_the_oil_goes_in_now_on_a_fresh_reading_only() -> None:
    hob = _cooling()
    step = hob.melt.state.step
    assert step.accent == "now" and step.headline.startswith("Add 43 g") and step.now
    hob.silence(29.0)
    assert hob.melt.state.step.headline.startswith("Add 43 g")
    hob.silence(3.0)
    step = hob.melt.state.step
    assert step.headline == "Read the thermometer" and not step.now
    assert "Next: Add 43 g lavender oil (49 mL)." in step.more
    assert step.main is not None and step.main.kind is ActionKind.OIL_IN
    hob.read(74.2, 1.0, by_hand=True)
    assert hob.melt.state.step.headline.startswith("Add 43 g") and hob.melt.state.step.now


def test_a_last_call_reckoned_from_an_old_reading_is_said_and_again_when_it_is_borne_out() -> None:
    hob = _cooling()
    hob.silence(430.0)
    reckoned = [notice.text for _, notice in hob.said if notice.code == "oil_last_call"]
    assert len(reckoned) == 1
    assert reckoned[0].startswith("Read the thermometer now.") and "Last call" in reckoned[0]
    hob.read(71.5, 1.0, by_hand=True)
    called = [notice.text for _, notice in hob.said if notice.code == "oil_last_call"]
    assert len(called) == 2 and called[1].startswith("Add 43 g lavender oil (49 mL) now.")


def test_on_the_heat_what_is_due_stays_due_and_names_the_age() -> None:
    hob = _typed(Hob(), (66.0, 68.0, 69.0))
    hob.do(ActionKind.MELTED)
    _typed(hob, (75.2,))
    hob.silence(40.0)
    calm = hob.melt.state.step
    if not calm.alarm_code:
        assert (calm.headline, calm.accent, calm.now) == ("Take it off the heat", "now", True)
        assert "0:40" in calm.reason
    else:
        assert calm.main is not None and calm.main.kind is ActionKind.HEAT_DOWN


def test_stirring_is_not_broken_off_for_a_reading() -> None:
    hob = _cooling()
    hob.do(ActionKind.OIL_IN)
    before = hob.codes("cue").count("read_again")
    hob.silence(90.0)
    assert hob.melt.state.step.headline == "Stir slowly"
    assert hob.codes("cue").count("read_again") == before
    hob.do(ActionKind.STIRRED)
    assert hob.melt.state.step.headline == "Read the thermometer"


def test_readings_from_a_wire_are_never_asked_for() -> None:
    hob = Hob()
    hob.ramp(45.0, 61.0, 4.0, 2.0)
    hob.silence(200.0)
    assert "read_again" not in hob.codes("cue")
    assert "Read it again" not in hob.melt.state.step.reason


def test_after_it_was_put_back_on_no_band_is_said_that_still_falls() -> None:
    hob = _cooling()
    hob.do(ActionKind.ON_HEAT)
    hob.silence(200.0)
    assert "may be at" not in hob.melt.state.step.reason


@pytest.mark.parametrize("began", [0.0, 300.0])
def test_on_the_heat_is_counted_from_the_first_reading(began: float) -> None:
    hob = Hob()
    hob.silence(began)
    assert hob.melt.state.now_s - hob.melt.state.heat_since_s == 0.0
    assert hob.melt.state.step.headline == "Type the first reading"
    hob.read(21.0, 5.0, by_hand=True)
    hob.silence(60.0)
    assert hob.melt.state.now_s - hob.melt.state.heat_since_s == 60.0


def test_on_the_heat_is_counted_from_the_first_step_when_nothing_was_read() -> None:
    hob = Hob()
    hob.do(ActionKind.HEAT_SET, "0.6", after_s=40.0)
    hob.silence(20.0)
    assert hob.melt.state.now_s - hob.melt.state.heat_since_s == 20.0

"""The course of a melt, read from its events."""

import pytest
from kitchen import Hob

from candlebench.core.events import ActionKind, Gap
from candlebench.core.learning.course import Span, course_of


def spans(hob: Hob) -> list[tuple[float, float, bool, bool]]:
    found = course_of(hob.events).spans
    return [(round(s.start_s), round(s.end_s), s.on_heat, s.oil_in) for s in found]


def test_a_melt_is_cut_where_the_heat_or_the_oil_changes() -> None:
    hob = Hob()
    hob.ramp(60.0, 80.0, 10.0)
    hob.do(ActionKind.OFF_HEAT)
    hob.ramp(80.0, 74.0, 3.0)
    hob.do(ActionKind.OIL_IN)
    hob.ramp(72.0, 70.0, 1.0)
    hob.do(ActionKind.POURED)
    hob.ramp(60.0, 40.0, 5.0)
    assert spans(hob) == [(0, 120, True, False), (120, 240, False, False), (240, 360, False, True)]


def test_an_undone_step_cuts_nothing() -> None:
    hob = Hob()
    hob.ramp(60.0, 80.0, 10.0)
    hob.do(ActionKind.OIL_IN)
    hob.do(ActionKind.UNDO, after_s=5.0)
    hob.hold(80.0, 60.0)
    assert spans(hob) == [(0, 185, True, False)]


def test_off_the_heat_is_noticed_as_the_melt_itself_does() -> None:
    hob = Hob()
    hob.ramp(60.0, 80.0, 10.0)
    hob.ramp(80.0, 76.0, 2.0)
    (warming, cooling) = spans(hob)
    assert (warming[2], cooling[2]) == (True, False)
    peak_s = hob.melt.state.heat_since_s
    assert cooling[0] == pytest.approx(peak_s, abs=1.0)


def test_nothing_runs_across_a_gap() -> None:
    hob = Hob()
    hob.ramp(70.0, 80.0, 10.0)
    hob.do(ActionKind.OFF_HEAT)
    hob.ramp(80.0, 78.0, 2.0)
    hob.now_s += 600.0
    hob.apply(Gap(hob.now_s, 0.0, 600.0, "closed"))
    hob.ramp(73.0, 72.0, 1.0)
    course = course_of(hob.events)
    assert course.spans[-1].start_s == pytest.approx(hob.now_s - 60.0, abs=1.0)
    assert all(len(course.within(span)[0]) < 130 for span in course.spans)


def test_what_is_not_believed_is_left_out_but_kept_as_it_came() -> None:
    hob = Hob()
    hob.hold(75.0, 10.0)
    hob.read(20.0)
    hob.hold(75.0, 10.0)
    course = course_of(hob.events)
    assert course.temps_c.min() == 75.0
    assert course.raw_temps_c.min() == 20.0


def test_an_empty_melt_has_no_spans() -> None:
    hob = Hob()
    assert course_of(hob.events).spans == ()
    with pytest.raises(ValueError, match="MeltBegan"):
        course_of([])


def test_a_span_holds_its_readings() -> None:
    hob = Hob()
    hob.hold(75.0, 30.0)
    course = course_of(hob.events)
    times, temps = course.within(Span(10.0, 20.0, True, False))
    assert times.tolist() == [float(t) for t in range(10, 20)] and len(temps) == 10

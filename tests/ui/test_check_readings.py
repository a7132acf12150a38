"""What a step of a check remembers of its readings."""

from candlebench.ui.check_readings import Readings


def test_times_and_temperatures_are_forgotten_together() -> None:
    readings = Readings(10.0)
    for second in range(30):
        readings.add(float(second), 50.0 + second)
    assert readings.times_s == tuple(float(second) for second in range(19, 30))
    assert readings.temps_c == tuple(50.0 + second for second in range(19, 30))
    assert (readings.first_s, readings.last_s, readings.last_c) == (19.0, 29.0, 79.0)


def test_both_ends_of_a_stretch_are_taken_in() -> None:
    readings = Readings(10.0)
    for second in range(6):
        readings.add(float(second), 50.0 + second)
    assert readings.between(2.0, 4.0) == [52.0, 53.0, 54.0]
    assert readings.between(5.5, 9.0) == []


def test_after_clearing_there_is_nothing() -> None:
    readings = Readings(10.0)
    assert not readings
    readings.add(0.0, 50.0)
    assert readings
    readings.clear()
    assert not readings and readings.times_s == readings.temps_c == ()

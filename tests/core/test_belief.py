"""Which readings are believed."""

import pytest

from candlebench.core.belief import Belief
from candlebench.core.events import Reading
from candlebench.core.units import Shown, fahrenheit


def _reading(at_s: float, temp_c: float, by_hand: bool = False) -> Reading:
    return Reading(at_s, 1e9 + at_s, temp_c, by_hand)


def _at(temp_c: float) -> Belief:
    belief = Belief(Shown())
    assert belief.judge(_reading(0.0, temp_c)) is None
    return belief


# DS18B20 data sheet (Maxim 19-7487): 85 degC is the power-on value; -127 is what a common library hands
# out for a lost sensor (from memory). Others: plain nonsense.
@pytest.mark.parametrize("temp_c", [-127.0, -40.0, 300.0, 7000.0, 1e9])
def test_a_number_no_melt_can_have_is_refused_even_as_the_first(temp_c: float) -> None:
    doubt = Belief(Shown()).judge(_reading(0.0, temp_c))
    assert doubt is not None and "check the probe" in doubt.text


def test_a_power_on_85_in_a_cool_melt_is_left_out_and_the_next_reading_is_believed() -> None:
    belief = _at(62.0)
    assert belief.judge(_reading(1.0, 85.0)) is not None
    assert belief.judge(_reading(2.0, 62.1)) is None


def test_85_is_believed_when_the_melt_is_there() -> None:
    belief = _at(84.5)
    assert belief.judge(_reading(1.0, 85.0)) is None


def test_a_display_that_flips_to_fahrenheit_is_never_believed_however_long() -> None:
    belief = _at(70.0)
    for second in range(1, 60):
        doubt = belief.judge(_reading(float(second), fahrenheit(70.0 + 0.02 * second)))
        assert doubt is not None and "°F" in doubt.text


def test_a_jump_that_lasts_is_believed() -> None:
    belief = _at(22.0)
    verdicts = [belief.judge(_reading(float(second), 74.0)) for second in range(1, 15)]
    first = next(number for number, verdict in enumerate(verdicts, 1) if verdict is None)
    assert 8 <= first <= 10
    assert all(verdict is None for verdict in verdicts[first - 1 :])


def test_a_typed_number_is_believed_at_once() -> None:
    assert _at(22.0).judge(_reading(1.0, 74.0, by_hand=True)) is None


def test_a_hob_at_full_power_is_believed() -> None:
    # 1.7 K/s is the most a 2 kW hob gives half a kilo of wax (heat.md H8, waxes.md W24).
    belief = _at(60.0)
    assert all(belief.judge(_reading(float(s), 60.0 + 1.7 * s)) is None for s in range(1, 60))


def test_after_a_gap_any_temperature_may_be() -> None:
    belief = _at(80.0)
    belief.forget()
    assert belief.judge(_reading(5.0, 30.0)) is None


def test_it_speaks_fahrenheit_when_asked() -> None:
    belief = _at(60.0)
    belief.show_in(Shown("F"))
    doubt = belief.judge(_reading(1.0, 90.0))
    assert doubt is not None and "194 °F" in doubt.text

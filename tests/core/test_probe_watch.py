"""One probe in a practice melt whose wax is known: out of the wax, at the wall, or right and unusual."""

import math
from collections.abc import Sequence

import pytest
from hurt_probe import WALL_S, Hurt, live_setup, rows_of, scenario_of, seen

from candlebench.core.events import ActionKind, KeptOut, Reading
from candlebench.core.melt_probes import announced
from candlebench.core.place import Place
from candlebench.core.probe import Heard, Probe
from candlebench.core.suspicion import Fault
from candlebench.core.units import Shown, fahrenheit
from candlebench.practice.whole_melt import PracticeRow

FIRST = "first-jug"
# Off the heat in this melt, about 77 °C, long before its oil; and on the heat at about 72 °C.
COOLING_S, HEATING_S = 2080.0, 1400.0
OUT_S = 60.0


class Listening:
    """A probe, what it made of each reading, and what it left out."""

    def __init__(self, on_heat: bool = False, room_c: float = 20.0) -> None:
        self.probe = Probe(Place.MELT, Shown())
        self.probe.hangs_in(room_c, live_setup(FIRST).limits, 100.0)
        self.on_heat = on_heat
        self.now_s = 0.0
        self.heard: list[Heard] = []
        self.left_out: list[KeptOut] = []
        self.kinds: dict[Fault, float] = {}

    def read(self, temp_c: float, after_s: float = 1.0, by_hand: bool = False) -> Heard:
        self.now_s += after_s
        heard = self.probe.read(Reading(self.now_s, WALL_S + self.now_s, temp_c, by_hand), self.on_heat)
        self.heard.append(heard)
        self.left_out += self.probe.take_left_out()
        found = self.probe.suspicion
        if found is not None:
            self.kinds.setdefault(found.kind, self.now_s)
        return heard

    def feed(self, temps_c: Sequence[float], every_s: float = 1.0) -> None:
        for temp_c in temps_c:
            self.read(temp_c, every_s)

    def steady(self, temp_c: float, seconds: int, falls_k_per_s: float = 0.0) -> None:
        """A level that trembles by a tenth, as a live probe does."""
        self.feed([round(temp_c - falls_k_per_s * i - 0.1 * (i * 7 % 3 == 0), 1) for i in range(seconds)])

    @property
    def text(self) -> str:
        found = self.probe.suspicion
        return "" if found is None else found.text


def _nearing(from_c: float, to_c: float, tau_s: float, seconds: int) -> list[float]:
    return [round(to_c + (from_c - to_c) * math.exp(-i / tau_s), 1) for i in range(seconds)]


@pytest.fixture(scope="module")
def rows() -> list[PracticeRow]:
    return rows_of(FIRST)


@pytest.fixture(scope="module")
def out(rows: list[PracticeRow]) -> Listening:
    """A minute in the air, and three minutes after it."""
    until = rows[: int(COOLING_S) + 240]
    return _heard(until, seen(until, scenario_of(FIRST), [Hurt(COOLING_S, COOLING_S + OUT_S, "air")]))


def _heard(rows: Sequence[PracticeRow], temps_c: Sequence[float], every: int = 1) -> Listening:
    listening = Listening(on_heat=True)
    for place in range(0, len(rows), every):
        row = rows[place]
        listening.read(temps_c[place], row.elapsed_s - listening.now_s)
        did = next((r.did for r in rows[place : place + every] if r.did), "")
        if did:
            listening.on_heat = listening.on_heat and did != ActionKind.OFF_HEAT.value
            listening.probe.announce(row.elapsed_s, *announced(ActionKind(did), 3.0))
    return listening


# --- out of the wax ---------------------------------------------------------------------------------------


# Paces and last digits of people's thermometers, up to a whole degree and a reading in ten seconds.
@pytest.mark.parametrize(
    ("every", "step_k", "within_s"),
    [(1, 0.1, 20.0), (1, 0.5, 25.0), (1, 1.0, 30.0), (5, 0.1, 30.0), (10, 0.1, 40.0)],
)
def test_a_probe_out_of_hot_wax_is_said_soon_and_none_of_it_becomes_the_curve(
    rows: list[PracticeRow], every: int, step_k: float, within_s: float
) -> None:
    hurt = Hurt(COOLING_S, COOLING_S + OUT_S, "air")
    until = rows[: int(COOLING_S) + 240]
    heard = _heard(until, seen(until, scenario_of(FIRST, resolution_c=step_k), [hurt]), every)
    assert list(heard.kinds) == [Fault.OUT]
    assert heard.kinds[Fault.OUT] - COOLING_S <= within_s
    track = heard.probe.track
    true_c = {row.elapsed_s: row.wax_c for row in until}
    for at_s, temp_c in zip(track.times_s.tolist(), track.temps_c.tolist(), strict=True):
        if at_s > COOLING_S:
            # What a lag of 8 s and a digit leave between probe and wax (T25), and a first reading in the air.
            assert abs(temp_c - true_c[at_s]) < 1.0 + step_k
    assert heard.probe.suspicion is None and heard.heard[-1] is Heard.BELIEVED


def test_what_is_said_of_a_probe_in_the_air_says_what_to_do(rows: list[PracticeRow]) -> None:
    until = rows[: int(COOLING_S) + 50]
    heard = _heard(until, seen(until, scenario_of(FIRST), [Hurt(COOLING_S, 9e9, "air")]))
    assert heard.text == "The probe seems to be out of the wax: hang it back into the middle."
    status = heard.probe.status(heard.now_s)
    assert not status.good and status.doubt == heard.text
    assert not heard.probe.is_current(heard.now_s) and heard.probe.blind


def test_back_in_the_wax_it_is_believed_within_a_minute(out: Listening) -> None:
    believed = out.probe.track.times_s
    first_s = float(believed[believed > COOLING_S + OUT_S][0])
    # Its own lag of 8 s needs five of them from 37 °C to a quarter of a degree (T25).
    assert 30.0 <= first_s - (COOLING_S + OUT_S) <= 60.0


def test_every_reading_is_either_in_the_curve_or_left_out_with_its_reason(
    rows: list[PracticeRow], out: Listening
) -> None:
    left = {one.reading_s: one.why for one in out.left_out}
    assert len(left) == len(out.left_out)
    believed = set(out.probe.track.times_s.tolist())
    assert not left.keys() & believed
    assert left.keys() | believed == {row.elapsed_s for row in rows[: int(COOLING_S) + 240]}
    during = [why for at_s, why in left.items() if COOLING_S < at_s < COOLING_S + OUT_S]
    assert during and all("out of the wax" in why for why in during)


def test_a_glass_of_hot_water_in_front_of_a_fan_is_no_probe_in_the_air() -> None:
    # 15 min, as 80 ml of the open series; the smallest jug needs 40 (H29 to H32).
    heard = Listening()
    heard.feed([t + 0.1 * (i % 3 == 0) for i, t in enumerate(_nearing(82.0, 20.0, 850.0, 1500))])
    assert heard.kinds == {} and heard.left_out == []
    assert len(heard.probe.track) == 1500


def test_a_probe_that_lies_on_the_table_is_not_the_melt_for_a_quarter_of_an_hour() -> None:
    heard = Listening()
    heard.steady(77.0, 200)
    heard.feed([t + 0.1 * (i % 2) for i, t in enumerate(_nearing(77.0, 20.0, 50.0, 900))])
    assert heard.probe.suspicion is not None
    assert float(heard.probe.track.temps_c.min()) > 75.0


def test_another_thermometer_that_says_the_same_settles_it() -> None:
    heard = Listening()
    heard.steady(77.0, 200)
    heard.feed([77.0 - 1.5 * i for i in range(30)])
    assert heard.probe.suspicion is not None
    heard.read(33.0, by_hand=True)
    assert heard.probe.suspicion is None
    heard.steady(32.0, 5)
    assert heard.heard[-5:] == [Heard.BELIEVED] * 5


def test_a_typed_number_that_does_not_agree_counts_itself_and_settles_nothing() -> None:
    heard = Listening()
    heard.steady(77.0, 200)
    heard.feed([77.0 - 1.5 * i for i in range(30)])
    assert heard.read(76.5, by_hand=True) is Heard.BELIEVED
    assert heard.probe.suspicion is not None and not heard.probe.blind


# --- at the wall ------------------------------------------------------------------------------------------


def test_a_probe_that_slips_onto_the_wall_is_said_and_its_high_number_is_told_to_the_alarms(
    rows: list[PracticeRow],
) -> None:
    until = rows[: int(HEATING_S) + 60]
    heard = _heard(until, seen(until, scenario_of(FIRST), [Hurt(HEATING_S, 9e9, "wall")]))
    assert list(heard.kinds) == [Fault.WALL]
    assert heard.kinds[Fault.WALL] - HEATING_S <= 40.0
    assert "may touch the wall or the base" in heard.text
    assert heard.probe.high_c == pytest.approx(until[-1].jug_c, abs=2.0)
    assert float(heard.probe.track.temps_c.max()) < 75.0


def test_the_alarms_hear_of_a_high_reading_when_the_second_one_says_the_same() -> None:
    heard = Listening(on_heat=True)
    heard.steady(72.0, 200)
    heard.read(79.0)
    assert heard.probe.high_c is None
    heard.read(83.0)
    assert heard.probe.high_c is not None and heard.probe.high_c >= 79.0


def test_one_odd_reading_is_left_out_and_nothing_is_said_of_it() -> None:
    heard = Listening(on_heat=True)
    heard.steady(72.0, 200)
    heard.read(76.0)
    heard.steady(72.0, 10)
    assert heard.kinds == {} and heard.probe.high_c is None
    assert [one.temp_c for one in heard.left_out] == [76.0]
    assert heard.left_out[0].why == "It left the curve for a moment and came back."


def test_a_melt_that_races_on_the_hob_is_believed_throughout() -> None:
    # 20 K/min: 0.4 kW into 500 g (W24: 2.3 J/g K).
    heard = Listening(on_heat=True)
    heard.steady(60.0, 120)
    heard.feed([round(60.0 + 0.33 * i, 1) for i in range(90)])
    assert heard.kinds == {} and heard.left_out == []
    assert heard.probe.last is not None and heard.probe.last.temp_c == pytest.approx(89.4)


def test_a_high_level_that_lasts_is_believed_in_the_end() -> None:
    heard = Listening(on_heat=True)
    heard.steady(72.0, 200)
    heard.steady(80.0, 420)
    assert Fault.WALL in heard.kinds and heard.probe.suspicion is None
    assert heard.heard[-1] is Heard.BELIEVED


# --- real changes -----------------------------------------------------------------------------------------


def test_cold_oil_and_stirring_that_were_told_are_the_melt() -> None:
    heard = Listening()
    heard.steady(76.5, 300, 0.01)
    heard.probe.announce(heard.now_s, *announced(ActionKind.OIL_IN, 3.0))
    heard.feed([71.4, 70.0, 68.9, 68.5, 68.3])
    heard.probe.announce(heard.now_s, *announced(ActionKind.STIRRED, 3.0))
    heard.feed([69.0, 70.0, 70.5])
    heard.steady(70.4, 30, 0.01)
    assert heard.kinds == {} and heard.left_out == []
    # What waited until it was clear has joined the curve in its place.
    assert heard.probe.track.temps_c[300:308].tolist() == [71.4, 70.0, 68.9, 68.5, 68.3, 69.0, 70.0, 70.5]


@pytest.mark.parametrize("fell_k", [2.0, 3.0, 6.0])
def test_cold_oil_that_nobody_told_of_is_asked_about_and_believed_when_it_is_said(fell_k: float) -> None:
    heard = Listening()
    heard.steady(76.5, 300, 0.01)
    heard.steady(73.5 - fell_k, 30, 0.01)
    assert "If the oil is in or you stirred, say so" in heard.text
    heard.probe.announce(heard.now_s, *announced(ActionKind.OIL_IN, 3.0))
    heard.steady(73.2 - fell_k, 5)
    assert heard.probe.suspicion is None and heard.heard[-1] is Heard.BELIEVED


def test_a_step_that_nobody_tells_of_is_believed_when_it_lasts() -> None:
    heard = Listening()
    heard.steady(76.5, 300, 0.01)
    heard.steady(67.5, 60, 0.01)
    assert Fault.STEPPED in heard.kinds and heard.probe.suspicion is not None
    heard.steady(66.9, 150, 0.01)
    assert heard.probe.suspicion is None and heard.heard[-1] is Heard.BELIEVED


@pytest.mark.parametrize("lag_s", [4.0, 6.0, 8.0, 15.0])
def test_a_probe_put_from_the_room_into_hot_wax_is_believed_all_the_way(lag_s: float) -> None:
    heard = Listening(on_heat=True)
    heard.steady(21.0, 60)
    heard.feed(_nearing(21.0, 74.0, lag_s, 120))
    assert heard.kinds == {} and heard.left_out == []
    assert heard.probe.last is not None and heard.probe.last.temp_c == pytest.approx(74.0, abs=0.2)


def test_cold_pieces_that_sink_to_the_probe_do_not_make_it_a_faulty_one() -> None:
    # Topped up on the heat: the melt falls by 12 K within a quarter of a minute, and rises again.
    heard = Listening(on_heat=True)
    heard.steady(76.0, 200)
    heard.feed(_nearing(76.0, 64.0, 12.0, 60))
    heard.feed([round(64.1 + 0.03 * i, 1) for i in range(120)])
    assert heard.kinds == {} and heard.left_out == []


def test_a_fast_rise_that_only_stops_is_no_fall_and_nothing_of_it_is_lost() -> None:
    # As the little baths of the open series do (bath_ctrl70 and its kin): 1 K/s, then held.
    heard = Listening(on_heat=True)
    heard.feed([round(25.0 + 0.9 * i, 1) for i in range(50)])
    heard.feed([round(70.0 + 0.8 * math.sin(1.7 * i), 1) for i in range(200)])
    assert heard.kinds == {}
    assert len(heard.left_out) <= 2
    assert heard.heard[-1] is Heard.BELIEVED


def test_after_a_gap_any_temperature_is_believed() -> None:
    heard = Listening()
    heard.steady(77.0, 200)
    heard.feed([77.0 - 1.5 * i for i in range(30)])
    heard.probe.forget()
    assert heard.probe.suspicion is None
    assert heard.read(40.0, 600.0) is Heard.BELIEVED


def test_what_waits_when_the_jug_is_poured_is_left_out_and_what_follows_may_lie_anywhere() -> None:
    heard = Listening()
    heard.steady(70.0, 200)
    heard.feed([68.5, 67.0])
    assert heard.heard[-1] is Heard.HELD
    heard.probe.watch_no_more()
    heard.left_out += heard.probe.take_left_out()
    assert [one.temp_c for one in heard.left_out] == [68.5, 67.0]
    heard.feed([66.0 - i for i in range(9)])
    assert heard.heard[-9:] == [Heard.BELIEVED] * 9


# --- the wrong unit and broken leads ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("wrong_c", "words"),
    [(fahrenheit(72.0), "choose °F for it"), ((72.0 - 32.0) / 1.8, "choose °C for it")],
)
def test_a_flip_of_the_unit_is_said_and_left_out_and_over_when_it_flips_back(
    wrong_c: float, words: str
) -> None:
    heard = Listening(on_heat=True)
    heard.steady(72.0, 200)
    for i in range(60):
        assert heard.read(round(wrong_c + 0.1 * (i % 3), 1)) is Heard.KEPT_OUT
    assert heard.probe.doubt is not None and heard.probe.doubt.kind is Fault.WRONG_UNIT
    assert words in heard.probe.doubt.text
    heard.steady(72.2, 10)
    assert heard.probe.doubt is None and heard.heard[-1] is Heard.BELIEVED


def test_a_shorted_lead_that_shows_the_room_is_said_and_not_believed() -> None:
    # T30: a second junction in the cable shows a steady room temperature.
    heard = Listening()
    heard.steady(77.0, 200)
    heard.steady(24.0, 60)
    assert heard.kinds or heard.probe.doubt is not None
    assert float(heard.probe.track.temps_c.min()) > 76.0
    heard.steady(76.0, 40, 0.01)
    assert heard.probe.suspicion is None and heard.heard[-1] is Heard.BELIEVED

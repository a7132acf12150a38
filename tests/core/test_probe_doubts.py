"""A false reading is noticed, said, and kept out of the curve and of the cues; a real one never is."""

import csv
import math
from collections.abc import Iterable, Sequence
from pathlib import Path

import pytest
from hurt_probe import Hurt, rows_of, scenario_of, seen, when, when_cooled_to
from kitchen import SETUP, Hob

from candlebench.core.events import ActionKind, Gap, Reading
from candlebench.core.melt import Melt
from candlebench.core.place import Place
from candlebench.core.probe import Heard, Probe
from candlebench.core.state import Level
from candlebench.core.units import Shown, fahrenheit
from candlebench.practice.recipe import setup_of
from candlebench.practice.scenario_file import load_scenario
from candlebench.practice.whole_melt import PracticeRow

OPEN_SERIES = Path(__file__).resolve().parents[3] / "shared" / "data" / "cooling"
SCENARIOS = sorted(
    p.stem for p in (Path(__file__).resolve().parents[2] / "resources/practice").glob("*.toml")
)

FIRST = scenario_of("first-jug")


def _played(
    rows: Sequence[PracticeRow], temps_c: Sequence[float], from_s: float, to_s: float, name: str = "first-jug"
) -> Hob:
    """A practice melt from one moment to another, what was done before done at once."""
    hob = Hob(setup_of(load_scenario(name), "serial:/dev/ttyUSB0"))
    for row, temp_c in zip(rows, temps_c, strict=True):
        if row.elapsed_s > to_s:
            break
        if row.elapsed_s >= from_s:
            hob.read(temp_c, row.elapsed_s - hob.now_s)
        if row.did:
            hob.now_s = row.elapsed_s
            hob.do(ActionKind(row.did))
    return hob


def _out(rows: Sequence[PracticeRow], from_s: float, for_s: float) -> list[float]:
    """What its probe shows that hangs in the air for a while."""
    return seen(rows, FIRST, [Hurt(from_s, from_s + for_s, "air")])


def _listen(probe: Probe, temps_c: Iterable[float], every_s: float = 1.0, from_s: float = 0.0) -> list[Heard]:
    return [
        probe.read(Reading(from_s + i * every_s, 1e9, temp_c), on_heat=False)
        for i, temp_c in enumerate(temps_c)
    ]


def _cooling(seconds: int, from_c: float = 76.0, k_per_min: float = 1.0) -> list[float]:
    """A jug on a cloth (H29 to H32: 0.6 to 1.5 K/min) on a display of tenths that trembles a little."""
    return [round(from_c - k_per_min * i / 60.0 + 0.05 * math.sin(2.4 * i), 1) for i in range(seconds)]


# --- out of the wax ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("out_s", [30.0, 180.0])
def test_a_probe_out_of_the_wax_is_said_soon_and_gives_no_cue(out_s: float) -> None:
    rows = rows_of("first-jug")
    at_s = when_cooled_to(rows, 76.3)
    hob = _played(rows, _out(rows, at_s, out_s), at_s - 400.0, at_s + out_s)
    said_s, notice = hob.first("probe_doubtful")
    assert said_s - at_s <= 20.0
    assert notice.level is Level.WARNING and "out of the wax" in notice.text and "hang it back" in notice.text
    assert not any(code in hob.codes("cue") for code in ("oil_open", "oil_last_call", "oil_missed"))
    state = hob.melt.state
    assert not state.fresh and state.rate_c_per_min is None
    assert "out of the wax" in state.probe.doubt and not state.probe.good
    assert float(state.temps_c.min()) > 75.3  # not one of the readings on the way down
    assert "no_reading" not in hob.codes("alarm")


def test_back_in_the_wax_it_is_right_again_by_itself_and_the_cue_comes_when_it_is_due() -> None:
    rows = rows_of("first-jug")
    at_s = when_cooled_to(rows, 76.3)
    hob = _played(rows, _out(rows, at_s, 30.0), at_s - 400.0, at_s + 110.0)
    state = hob.melt.state
    assert state.fresh and state.probe.good and state.alarms == ()
    wax_c = next(row.wax_c for row in rows if row.elapsed_s >= at_s + 110.0)
    assert state.temp_c == pytest.approx(wax_c, abs=0.3)
    # The lag of a probe of 8 s, warmed from 50 C, is gone to 0.2 K after 8 ln(25 / 0.2) = 39 s.
    believed_again_s = float(state.times_s[state.times_s > at_s + 5.0][0])
    assert believed_again_s - at_s - 30.0 <= 60.0


def test_a_probe_lifted_out_on_the_heat_is_not_taken_for_a_jug_lifted_off() -> None:
    rows = rows_of("first-jug")
    at_s = when(rows, ActionKind.OFF_HEAT) - 240.0
    hob = _played(rows, _out(rows, at_s, 120.0), at_s - 400.0, at_s + 200.0)
    assert "off_heat_noticed" not in hob.codes("cue") and hob.melt.state.on_heat
    assert "probe_doubtful" in hob.codes("alarm") and hob.melt.state.fresh


def test_in_the_air_for_ten_minutes_it_is_still_not_believed_and_a_number_typed_from_it_settles_it() -> None:
    probe = Probe(Place.MELT, Shown())
    _listen(probe, _cooling(120))
    air_c = [20.0 + 54.0 * math.exp(-i / 40.0) for i in range(600)]
    heard = _listen(probe, air_c, from_s=120.0)
    assert Heard.BELIEVED not in heard[2:] and probe.suspicion is not None
    probe.read(Reading(721.0, 1e9, 20.2, by_hand=True))
    assert probe.suspicion is None
    assert probe.read(Reading(722.0, 1e9, 20.0)) is Heard.BELIEVED


def test_a_probe_read_once_a_minute_is_doubted_at_its_first_reading_in_the_air() -> None:
    probe = Probe(Place.MELT, Shown())
    _listen(probe, [80.0, 79.0, 78.1, 77.2, 76.2], 60.0)
    assert _listen(probe, [34.0, 22.0], 60.0, 300.0) == [Heard.KEPT_OUT, Heard.KEPT_OUT]
    assert probe.suspicion is not None and "out of the wax" in probe.suspicion.text


def test_a_probe_in_the_bath_falls_out_of_the_water() -> None:
    probe = Probe(Place.BATH, Shown())
    _listen(probe, [95.0 + 0.1 * (i % 2) for i in range(90)])
    _listen(probe, [20.0 + 75.0 * math.exp(-i / 40.0) for i in range(30)], from_s=90.0)
    assert probe.suspicion is not None and "out of the water" in probe.suspicion.text


# --- what is real -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("fell_k", [2.0, 15.0])
def test_cold_wax_that_goes_in_is_believed_and_nothing_of_it_is_lost(fell_k: float) -> None:
    probe = Probe(Place.MELT, Shown())
    _listen(probe, [round(80.0 + 0.05 * i, 1) for i in range(120)])
    mixed = [86.0 - fell_k * (1.0 - math.exp(-i / 8.0)) for i in range(1, 120)]
    heard = [probe.read(Reading(120.0 + i, 1e9, round(c, 1)), on_heat=True) for i, c in enumerate(mixed)]
    assert probe.suspicion is None and heard[-1] is Heard.BELIEVED
    assert len(probe.track) == 120 + len(mixed) and probe.take_left_out() == ()


def test_a_probe_put_from_the_room_into_hot_wax_is_shown_at_once() -> None:
    probe = Probe(Place.MELT, Shown())
    _listen(probe, [21.0] * 60)
    heard = _listen(probe, [21.0 + 54.0 * (1.0 - math.exp(-i / 8.0)) for i in range(1, 60)], from_s=60.0)
    assert set(heard) == {Heard.BELIEVED}


@pytest.mark.parametrize("k_per_s", [0.2, 0.5, 1.0, 1.7])
def test_a_melt_that_really_races_raises_every_alarm_within_seconds(k_per_s: float) -> None:
    # 1.7 K/s is the most that a 2 kW hob gives half a kilo of wax (heat.md H8, waxes.md W24).
    hob = Hob()
    hob.ramp(60.0, 72.0, 4.0, 1.0)
    from_s = hob.now_s
    hob.feed(72.0 + k_per_s * i for i in range(1, round(28.0 / k_per_s)))
    dangers = [at_s for at_s, n in hob.said if n.code == "too_hot" and n.level is Level.DANGER]
    assert dangers and dangers[0] - from_s <= (85.0 - 72.0) / k_per_s + 4.0


@pytest.mark.parametrize("name", SCENARIOS)
@pytest.mark.parametrize(("every_s", "step_k"), [(1.0, 0.1), (2.0, 1.0), (0.5, 0.01), (10.0, 0.5)])
def test_a_sound_practice_melt_is_never_doubted(name: str, every_s: float, step_k: float) -> None:
    setup = setup_of(load_scenario(name), "serial:/dev/ttyUSB0")
    probe, on_heat = Probe(Place.MELT, Shown()), True
    probe.hangs_in(setup.room_c or 21.0, setup.limits, 100.0)
    for row in rows_of(name, 2, every_s, resolution_c=step_k):
        if row.did == "poured":
            break
        probe.read(Reading(row.elapsed_s, 1e9, row.temp_c), on_heat)
        assert probe.suspicion is None, (row.elapsed_s, probe.suspicion)
        on_heat = on_heat and row.did != "off the heat"
        if row.did in ("oil in", "stirred", "off the heat"):
            probe.announce(row.elapsed_s, 5.0, 90.0)
    assert probe.take_left_out() == ()


@pytest.mark.skipif(not OPEN_SERIES.exists(), reason="the open series are not on this machine")
def test_no_open_series_is_doubted_and_a_probe_lifted_out_of_one_is() -> None:
    for path in sorted(OPEN_SERIES.glob("*.csv")):
        if path.stem != "index":
            probe = Probe(Place.MELT, Shown())
            for at_s, temp_c in _series(path):
                probe.read(Reading(at_s, 1e9, temp_c), on_heat="bath" in path.stem or "heater" in path.stem)
                assert probe.suspicion is None, (path.stem, at_s, probe.suspicion)
    # Water that cools in a wind, 1 s apart, from 86 C: Water-Cooling-Curve (CC BY 4.0), see index.csv.
    probe, out_s = Probe(Place.MELT, Shown()), 100.0
    for at_s, temp_c in _series(OPEN_SERIES / "water80ml_fan.csv"):
        if at_s > out_s:
            temp_c = 25.0 + (temp_c - 25.0) * math.exp(-(at_s - out_s) / 33.0)  # T22
        if at_s < out_s + 40.0:
            probe.read(Reading(at_s, 1e9, round(temp_c, 1)), on_heat=False)
    assert probe.suspicion is not None and probe.suspicion.since_s - out_s <= 5.0


def _series(path: Path) -> list[tuple[float, float]]:
    with path.open() as lines:
        return [(float(row[0]), float(row[1])) for row in csv.reader(lines) if row[0][0] in "-0123456789"]


# --- at the wall ------------------------------------------------------------------------------------------


def test_a_step_up_on_the_heat_is_said_and_kept_out_while_the_alarm_for_its_heat_is_raised() -> None:
    rows = rows_of("first-jug")
    at_s = next(row.elapsed_s for row in rows if row.wax_c >= 77.5)
    # The wall is some 12 K hotter than the wax then: 0.6 of it makes 85 C of 78.
    hob = _played(
        rows, seen(rows, FIRST, [Hurt(at_s, at_s + 90.0, "wall", share=0.8)]), at_s - 500.0, at_s + 80.0
    )
    assert "wall" in hob.first("probe_doubtful")[1].text
    danger = next(n for _, n in hob.said if n.code == "too_hot")
    assert "may touch the wall" in danger.text
    assert float(hob.melt.state.temps_c.max()) < 80.0
    assert not hob.melt.state.fresh


def test_a_probe_that_was_on_the_wall_all_the_time_is_told_by_its_fall_at_the_lifting() -> None:
    rows = rows_of("first-jug")
    off_s = when(rows, ActionKind.OFF_HEAT)
    hurt = _played(rows, seen(rows, FIRST, [Hurt(0.0, 1e9, "wall", share=0.5)]), off_s - 300.0, off_s + 200.0)
    assert "may have touched the wall" in hurt.first("probe_fell_at_lifting")[1].text
    sound = _played(rows, [row.temp_c for row in rows], off_s - 300.0, off_s + 200.0)
    assert "probe_fell_at_lifting" not in sound.codes("cue")


def test_a_step_down_off_the_heat_is_asked_about_and_believed_when_she_says_that_the_oil_is_in() -> None:
    hob = Hob()
    hob.ramp(70.0, 80.0, 3.0)
    hob.do(ActionKind.OFF_HEAT)
    hob.feed(_cooling(240, 80.0))
    hob.feed(c - 3.0 * (1.0 - math.exp(-i / 6.0)) for i, c in enumerate(_cooling(40, 76.0)))
    assert "If the oil is in or you stirred, say so" in hob.first("probe_doubtful")[1].text
    assert not hob.melt.state.fresh
    hob.do(ActionKind.OIL_IN)
    hob.feed(_cooling(3, 72.3))
    assert hob.melt.state.fresh and hob.melt.state.temp_c == pytest.approx(72.3, abs=0.2)


# --- another unit, a contact, one number ------------------------------------------------------------------


def test_a_display_that_flips_to_fahrenheit_and_back_leaves_no_trace_but_in_the_record() -> None:
    rows = rows_of("first-jug")
    at_s = when_cooled_to(rows, 77.0)
    flips = [at_s <= row.elapsed_s < at_s + 60.0 for row in rows]
    flipped = [fahrenheit(row.temp_c) if flip else row.temp_c for row, flip in zip(rows, flips, strict=True)]
    hob = _played(rows, flipped, at_s - 300.0, at_s + 65.0)
    assert "°F" in hob.first("impossible_reading")[1].text
    state = hob.melt.state
    assert state.fresh and float(state.temps_c.max()) < 90.0
    assert not ((state.times_s >= at_s) & (state.times_s < at_s + 60.0)).any()


def test_what_is_said_of_every_reading_adds_up_to_what_was_read() -> None:
    rows = rows_of("first-jug")
    at_s = when_cooled_to(rows, 76.3)
    hob = Hob(setup_of(load_scenario("first-jug"), "serial:/dev/ttyUSB0"))
    hob.do(ActionKind.OFF_HEAT)
    left_out: list[float] = []
    read = 0
    for row, temp_c in zip(rows, _out(rows, at_s, 30.0), strict=True):
        if at_s - 300.0 <= row.elapsed_s <= at_s + 120.0:
            hob.read(temp_c, row.elapsed_s - hob.now_s)
            read += 1
            left_out += [one.reading_s for one in hob.melt.left_out]
    times_s = hob.melt.state.times_s.tolist()
    assert len(times_s) + len(left_out) == read
    assert not set(times_s) & set(left_out) and len(set(left_out)) == len(left_out) > 30


def test_replayed_it_is_doubted_and_believed_the_same() -> None:
    rows = rows_of("first-jug")
    at_s = when_cooled_to(rows, 76.3)
    temps_c = _out(rows, at_s, 60.0)
    for until_s in (at_s + 40.0, at_s + 140.0):
        hob = _played(rows, temps_c, at_s - 300.0, until_s)
        again = Melt.replayed(hob.events)
        one, other = hob.melt.state, again.state
        assert one.times_s.tolist() == other.times_s.tolist()
        assert (one.fresh, one.probe, one.temp_c) == (other.fresh, other.probe, other.temp_c)


def test_after_a_gap_it_starts_afresh() -> None:
    hob = Hob()
    hob.do(ActionKind.OFF_HEAT)
    hob.feed(_cooling(120))
    hob.feed(20.0 + 54.0 * math.exp(-i / 40.0) for i in range(40))
    assert hob.melt.state.probe.doubt
    hob.now_s += 900.0
    hob.apply(Gap(hob.now_s, 0.0, 900.0, "asleep"))
    hob.read(61.0)
    assert hob.melt.state.temp_c == 61.0 and not hob.melt.state.probe.doubt


def test_typed_numbers_are_never_doubted() -> None:
    hob = Hob(SETUP)
    for temp_c in (78.0, 77.0, 30.0, 76.0, 76.0, 76.0):
        hob.read(temp_c, 30.0, by_hand=True)
    assert hob.melt.left_out == () and not hob.melt.state.probe.doubt and hob.melt.state.temp_c == 76.0


def test_a_jug_lifted_off_while_its_probe_was_out_is_believed_only_once_the_probe_has_arrived() -> None:
    # Rising before, cooling after: the end of the way back rises as the melt did, and is not the melt.
    hob = Hob()
    hob.ramp(60.0, 74.0, 4.0)
    hob.feed(20.0 + 54.0 * math.exp(-i / 60.0) for i in range(1, 300))
    hob.do(ActionKind.OFF_HEAT)
    hob.feed(20.0 for _ in range(300))
    back_s = hob.now_s
    hob.feed(round(76.0 - i / 60.0 - 56.0 * math.exp(-i / 14.0), 1) for i in range(1, 120))
    state = hob.melt.state
    assert state.fresh and state.temp_c == pytest.approx(74.0, abs=0.1)
    again = state.times_s > back_s
    wax_c = 76.0 - (state.times_s[again] - back_s) / 60.0
    assert float(abs(state.temps_c[again] - wax_c).max()) <= 0.5

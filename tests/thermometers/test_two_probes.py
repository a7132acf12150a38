"""Two probes of one melt over real wires: each keeps its place, and the trouble of one is not the other's."""

import threading
from collections.abc import Callable, Iterator

import pytest
from wires import PATIENCE_S, Printing, PtyDevice, TcpDevice, listening, modbus_two

from candlebench.addresses import beside_of, open_beside, open_source, read_anew, same_place
from candlebench.core.clock import LiveClock
from candlebench.core.errors import FixableError
from candlebench.core.events import Event, ProbeTrouble, Reading
from candlebench.core.place import Place
from candlebench.core.setup import Beside, Limits, MeltSetup
from candlebench.core.units import Shown
from candlebench.practice.scenario_file import load_scenario
from candlebench.runner import Moment, NoLog, Runner, Session
from candlebench.second_probe import Secondary
from candlebench.thermometers.modbus_frames import crc16
from candlebench.thermometers.practice import PracticeSource
from candlebench.thermometers.replay import ReplaySource

LIMITS = Limits(68.0, 70.0, 75.0, 68.0, 71.0, 80.0, 85.0, 95.0)


@pytest.fixture
def device() -> Iterator[PtyDevice]:
    one = PtyDevice()
    yield one
    one.unplug()


def temps(heard: list[object], place: Place) -> list[float]:
    return [event.temp_c for event in heard if isinstance(event, Reading) and event.place is place]


def test_the_bath_named_in_the_address_leaves_the_other_channel_to_the_melt(device: PtyDevice) -> None:
    printing = Printing(device.send, line="T1: {n:.2f} C  T2: 91.50 C\r\n")
    with listening(open_source(f"serial:{device.path}?bath=T2")) as heard:
        for _ in range(8):
            heard.reading()
        printing.pause()
    melt, bath = temps(heard.heard, Place.MELT), temps(heard.heard, Place.BATH)
    assert melt and set(melt) <= set(printing.sent) and melt == sorted(set(melt))
    assert bath and set(bath) == {91.5}
    assert not [event for event in heard.heard if isinstance(event, ProbeTrouble)]


def test_of_two_bare_columns_the_one_that_is_not_the_bath_is_the_melt(device: PtyDevice) -> None:
    printing = Printing(device.send, line="{n:.2f},91.50\r\n")
    with listening(open_source(f"serial:{device.path}?bath=column 2")) as heard:
        while not temps(heard.heard, Place.MELT):
            heard.reading()
        printing.pause()
    assert set(temps(heard.heard, Place.MELT)) <= set(printing.sent)
    assert set(temps(heard.heard, Place.BATH)) == {91.5}


def test_a_third_channel_makes_the_melt_undecided_and_the_bath_goes_on(device: PtyDevice) -> None:
    printing = Printing(device.send, line="T1: {n:.2f} C T2: 91.50 C T3: 30.25 C\r\n")
    with listening(open_source(f"serial:{device.path}?bath=T2")) as heard:
        trouble = heard.trouble("undecided")
        printing.pause()
    assert trouble.place is Place.MELT
    assert set(temps(heard.heard, Place.BATH)) == {91.5}


def test_a_second_channel_that_falls_silent_is_named_and_comes_back(device: PtyDevice) -> None:
    melt = Printing(device.send, line="T1: {n:.2f} C\r\n")
    bath = Printing(device.send, line="T2: 91.50 C\r\n")
    try:
        with listening(open_source(f"serial:{device.path}?bath=T2")) as heard:
            # Long enough to know its pace.
            while len(temps(heard.heard, Place.BATH)) < 20:
                heard.reading()
            bath.pause()
            silent = heard.trouble("silent")
            assert silent.place is Place.BATH and "bath" in silent.text
            assert heard.reading().place is Place.MELT
            bath.go_on()
            assert heard.trouble("back").place is Place.BATH
    finally:
        bath.pause()
        melt.pause()
    last_s = max(e.elapsed_s for e in heard.heard if isinstance(e, Reading) and e.place is Place.BATH)
    read = [event for event in heard.heard if isinstance(event, Reading)]
    assert silent.elapsed_s < last_s
    before_s = max(e.elapsed_s for e in read if e.place is Place.BATH and e.elapsed_s < silent.elapsed_s)
    assert silent.elapsed_s - before_s <= 3.0
    assert [one.elapsed_s for one in read] == sorted(one.elapsed_s for one in read)


def test_two_registers_are_asked_in_turn_and_never_mixed_up() -> None:
    device = PtyDevice(modbus_two)
    try:
        with listening(open_source(f"modbus:{device.path}?scale=0.1&every=0.1&register=0&bath=2")) as heard:
            for _ in range(20):
                heard.reading()
    finally:
        device.unplug()
    assert set(temps(heard.heard, Place.MELT)) == {70.5}
    assert set(temps(heard.heard, Place.BATH)) == {91.5}
    places = [event.place for event in heard.heard if isinstance(event, Reading)]
    assert abs(places.count(Place.MELT) - places.count(Place.BATH)) <= 1


def test_a_register_that_is_not_there_is_the_second_probes_trouble_alone() -> None:
    def answer(asked: bytes) -> bytes:
        if asked[3] == 0:
            return modbus_two(asked)
        # Exception 2, illegal data address (MODBUS Application Protocol V1.1b3, 7).
        frame = asked[:1] + bytes([0x84, 2])
        return frame + crc16(frame).to_bytes(2, "little")

    device = PtyDevice(answer)
    try:
        with listening(open_source(f"modbus:{device.path}?scale=0.1&every=0.2&bath=7")) as heard:
            trouble = heard.trouble("refused")
            for _ in range(5):
                heard.reading()
    finally:
        device.unplug()
    assert trouble.place is Place.BATH
    assert set(temps(heard.heard, Place.MELT)) == {70.5}
    assert not temps(heard.heard, Place.BATH)


def test_two_questions_to_a_bench_meter_in_ohms_are_two_temperatures() -> None:
    # IEC 60751: 125.160 ohm is 65 C and 138.505 ohm is 100 C.
    def answer(asked: bytes) -> bytes:
        if b"*IDN?" in asked:
            return b"BENCH,METER,1,1\n"
        return b"+1.25160E+02\n" if b"101" in asked else b"+1.38505E+02\n"

    device = TcpDevice(answer)
    query = "query=MEAS:FRES%3F (@101)&bath=MEAS:FRES%3F (@102)&sensor=pt100&every=0.1"
    try:
        with listening(open_source(f"scpi:{device.path}?{query}")) as heard:
            for _ in range(6):
                heard.reading()
    finally:
        device.unplug()
    assert temps(heard.heard, Place.MELT)[0] == pytest.approx(65.0, abs=0.01)
    assert temps(heard.heard, Place.BATH)[0] == pytest.approx(100.0, abs=0.01)


class _Watching:
    """A runner under test, its events, and a way to wait for one."""

    def __init__(self, runner: Callable[[Callable[[Moment], None]], Runner]) -> None:
        self.events: list[Event] = []
        self._next = 0
        self._news = threading.Condition()
        self.runner = runner(self._take)
        self.runner.start()

    def _take(self, moment: Moment) -> None:
        if moment.event is not None:
            with self._news:
                self.events.append(moment.event)
                self._news.notify_all()

    def until(self, is_it: Callable[[Event], bool]) -> Event:
        """Return the next event of this kind, after the one returned before; wait until it is there."""

        def place() -> int | None:
            return next((i for i in range(self._next, len(self.events)) if is_it(self.events[i])), None)

        with self._news:
            assert self._news.wait_for(lambda: place() is not None, PATIENCE_S)
            found = place()
        assert found is not None
        self._next = found + 1
        return self.events[found]


def _watching(first: str, beside: Beside) -> _Watching:
    setup = MeltSetup("two probes", "beeswax", LIMITS, source=first, beside=beside)

    def runner(listener: Callable[[Moment], None]) -> Runner:
        source = open_source(first)
        second = Secondary(open_beside(beside, first, source.clock), beside.place)
        return Runner(Session.begin(NoLog(), setup, 1000.0, Shown()), source, listener, second)

    return _Watching(runner)


def _at(place: Place) -> Callable[[Event], bool]:
    return lambda event: isinstance(event, Reading) and event.place is place


def test_either_of_two_thermometers_may_be_pulled_out_and_the_other_goes_on() -> None:
    melt, bath = TcpDevice(), TcpDevice()
    says = {one: Printing(one.send) for one in (melt, bath)}
    watching = _watching(f"tcp:127.0.0.1:{melt.port}", Beside(Place.BATH, f"tcp:127.0.0.1:{bath.port}"))
    try:
        for out, place, stays in ((bath, Place.BATH, Place.MELT), (melt, Place.MELT, Place.BATH)):
            watching.until(_at(place))
            out.switch_off()
            gone = watching.until(lambda event: isinstance(event, ProbeTrouble))
            assert isinstance(gone, ProbeTrouble) and gone.place is place
            for _ in range(3):
                watching.until(_at(stays))
            assert not watching.runner.source_ended.is_set()
            out.switch_on()
            watching.until(_at(place))
        state = watching.runner.session.melt.state
        assert state.temp_c is not None and state.beside is not None and state.beside.temp_c is not None
    finally:
        for printing in says.values():
            printing.pause()
        watching.runner.stop()
        for one in says:
            one.unplug()
    for place in (Place.MELT, Place.BATH):
        read = [event for event in watching.events if isinstance(event, Reading) and event.place is place]
        assert [one.temp_c for one in read] == sorted({one.temp_c for one in read})


def test_a_flood_from_the_second_thermometer_does_not_slow_the_first() -> None:
    melt, bath = PtyDevice(), TcpDevice()
    says, floods = Printing(melt.send), Printing(bath.send, every_s=0.01, line="91.50\r\n" * 100)
    watching = _watching(f"serial:{melt.path}", Beside(Place.BATH, f"tcp:127.0.0.1:{bath.port}"))
    try:
        watching.until(_at(Place.BATH))
        clock = LiveClock()
        for _ in range(20):
            watching.until(_at(Place.MELT))
        took_s = clock.elapsed_s()
    finally:
        for printing in (says, floods):
            printing.pause()
        watching.runner.stop()
        melt.unplug()
        bath.unplug()
    # Twenty readings a tenth of a second apart, on a machine with other work to do.
    assert took_s < 6.0
    assert len([e for e in watching.events if _at(Place.BATH)(e)]) <= 20.0 * (took_s + 4.0)


def test_the_second_thermometer_can_be_dropped_and_changed_while_the_first_runs() -> None:
    melt, bath = PtyDevice(), TcpDevice()
    says = [Printing(melt.send), Printing(bath.send)]
    first, beside = f"serial:{melt.path}", Beside(Place.BATH, f"tcp:127.0.0.1:{bath.port}")
    watching = _watching(first, beside)
    try:
        watching.until(_at(Place.BATH))
        watching.runner.read_beside(None)
        for _ in range(3):
            watching.until(_at(Place.MELT))
        assert not any(thread.name == "second probe" for thread in threading.enumerate())
        room = Beside(Place.ROOM, beside.source)
        watching.runner.read_beside(Secondary(open_beside(room, first, watching.runner.clock), room.place))
        watching.until(_at(Place.ROOM))
    finally:
        for printing in says:
            printing.pause()
        watching.runner.stop()
        melt.unplug()
        bath.unplug()


@pytest.mark.parametrize(
    ("first", "second", "says"),
    [
        ("serial:/dev/ttyUSB0", "serial:/dev/ttyUSB0?baud=115200", "cannot be read from /dev/ttyUSB0 twice"),
        ("scpi:tcp:10.0.0.2:5025", "tcp:10.0.0.2:5025", "twice"),
        ("practice:first-jug", "serial:/dev/ttyUSB1", "in its own time"),
        ("serial:/dev/ttyUSB0", "typed:", "needs a cable"),
        ("serial:/dev/ttyUSB0", "replay:melt.csv", "needs a cable"),
    ],
)
def test_what_cannot_be_read_beside_the_first_is_refused_in_one_sentence(
    first: str, second: str, says: str
) -> None:
    with pytest.raises(FixableError, match=says):
        open_beside(Beside(Place.BATH, second), first, LiveClock())


def test_two_modbus_devices_behind_one_gateway_are_two_places() -> None:
    assert not same_place("modbus:tcp:10.0.0.2:502?unit=1", "modbus:tcp:10.0.0.2:502?unit=2")


@pytest.mark.parametrize(
    ("address", "says"),
    [
        ("serial:/dev/ttyUSB0?bath=T1&room=T2", "Only one second probe"),
        ("serial:/dev/ttyUSB0?channel=t1&bath=T1", "two different probes"),
        ("modbus:/dev/ttyUSB0?bath=two", "bath=two cannot be"),
        ("scpi:/dev/ttyUSB0?room=READ", "room=READ is no question"),
        ("practice:first-jug?bath=maybe", "write bath=yes"),
        ("scpi:/dev/ttyUSB0?sensor=pt99", "sensor=pt99 is not known"),
        ("modbus:/dev/ttyUSB0?sensor=pt100&junction=20", "goes with another sensor"),
        ("scpi:/dev/ttyUSB0?sensor=type-k&junction=200", "junction=200 cannot be"),
    ],
)
def test_an_address_that_names_no_second_probe_says_what_to_write(address: str, says: str) -> None:
    with pytest.raises(FixableError, match=says):
        open_source(address)


def test_the_place_of_a_second_probe_is_in_the_address() -> None:
    assert beside_of("serial:/dev/ttyUSB0?room=T2") == Beside(Place.ROOM)
    assert beside_of("serial:/dev/ttyUSB0?channel=T1") is None


def test_a_wire_stays_open_when_only_the_reading_of_its_lines_changes() -> None:
    before = "serial:/dev/ttyUSB0?baud=9600"
    lines = read_anew(before, before + "&channel=T1&bath=T2&unit=F")
    assert lines is not None and (lines.channel, lines.beside, lines.unit) == ("T1", "T2", "F")
    assert read_anew(before, "serial:/dev/ttyUSB0?baud=115200") is None
    assert read_anew(before, "serial:/dev/ttyUSB1?baud=9600") is None
    assert read_anew("modbus:/dev/ttyUSB0", "modbus:/dev/ttyUSB0?bath=2") is None


def _all(source: PracticeSource | ReplaySource, count: int) -> list[Reading]:
    found: list[Reading] = []
    for event in source.events(threading.Event()):
        if isinstance(event, Reading):
            found.append(event)
        if len(found) == count:
            break
    return found


def test_a_practice_probe_in_the_bath_follows_the_hidden_bath_with_an_error_of_its_own() -> None:
    source = PracticeSource("first-jug", 1e6, beside=Place.BATH, seed=3)
    read = _all(source, 3000)
    bath = {one.elapsed_s: one.temp_c for one in read if one.place is Place.BATH}
    off_k = [
        bath[truth.elapsed_s] - truth.bath_c for truth in source.truth_curve() if truth.elapsed_s in bath
    ]
    # T8: a cheap probe is right within 1 to 2 K; on a ramp of 8 K/min a lag of 6 s is 0.8 K.
    assert max(map(abs, off_k)) < 3.0
    assert source.setup.beside == Beside(Place.BATH)
    again = _all(PracticeSource("first-jug", 1e6, beside=Place.BATH, seed=3), 3000)
    assert again == read or [one.temp_c for one in again] == [one.temp_c for one in read]


def test_a_second_probe_does_not_change_the_melt_that_is_practised() -> None:
    alone = _all(PracticeSource(load_scenario("first-jug"), 1e6, seed=3), 300)
    beside = _all(PracticeSource(load_scenario("first-jug"), 1e6, seed=3, beside=Place.ROOM), 600)
    assert [one.temp_c for one in beside if one.place is Place.MELT] == [one.temp_c for one in alone]

"""A scripted instrument, written from the rules of IEEE 488.2 and SCPI-1999 and not from our own parser.

Of IEEE 488.2-1992: a query is answered with one response message that ends with a line feed (8.2); numbers
are NR1 (whole), NR2 (with a point) or NR3 (with an exponent) (8.7.2 to 8.7.4); *IDN? gives four fields
(10.14). Of SCPI-1999: an unknown header queues the error -113 and is not answered (volume 2, 21.8); infinity
is 9.9E37, "not a number" 9.91E37 (volume 1, 7.2.1). All from memory.
"""

import threading
from collections.abc import Iterator

import pytest
from wires import PtyDevice, TcpDevice, listening

from candlebench.addresses import open_source
from candlebench.core.events import Reading


class Instrument:
    """Answers as a bench meter does. `form` is how it writes numbers, `slow_s` how long it measures."""

    def __init__(self, form: str = "NR3") -> None:
        self.temp_c = 63.5
        self.form = form
        self.is_open = False
        self.errors: list[str] = []
        self.slow_s = 0.0
        self._heard = b""

    def __call__(self, asked: bytes) -> bytes:
        *messages, self._heard = (self._heard + asked).split(b"\n")
        return b"".join(self._answer(message.decode("ascii").strip()) for message in messages)

    def _answer(self, message: str) -> bytes:
        header = message.upper()
        if header == "*IDN?":
            return b"OWN BENCH,PROBE 1,0,1.0\n"
        if header in ("READ?", "MEAS?", "MEASURE:TEMPERATURE?", "FETC?"):
            threading.Event().wait(self.slow_s)
            return f"{self._number()}\n".encode()
        if header == "SYST:ERR?":
            return (
                f"{self.errors.pop(0) if self.errors else '0,' + chr(34) + 'No error' + chr(34)}\n".encode()
            )
        self.errors.append('-113,"Undefined header"')
        return b""

    def _number(self) -> str:
        number = 9.9e37 if self.is_open else self.temp_c
        return {"NR1": f"{number:.0f}", "NR2": f"{number:.3f}", "NR3": f"{number:+.8E}"}[self.form]


@pytest.fixture
def instrument() -> Instrument:
    return Instrument()


@pytest.fixture(params=["serial", "network"])
def address(request: pytest.FixtureRequest, instrument: Instrument) -> Iterator[str]:
    device = PtyDevice(instrument) if request.param == "serial" else TcpDevice(instrument)
    yield f"scpi:{device.path}"
    device.unplug()


@pytest.mark.parametrize(("form", "temp_c"), [("NR1", 64.0), ("NR2", 63.5), ("NR3", 63.5)])
def test_each_form_of_number_is_read(address: str, instrument: Instrument, form: str, temp_c: float) -> None:
    instrument.form = form
    with listening(open_source(f"{address}?every=0.1")) as heard:
        assert heard.reads(temp_c)
        assert heard.source.recent_lines()[0].text == "OWN BENCH,PROBE 1,0,1.0"  # type: ignore[attr-defined]
    assert instrument.errors == []


def test_a_question_with_its_mark_encoded_or_plain_is_asked(address: str) -> None:
    for query in ("MEASURE:TEMPERATURE?", "MEASURE%3ATEMPERATURE%3F"):
        with listening(open_source(f"{address}?query={query}&every=0.1")) as heard:
            assert heard.reads(63.5)


def test_an_open_probe_is_a_fault_and_never_a_number(address: str, instrument: Instrument) -> None:
    with listening(open_source(f"{address}?every=0.5")) as heard:
        last = heard.reads(63.5)
        instrument.is_open = True
        trouble = heard.trouble("fault")
        last = [event for event in heard.heard if isinstance(event, Reading)][-1]
        assert "overload" in trouble.text and trouble.elapsed_s - last.elapsed_s <= 3.0
        instrument.is_open = False
        heard.trouble("back")
        heard.reads(63.5)
    assert {event.temp_c for event in heard.heard if isinstance(event, Reading)} == {63.5}


def test_a_question_that_it_does_not_know_is_said(address: str, instrument: Instrument) -> None:
    with listening(open_source(f"{address}?query=TEMP?&every=0.1")) as heard:
        assert "TEMP?" in heard.trouble("silent").text
    assert '-113,"Undefined header"' in instrument.errors


def test_a_measurement_of_two_seconds_is_waited_for(address: str, instrument: Instrument) -> None:
    instrument.slow_s = 2.0
    with listening(open_source(f"{address}?every=0.1")) as heard:
        first = heard.reads(63.5)
        second = heard.reads(63.5)
        assert second.elapsed_s - first.elapsed_s > 1.9
        # The first one was late; the second was expected to be.
        assert len(heard.troubles()) <= 2
        instrument.slow_s = 0.0

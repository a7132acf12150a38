"""A wire with sentences of NMEA 0183 and nothing else, made by pynmea2, over a port and over the network."""

from collections.abc import Iterator

import pynmea2
import pytest
from wires import Printing, PtyDevice, TcpDevice, listening

from candlebench.addresses import open_source
from candlebench.core.events import Reading
from candlebench.thermometers.nmea_lines import NmeaParser
from candlebench.thermometers.parsed_line import BadLine, Value, Why


def transducer(temp_c: float, name: str = "MELT") -> bytes:
    return f"{pynmea2.XDR('YX', 'XDR', ('C', f'{temp_c:.2f}', 'C', name))}\r\n".encode()


@pytest.fixture(params=["serial", "network"])
def device(request: pytest.FixtureRequest) -> Iterator[PtyDevice | TcpDevice]:
    one = PtyDevice() if request.param == "serial" else TcpDevice()
    yield one
    one.unplug()


def test_temperatures_of_a_bus_are_read_and_its_other_sentences_left(device: PtyDevice | TcpDevice) -> None:
    def send(line: bytes) -> None:
        other = f"{pynmea2.MWV('WI', 'MWV', ('12.5', 'R', '63.5', 'N', 'A'))}\r\n".encode()
        device.send(other + transducer(float(line)))

    printing = Printing(send)
    with listening(open_source(f"nmea:{device.path}")) as heard:
        for _ in range(5):
            heard.reading()
    printing.pause()
    temps = [event.temp_c for event in heard.heard if isinstance(event, Reading)]
    assert temps == sorted(set(temps)) and set(temps) <= set(printing.sent)


def test_of_several_transducers_the_chosen_one_is_the_melt(device: PtyDevice | TcpDevice) -> None:
    printing = Printing(lambda line: device.send(transducer(21.5, "BATH") + transducer(float(line))))
    with listening(open_source(f"nmea:{device.path}?channel=MELT")) as heard:
        for _ in range(3):
            assert heard.reading().temp_c >= 60.0
    printing.pause()


@pytest.mark.parametrize(
    ("line", "why"),
    [
        (b"63.5\r\n", Why.NO_NUMBER),
        (b"T1: 63.5 C\r\n", Why.NO_NUMBER),
        (transducer(63.5).replace(b"63.50", b"69.50"), Why.CHECKSUM),
        (transducer(85.0), Why.POWER_ON),
        (transducer(850.0), Why.IMPOSSIBLE),
        (b"\xff\xfe\x80\x81\xf3\n", Why.GARBLED),
    ],
)
def test_whatever_is_no_sound_sentence_is_refused(line: bytes, why: Why) -> None:
    (bad,) = NmeaParser().feed(line)
    assert isinstance(bad, BadLine) and bad.why is why


def test_the_part_of_a_sentence_that_was_opened_into_is_dropped() -> None:
    parser = NmeaParser()
    parser.expect_part()
    whole = transducer(63.5)
    part, value = parser.feed(whole[9:] + whole)
    assert isinstance(part, BadLine) and part.why is Why.CUT
    assert isinstance(value, Value) and (value.temp_c, value.channel) == (63.5, "MELT")

"""Modbus against the examples of its specifications and against pymodbus, a library for it on PyPI."""

import asyncio
import logging
import struct
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from wires import PATIENCE_S, NullModem, listening

from candlebench.addresses import open_source
from candlebench.core.events import Reading, Refused
from candlebench.thermometers.answers import Answer
from candlebench.thermometers.modbus_frames import RtuQuestion, TcpQuestion, crc16, request_pdu
from candlebench.thermometers.modbus_point import ModbusPoint


def test_the_check_sum_is_that_of_the_specification() -> None:
    # MODBUS over Serial Line V1.02, 6.2.2: 02 07 has the check sum 0x1241, sent as 41 12 (from memory).
    assert crc16(b"\x02\x07") == 0x1241
    # CRC-16/MODBUS in the catalogue of parametrised CRC algorithms: check value of "123456789" (from memory).
    assert crc16(b"123456789") == 0x4B37
    # A frame with its own check sum behind it leaves nothing.
    assert crc16(b"\x02\x07\x41\x12") == 0


def test_requests_are_those_of_the_specification() -> None:
    # MODBUS Application Protocol V1.1b3, 6.4, read input register 9: 04 00 08 00 01, then 04 02 00 0A (from
    # memory, as 6.3 below).
    point = ModbusPoint(unit=1, function=4, register=8)
    assert request_pdu(point) == bytes.fromhex("0400080001")
    question = TcpQuestion(point)
    number = question.ask()[:2]
    (answer,) = question.feed(number + bytes.fromhex("00000005010402000A"))
    assert isinstance(answer, Answer) and answer.temp_c == 10.0
    # 6.3: "read registers 108 to 110" is 03 00 6B 00 03; here two of them, for a float.
    assert request_pdu(ModbusPoint(function=3, register=107, type="float32")) == bytes.fromhex("03006B0002")


def test_frames_and_check_sums_are_those_of_pymodbus() -> None:
    framer = pytest.importorskip("pymodbus.framer", reason="pymodbus is not installed")
    pdu = pytest.importorskip("pymodbus.pdu.register_message")
    decode = pytest.importorskip("pymodbus.pdu").DecodePDU(False)

    @given(unit=st.integers(1, 247), register=st.integers(0, 0xFFFE), holding=st.booleans())
    def same(unit: int, register: int, holding: bool) -> None:
        kind = pdu.ReadHoldingRegistersRequest if holding else pdu.ReadInputRegistersRequest
        theirs = kind(dev_id=unit, address=register, count=1, transaction_id=1)
        point = ModbusPoint(unit=unit, register=register, function=3 if holding else 4)
        assert RtuQuestion(point).ask() == framer.FramerRTU(decode).buildFrame(theirs)
        assert TcpQuestion(point).ask() == framer.FramerSocket(decode).buildFrame(theirs)

    same()


def test_floats_are_in_the_order_of_pymodbus() -> None:
    client = pytest.importorskip("pymodbus.client", reason="pymodbus is not installed").ModbusTcpClient
    for order, theirs in (("ABCD", "big"), ("CDAB", "little")):
        words = client.convert_to_registers(63.57, client.DATATYPE.FLOAT32, theirs)
        question = TcpQuestion(ModbusPoint(type="float32", order=order))
        head = question.ask()[:2] + bytes.fromhex("00000007010404")
        (answer,) = question.feed(head + struct.pack(">HH", *words))
        assert isinstance(answer, Answer) and answer.temp_c == pytest.approx(63.57, abs=1e-5)


class Bench:
    """A server of pymodbus in a thread of its own; `damage` may change each packet that it sends."""

    def __init__(self) -> None:
        self.damage: Callable[[bytes], bytes] = lambda packet: packet
        self.refuse: Any = None
        self.registers = [635, 0x7FFF]

    def packet(self, sending: bool, packet: bytes) -> bytes:
        """What pymodbus asks before it sends."""
        return self.damage(packet) if sending else packet

    async def act(
        self, function: int, start: int, address: int, count: int, current: list[int], new: Any
    ) -> Any:
        """What pymodbus asks before it reads a register."""
        current[: len(self.registers)] = self.registers
        return self.refuse


@contextmanager
def serving(server: str, bench: Bench, **where: Any) -> Iterator[None]:
    module = pytest.importorskip("pymodbus.server", reason="pymodbus is not installed")
    simulator = pytest.importorskip("pymodbus.simulator")
    logging.getLogger("pymodbus.logging").setLevel(logging.CRITICAL)
    data = [
        simulator.SimData(0, values=bench.registers, datatype=simulator.DataType.REGISTERS),
        simulator.SimData(10, values=63.5, datatype=simulator.DataType.FLOAT32),
    ]
    device = simulator.SimDevice(id=1, simdata=data, action=bench.act)
    ready, over = threading.Event(), threading.Event()

    async def serve() -> None:
        one = getattr(module, server)(device, trace_packet=bench.packet, **where)
        await one.serve_forever(background=True)
        ready.set()
        while not over.is_set():
            await asyncio.sleep(0.02)
        await one.shutdown()

    thread = threading.Thread(target=lambda: asyncio.run(serve()), name="pymodbus")
    thread.start()
    assert ready.wait(PATIENCE_S)
    try:
        yield
    finally:
        over.set()
        thread.join(PATIENCE_S)


@pytest.fixture
def bench() -> Bench:
    return Bench()


@pytest.fixture(params=["serial", "network"])
def address(request: pytest.FixtureRequest, bench: Bench) -> Iterator[str]:
    """Where a pymodbus server answers, on a pair of joined ports or on this machine's network."""
    if request.param == "network":
        import socket

        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            port = free.getsockname()[1]
        with serving("ModbusTcpServer", bench, address=("127.0.0.1", port)):
            yield f"modbus:tcp:127.0.0.1:{port}?every=0.2"
        return
    wire = NullModem()
    with serving("ModbusSerialServer", bench, port=wire.paths[0], baudrate=9600):
        yield f"modbus:{wire.paths[1]}?baud=9600&every=0.2"
    wire.unplug()


def test_registers_of_a_pymodbus_server_are_read(address: str) -> None:
    for query, temp_c in (
        ("function=3&register=0&scale=0.1", 63.5),
        ("function=4&register=0&scale=0.1&type=uint16&degrees=F", 17.5),
        ("function=3&register=10&type=float32", 63.5),
    ):
        with listening(open_source(f"{address}&{query}")) as heard:
            assert heard.reads(temp_c)
            assert heard.reads(temp_c)
            assert not [event for event in heard.heard if not isinstance(event, Reading)]


def test_an_exception_of_a_pymodbus_server_becomes_a_sentence_and_is_got_over(
    address: str, bench: Bench
) -> None:
    codes = pytest.importorskip("pymodbus.constants").ExcCodes
    with listening(open_source(f"{address}&scale=0.1")) as heard:
        last = heard.reading()
        bench.refuse = codes.ILLEGAL_ADDRESS
        trouble = heard.trouble("refused")
        assert "register 0" in trouble.text
        assert trouble.elapsed_s - last.elapsed_s <= 3.5
        stale_s = trouble.elapsed_s - max(e.elapsed_s for e in heard.heard if isinstance(e, Reading))
        assert stale_s <= 3.0
        bench.refuse = None
        assert heard.trouble("back")
        assert heard.reads(63.5)
        assert heard.troubles() == ["refused", "back"]


def test_damaged_answers_are_never_read_and_are_got_over(address: str, bench: Bench) -> None:
    with listening(open_source(f"{address}&scale=0.1")) as heard:
        heard.reads(63.5)

        def damaged(packet: bytes) -> bytes:
            # A serial frame loses bits of its number; on TCP, which repairs those, the frame is out of step.
            at = 2 if "tcp" in address else 3
            return packet[:at] + bytes([packet[at] ^ 0x55]) + packet[at + 1 :]

        bench.damage = damaged
        trouble = heard.trouble("garbled")
        readings = [event for event in heard.heard if isinstance(event, Reading)]
        assert {event.temp_c for event in readings} == {63.5}
        assert trouble.elapsed_s - readings[-1].elapsed_s <= 3.0
        assert any(isinstance(event, Refused) for event in heard.heard)
        bench.damage = lambda packet: packet
        assert heard.trouble("back")
        assert heard.reads(63.5)


def test_one_damaged_answer_is_refused_and_no_trouble(address: str, bench: Bench) -> None:
    with listening(open_source(f"{address}&scale=0.1")) as heard:
        heard.reads(63.5)
        bench.damage = lambda packet: packet[:-1]
        assert "check sum" in heard.refused().why
        bench.damage = lambda packet: packet
        assert heard.reads(63.5)
        assert heard.troubles() == []


def test_a_broken_sensor_behind_a_pymodbus_server_is_a_fault(address: str, bench: Bench) -> None:
    with listening(open_source(f"{address}&register=1&scale=0.1")) as heard:
        assert "broken or missing sensor" in heard.trouble("fault").text
        assert not [event for event in heard.heard if isinstance(event, Reading)]


def test_a_number_nobody_answers_to_is_said(address: str) -> None:
    # pymodbus answers for an unknown number with an exception, as a gateway does.
    with listening(open_source(f"{address}&unit=2")) as heard:
        assert "Unit 2" in heard.trouble("refused").text

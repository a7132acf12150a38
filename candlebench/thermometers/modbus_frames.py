"""Modbus, the two functions that read registers, over a serial line (RTU) and TCP: frames without I/O.

Own code rather than pymodbus: one request of one kind is needed. pymodbus brings transports, threads or
asyncio, a reconnecting client and an interface of its own that changes, while here the wire, the retries and
the clock are the same for every thermometer, and a frame is judged without being waited for. It serves as the
peer in the tests instead.

Sources: MODBUS Application Protocol Specification V1.1b3 (6.3, 6.4, 7), MODBUS over Serial Line V1.02 (2.5.1,
6.2.2), MODBUS Messaging on TCP/IP Implementation Guide V1.0b (3.1.3); from memory, compared with pymodbus.

An RTU answer carries no name of its question: one that comes late is taken for the answer to the next
question, which is the same. What waits when a question is asked is forgotten.
"""

from candlebench.thermometers.answers import NoAnswer, Noted, Outcome
from candlebench.thermometers.modbus_point import ModbusPoint, temperature_of
from candlebench.words import tr

# A frame has at most 256 bytes on a serial line and 260 on TCP.
_MOST_WAITING = 520
_HEADER = 7


def crc16(data: bytes) -> int:
    """Return the check sum of an RTU frame (polynomial 0xA001, begun at 0xFFFF); sent low byte first."""
    crc = 0xFFFF
    for byte in data:
        crc ^= byte
        for _ in range(8):
            crc = (crc >> 1) ^ 0xA001 if crc & 1 else crc >> 1
    return crc


def request_pdu(point: ModbusPoint) -> bytes:
    """Return function, first register and count of registers."""
    return bytes([point.function]) + point.register.to_bytes(2, "big") + point.count.to_bytes(2, "big")


class RtuQuestion:
    """A `Question` in frames with a check sum, for a serial line, or for a socket that passes them on."""

    tries = 2
    # At 1200 baud question and answer take 0.16 s; devices answer within some 0.1 s (common practice).
    patience_s = give_up_s = 0.8

    def __init__(self, point: ModbusPoint) -> None:
        self._point = point
        self._waiting = bytearray()
        self._request = b""

    def begin(self) -> None:
        """The wire was opened (again)."""
        self._waiting.clear()

    def ask(self) -> bytes:
        """Return the request; what came before it is forgotten."""
        self._waiting.clear()
        body = bytes([self._point.unit]) + request_pdu(self._point)
        self._request = body + crc16(body).to_bytes(2, "little")
        return self._request

    def feed(self, data: bytes) -> list[Outcome]:
        """Return what the bytes complete. Noise around a frame, such as the request's echo, is skipped."""
        self._waiting += data[-_MOST_WAITING:]
        found: list[Outcome] = []
        while (frame := self._next_frame()) is not None:
            text = _hex(frame)
            if frame[0] != self._point.unit:
                found.append(
                    Noted(text, tr("the answer of unit {unit}; not passed on").format(unit=frame[0]))
                )
            else:
                found.append(_outcome(frame[1:-2], self._point, text))
        del self._waiting[:-_MOST_WAITING]
        return found

    def cut(self) -> NoAnswer | None:
        """What came without making a frame was damaged on its way."""
        if self._waiting.startswith(self._request):
            del self._waiting[: len(self._request)]
        text = _hex(bytes(self._waiting))
        self._waiting.clear()
        return _damaged(text) if text else None

    def silent_words(self) -> str:
        """One sentence for a device that does not answer."""
        return _silent_words(self._point)

    def _next_frame(self) -> bytes | None:
        """Take the first whole frame of an answer out of what waits, and what lies before it."""
        data = bytes(self._waiting)
        for start in range(len(data) - 4):
            end = _rtu_end(data, start)
            if end is not None and crc16(data[start:end]) == 0:
                del self._waiting[:end]
                return data[start:end]
        return None


class TcpQuestion:
    """A `Question` in frames with a header, for a socket. Each answer names its question."""

    tries = 2
    patience_s = give_up_s = 0.8

    def __init__(self, point: ModbusPoint) -> None:
        self._point = point
        self._number = 0
        self._waiting = bytearray()

    def begin(self) -> None:
        """The wire was opened (again)."""
        self._waiting.clear()

    def ask(self) -> bytes:
        """Return the request with a number of its own."""
        self._number = (self._number + 1) & 0xFFFF
        pdu = request_pdu(self._point)
        length = (len(pdu) + 1).to_bytes(2, "big")
        return self._number.to_bytes(2, "big") + b"\0\0" + length + bytes([self._point.unit]) + pdu

    def feed(self, data: bytes) -> list[Outcome]:
        """Return what the bytes complete."""
        self._waiting += data
        found: list[Outcome] = []
        while len(self._waiting) > _HEADER:
            length = int.from_bytes(self._waiting[4:6], "big")
            if self._waiting[2:4] != b"\0\0" or not 3 <= length <= 254:
                # Frames follow each other without a mark: there is no finding the next one.
                found.append(_damaged(_hex(bytes(self._waiting))))
                self._waiting.clear()
                break
            end = 6 + length
            if len(self._waiting) < end:
                break
            frame = bytes(self._waiting[:end])
            del self._waiting[:end]
            found.append(self._take(frame))
        return found

    def cut(self) -> NoAnswer | None:
        """A part of a frame is no answer."""
        text = _hex(bytes(self._waiting))
        self._waiting.clear()
        return _damaged(text) if text else None

    def silent_words(self) -> str:
        """One sentence for a device that does not answer."""
        return _silent_words(self._point)

    def _take(self, frame: bytes) -> Outcome:
        text = _hex(frame)
        if int.from_bytes(frame[:2], "big") != self._number:
            return Noted(text, tr("the answer to another question; not passed on"))
        if frame[6] != self._point.unit:
            return Noted(text, tr("the answer of unit {unit}; not passed on").format(unit=frame[6]))
        return _outcome(frame[_HEADER:], self._point, text)


def _rtu_end(data: bytes, start: int) -> int | None:
    """Where an answer that begins at `start` would end, if it can be one and is there as a whole."""
    function = data[start + 1]
    if function in (0x83, 0x84):
        end = start + 5
    elif function in (3, 4):
        size = data[start + 2]
        if size == 0 or size % 2 or size > 250:
            return None
        end = start + 5 + size
    else:
        return None
    return end if end <= len(data) else None


def _outcome(pdu: bytes, point: ModbusPoint, text: str) -> Outcome:
    """What an answer of the right device says."""
    if len(pdu) == 2 and pdu[0] == point.function | 0x80:
        return NoAnswer(text, "refused", *_exception_words(pdu[1], point))
    if pdu[0] != point.function or len(pdu) != 2 + 2 * point.count or pdu[1] != 2 * point.count:
        return Noted(text, tr("the answer to another question; not passed on"))
    return temperature_of(pdu[2:], point, text)


def _exception_words(code: int, point: ModbusPoint) -> tuple[str, str]:
    """What an exception code means, briefly and with what to do (application protocol V1.1b3, 7)."""
    match code:
        case 1:
            other = 3 if point.function == 4 else 4
            return tr("the device does not know this function"), tr(
                "Unit {unit} does not know function {function}: write function={other}."
            ).format(unit=point.unit, function=point.function, other=other)
        case 2 | 3:
            return tr("the device has no such register"), tr(
                "Unit {unit} has no temperature in register {register}: look it up, count from 0."
            ).format(unit=point.unit, register=point.register)
        case 5 | 6:
            return tr("the device is busy"), tr(
                "Unit {unit} says that it is busy: wait, or ask less often with every=5."
            ).format(unit=point.unit)
        case 10 | 11:
            return tr("the gateway does not reach the device"), tr(
                "The gateway does not reach unit {unit}: check the cable behind it and the unit's number."
            ).format(unit=point.unit)
        case _:
            return tr("the device reports the fault {code}").format(code=code), tr(
                "Unit {unit} reports the fault {code}: switch it off and on, and look at its probe."
            ).format(unit=point.unit, code=code)


def _damaged(text: str) -> NoAnswer:
    why = tr("its check sum is wrong, so it was damaged on the way")
    return NoAnswer(
        text, "garbled", why, tr("Answers come damaged: check the speed (baud), the plug and the cable.")
    )


def _silent_words(point: ModbusPoint) -> str:
    return tr(
        "Unit {unit} does not answer: check its cable, its power, its number and the speed (baud)."
    ).format(unit=point.unit)


def _hex(data: bytes) -> str:
    return data[:64].hex(" ").upper()

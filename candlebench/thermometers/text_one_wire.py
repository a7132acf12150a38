"""The two lines of a one-wire sensor under Linux: nine bytes with `crc=.. YES`, then `t=` in thousandths."""

import re
from dataclasses import dataclass

from candlebench.thermometers.parsed_line import BadLine, ParsedLine, Value, Why

_CHECK = re.compile(r"(?P<bytes>(?:[0-9a-f]{2} ){9}): crc=[0-9a-f]{2} (?P<verdict>YES|NO)\Z")
_VALUE = re.compile(r"(?P<bytes>(?:[0-9a-f]{2} ){9})t=(?P<milli>-?\d{1,6})\Z")


def is_one_wire(text: str) -> bool:
    """Whether a line is one of the two."""
    return _CHECK.match(text) is not None or _VALUE.match(text) is not None


@dataclass(slots=True)
class OneWire:
    """Remembers the bytes whose check sum was right until their temperature comes."""

    _good: str = ""

    def parse(self, text: str) -> list[ParsedLine]:
        """Return the temperature when `text` is a second line whose first one was right."""
        if check := _CHECK.match(text):
            self._good = check["bytes"] if check["verdict"] == "YES" else ""
            return [] if self._good else [BadLine(text, Why.CHECKSUM)]
        value = _VALUE.match(text)
        good, self._good = self._good, ""
        if value is None or value["bytes"] != good:
            return [BadLine(text, Why.CHECKSUM)]
        return [Value(int(value["milli"]) / 1000.0, "", "C", text)]

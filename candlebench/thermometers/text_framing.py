"""Bytes cut into lines: by line ends, by closing braces, and by pauses and structure where there are none."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

# A status line of a talkative board has some 400 bytes (from memory); what is longer has lost its line ends.
LONGEST_BYTES = 1024
# A stream known to have no line ends is cut as soon as this much waits.
_ENDLESS_BYTES = 96

# LF, CR, and the last byte of meters that end a reply with ETX, EOT or DC3.
_END = re.compile(rb"[\r\n\x03\x04\x13]+")
_WORD = rb"(?:[A-Za-z_]\w{0,15}|\d{1,2})"
_NUM = rb"[+-]?\d+(?:\.\d+)?"
_LABELLED = re.compile(
    rb"(?<!\S)" + _WORD + rb"\s?[:=]\s*" + _NUM + rb"(?:\s+" + _NUM + rb")*\s+(?:[CFK]\s+)?(?!\s)"
)
_COUNTED = re.compile(rb"(?<![\S])\d+\s+(?:[+-]?\d+\.\d+\s+)+(?!\s)")
_SETTLED = re.compile(rb"(?:[\d.]|[CFK%\xb0\xba])\s*[;,\t|]?\s+\Z|[;\t|}]\s*\Z")


@dataclass(frozen=True, slots=True)
class Frame:
    """One line without its end.

    Attributes
    ----------
    data : bytes
    how : str
        'ended' by a line end or a closing brace, 'idle' by a pause, 'open' by a pause in what may still be
        the middle of a number, 'long' when it never ended, 'part' when its beginning was missed.
    """

    data: bytes
    how: str


class Framer:
    """Cuts a stream into lines. Holds at most `LONGEST_BYTES` and a chunk."""

    def __init__(self) -> None:
        self._waiting = bytearray()
        self._partial = False
        self._overlong = False
        self._endless = False

    def expect_part(self) -> None:
        """The stream was opened in its middle: what comes before the next line end is only a part."""
        self._partial = True

    def feed(self, data: bytes) -> list[Frame]:
        """Return the lines that `data` completes."""
        frames: list[Frame] = []
        for piece in _pieces(data):
            self._waiting += piece
            frames += self._cut()
        return frames

    def flush(self) -> Frame | None:
        """The wire has been quiet: return what waits, which stays until `take` is called."""
        if not self._waiting:
            return None
        data = bytes(self._waiting)
        if self._partial:
            return Frame(data, "part")
        return Frame(data, "idle" if _SETTLED.search(data) else "open")

    def take(self) -> None:
        """Forget what `flush` returned."""
        self._waiting.clear()
        self._partial = False

    def _cut(self) -> Iterator[Frame]:
        while True:
            end = self._json_end() or _END.search(self._waiting)
            if end is None:
                break
            data = bytes(self._waiting[: end.start()])
            del self._waiting[: end.end()]
            if self._overlong:
                self._overlong = False
            elif data.strip(b" \0\t"):
                yield Frame(data, "part" if self._partial else "ended")
            self._partial = False
            self._endless = False
        if len(self._waiting) > (_ENDLESS_BYTES if self._endless else LONGEST_BYTES):
            yield from self._cut_endless()

    def _json_end(self) -> re.Match[bytes] | None:
        """Where an object closes that began at the start of what waits."""
        if b"}" not in self._waiting:
            return None
        if self._partial:
            return re.compile(rb"(?<=\})(?=\{)").search(self._waiting)
        start = len(self._waiting) - len(self._waiting.lstrip(b" \0\t"))
        if self._waiting[start : start + 1] != b"{":
            return None
        depth = 0
        in_text = False
        for match in re.finditer(rb'\\.|["{}\r\n]', bytes(self._waiting)):
            sign = match[0]
            if sign in b"\r\n":
                return None
            if sign == b'"':
                in_text = not in_text
            elif not in_text and sign in b"{}":
                depth += 1 if sign == b"{" else -1
                if depth == 0:
                    return re.compile(rb"(?:[ \t]*[\r\n]+)?").match(self._waiting, match.end())
        return None

    def _cut_endless(self) -> Iterator[Frame]:
        records, rest = split_endless(bytes(self._waiting))
        if len(records) > 1:
            self._endless = True
            self._partial = False
            yield from (Frame(record, "ended") for record in records)
            self._waiting = bytearray(rest)
        elif len(self._waiting) > LONGEST_BYTES:
            if not self._overlong:
                yield Frame(bytes(self._waiting[:LONGEST_BYTES]), "long")
            self._overlong = True
            self._waiting.clear()


def split_endless(data: bytes) -> tuple[list[bytes], bytes]:
    """Split a stream without line ends by its own structure.

    Only two structures are plain enough to cut without a doubt: `name: number number ` again and again, and a
    whole number followed by the same count of decimal ones. Anything else gives no records.

    Returns
    -------
    records : list of bytes
        Complete records; the first one may have been cut at its beginning and is left out then.
    rest : bytes
        The beginning of the record that is still coming.
    """
    for pattern in (_LABELLED, _COUNTED):
        found = list(pattern.finditer(data))
        if len(found) < 3:
            continue
        joined = all(one.end() == two.start() for one, two in pairwise(found))
        lengths = {len(one[0].split()) for one in found[1:-1]}
        short_head = found[0].start() <= max(len(one[0]) for one in found)
        if joined and short_head and (pattern is _LABELLED or len(lengths) == 1):
            # The last one may go on with another number.
            return [one[0] for one in found[:-1]], data[found[-1].start() :]
    return [], data


def _pieces(data: bytes) -> Iterator[bytes]:
    """Short pieces, so that a huge chunk without an end is never held whole."""
    for start in range(0, len(data), LONGEST_BYTES):
        yield data[start : start + LONGEST_BYTES]

"""Bytes of one line turned into clean text, and the signs of a wrong speed."""

import re

# Colours and cursor moves of terminals (ECMA-48 control sequences).
_ANSI = re.compile(rb"\x1b\[[0-9;?]*[ -/]*[@-~]|\x1b[()][A-Z0-9]")
_NUMBER_BROKEN_BY_NUL = re.compile(rb"[\d.,+-]\0+[\d.,]")
# The degree sign in Latin-1, code page 437 and the usual character displays, and what is typed for it.
_DEGREE_BYTE = re.compile(rb"[\xb0\xba\xf8\xdf](?=\s?[CFKcfk]\b)")
_LOOKALIKES = str.maketrans(
    {
        "℃": "°C",
        "℉": "°F",
        "\u212a": "K",
        "º": "°",
        "˚": "°",
        "−": "-",
        "\u00a0": " ",
        "\u2009": " ",
        "\u202f": " ",
    }
)
# The share of bytes that no thermometer sends, from which on the speed is in doubt.
_STRANGE_SHARE = 0.2


def decode(data: bytes) -> str | None:
    """Return one line as text, or None when it is garbled.

    UTF-8 is tried first, then Latin-1, as many boards send a lone degree byte. Colours, NUL bytes and control
    characters around the line are dropped; within it they mean damage.
    """
    if _NUMBER_BROKEN_BY_NUL.search(data):
        return None
    data = _ANSI.sub(b"", data).replace(b"\0", b"").strip(b" \t\x01\x02\x05\x06\x07\x11\x15\x17\xff\xfe")
    if re.search(rb"[\x00-\x08\x0b-\x1f\x7f]", data):
        return None
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError:
        plain = _DEGREE_BYTE.sub(b"", data)
        strange = len(re.findall(rb"[\x80-\xff]", plain))
        c1 = len(re.findall(rb"[\x80-\x9f]", plain))
        if c1 or strange >= max(2.0, _STRANGE_SHARE * len(plain)):
            return None
        text = _DEGREE_BYTE.sub(b"\xb0", data).decode("latin-1")
    return None if "\ufffd" in text else text.translate(_LOOKALIKES)


def shown(data: bytes) -> str:
    """Return a damaged line in a form that can be shown and stored, at most 80 characters long."""
    text = data[:80].decode("latin-1")
    return "".join(sign if sign.isprintable() else "·" for sign in text)

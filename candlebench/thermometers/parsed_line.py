"""What a line of text turned out to be: a temperature, or why it is none."""

from dataclasses import dataclass
from enum import Enum

from candlebench.words import tr


class Why(Enum):
    """Why a line is no reading."""

    NO_NUMBER = "no number"
    NOT_THE_MELT = "not the melt"
    FAULT = "fault"
    IMPOSSIBLE = "impossible"
    POWER_ON = "power-on value"
    UNDECIDED = "undecided"
    UNIT = "unit"
    SCALE = "scale"
    GARBLED = "garbled"
    TOO_LONG = "too long"
    CHECKSUM = "checksum"
    CUT = "cut"


# What a healthy board says between its readings.
CHATTER = frozenset({Why.NO_NUMBER, Why.NOT_THE_MELT, Why.CUT})


@dataclass(frozen=True, slots=True)
class Value:
    """One temperature of one channel.

    Attributes
    ----------
    temp_c : float
        Degrees Celsius.
    channel : str
        The probe's name as sent; empty when the line names none.
    unit : str
        Unit the number came in ('C', 'F', 'K'), as sent or as set by the person; empty when neither said
        so and it was taken as Celsius.
    text : str
        The line, cleaned of control characters.
    """

    temp_c: float
    channel: str
    unit: str
    text: str


@dataclass(frozen=True, slots=True)
class BadLine:
    """A line, or a part of one, without a reading.

    Attributes
    ----------
    text : str
        The line, cleaned of control characters and cut to a length that can be shown.
    why : Why
        The reason.
    channels : tuple of str
        What could be the melt, when the person has to say which.
    """

    text: str
    why: Why
    channels: tuple[str, ...] = ()


ParsedLine = Value | BadLine


def why_words(why: Why) -> str:
    """Return the reason in a person's words."""
    return {
        Why.NO_NUMBER: tr("no number in it"),
        Why.NOT_THE_MELT: tr("not a temperature of the melt"),
        Why.FAULT: tr("the thermometer reports a fault: look at the probe and its plug"),
        Why.IMPOSSIBLE: tr("no such temperature: look at the probe and its plug"),
        Why.POWER_ON: tr("85.00 °C is what this kind of sensor says before its first measurement"),
        Why.UNDECIDED: tr("cannot be told which number is the melt"),
        Why.UNIT: tr("no unit, and too hot for °C: choose the unit"),
        Why.SCALE: tr("a whole number that may stand for tenths: choose the scale"),
        Why.GARBLED: tr("garbled: another speed (baud) may be right"),
        Why.TOO_LONG: tr("never ends"),
        Why.CHECKSUM: tr("its check sum is wrong, so it was damaged on the way"),
        Why.CUT: tr("only a part of a line"),
    }[why]

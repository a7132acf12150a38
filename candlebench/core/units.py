"""Temperatures and durations as people read them. Inside the program everything is Celsius and seconds."""

import math
from dataclasses import dataclass

from candlebench.words import tr

# Up to here half minutes are said: a whole one is a large part of the time. Design decision.
HALVES_BELOW_S = 600


def fahrenheit(temp_c: float) -> float:
    """Return degrees Fahrenheit for degrees Celsius."""
    return temp_c * 9.0 / 5.0 + 32.0


def celsius(temp_f: float) -> float:
    """Return degrees Celsius for degrees Fahrenheit."""
    return (temp_f - 32.0) * 5.0 / 9.0


@dataclass(frozen=True, slots=True)
class Shown:
    """How temperatures are written for this person: `unit` is 'C' or 'F'."""

    unit: str = "C"

    @property
    def sign(self) -> str:
        return "°F" if self.unit == "F" else "°C"

    def number(self, temp_c: float) -> float:
        """The temperature in the shown unit."""
        return fahrenheit(temp_c) if self.unit == "F" else temp_c

    def back(self, number: float) -> float:
        """Celsius for a temperature in the shown unit."""
        return celsius(number) if self.unit == "F" else number

    def difference(self, difference_c: float) -> float:
        """A temperature difference in the shown unit."""
        return difference_c * 9.0 / 5.0 if self.unit == "F" else difference_c

    def temp(self, temp_c: float) -> str:
        """'75 °C' for a limit, '72.4 °C' when the tenth matters."""
        number = round(self.number(temp_c), 1)
        return f"{number:.0f} {self.sign}" if number == int(number) else f"{number:.1f} {self.sign}"

    def bare(self, temp_c: float) -> str:
        """`temp` without the unit sign."""
        return self.temp(temp_c).rsplit(" ", 1)[0]

    def span(self, low_c: float, high_c: float) -> str:
        """'70–75 °C'."""
        return f"{self.bare(low_c)}–{self.temp(high_c)}"

    def drop(self, difference_c: float) -> str:
        """'2.4 °C' for a difference."""
        return f"{self.difference(difference_c):.1f} {self.sign}"


def clock_face(seconds: float) -> str:
    """'36:18' or '1:02:05' for an exact duration."""
    if math.isinf(seconds):
        return tr("over 2 h")
    whole = int(seconds)
    hours, rest = divmod(whole, 3600)
    minutes, secs = divmod(rest, 60)
    return f"{hours}:{minutes:02d}:{secs:02d}" if hours else f"{minutes}:{secs:02d}"


def rounded_clock_face(seconds: float) -> str:
    """'3:55' for a foreseen duration, rounded to 5 s as its band would make finer digits a pretence."""
    return clock_face(5.0 * round(seconds / 5.0) if math.isfinite(seconds) else seconds)


def about(seconds: float) -> str:
    """'2½ min', '40 s', '12 min', '1 h 20 min': a duration as one says it; half minutes below ten minutes.

    It rounds what `rounded_clock_face` shows, halves up, so that 11:30 beside it is 'about 12 min'.
    """
    if math.isinf(seconds):
        return tr("more than two hours")
    if seconds < 57.5:
        return tr("{seconds} s").format(seconds=max(5, 5 * round(seconds / 5.0)))
    shown_s = 5 * round(seconds / 5.0)
    minutes, half = divmod((shown_s + 15) // 30, 2)
    if half and shown_s < HALVES_BELOW_S:
        return tr("{minutes}½ min").format(minutes=minutes)
    minutes = (shown_s + 30) // 60
    if minutes < 60:
        return tr("{minutes} min").format(minutes=minutes)
    hours, minutes = divmod(5 * round(minutes / 5.0), 60)
    return tr("{hours} h {minutes} min").format(hours=hours, minutes=minutes)


def between(low_s: float, high_s: float) -> str:
    """'2:35 and 4:05', or a band whose end is not known."""
    if math.isinf(high_s):
        return tr("{low} and more than two hours").format(low=rounded_clock_face(low_s))
    return tr("{low} and {high}").format(low=rounded_clock_face(low_s), high=rounded_clock_face(high_s))


def band(low_s: float, high_s: float) -> str:
    """'2:35 to 4:05' for a label."""
    if math.isinf(high_s):
        return tr("{low} or later").format(low=rounded_clock_face(low_s))
    return tr("{low} to {high}").format(low=rounded_clock_face(low_s), high=rounded_clock_face(high_s))

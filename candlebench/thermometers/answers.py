"""What an instrument answered when it was asked for its temperature, and what to make of the number."""

from dataclasses import dataclass

from candlebench.thermometers.fault_values import NEAR_C, impossible, is_power_on
from candlebench.thermometers.parsed_line import Why, why_words
from candlebench.thermometers.text_readings import HOTTEST_BARE_C
from candlebench.words import tr


@dataclass(frozen=True, slots=True)
class Answer:
    """A temperature.

    Attributes
    ----------
    text : str
        The answer as it came, in signs that can be shown.
    temp_c : float
        Degrees Celsius.
    stated : bool
        Whether the unit was said, by the instrument or by the person.
    """

    text: str
    temp_c: float
    stated: bool


@dataclass(frozen=True, slots=True)
class NoAnswer:
    """An answer that holds no temperature.

    Attributes
    ----------
    text : str
        The answer as it came, in signs that can be shown.
    code : str
        The trouble that this is when it goes on: 'fault', 'garbled', 'refused' or 'undecided'.
    why : str
        The reason in a few words.
    sentence : str
        The same with what to do about it.
    """

    text: str
    code: str
    why: str
    sentence: str


@dataclass(frozen=True, slots=True)
class Noted:
    """Something else that came; `done` when it was what had been asked for."""

    text: str
    read_as: str
    done: bool = False


Outcome = Answer | NoAnswer | Noted


def no_temperature(text: str, why: Why) -> NoAnswer:
    """A fault that the number itself shows."""
    return faulty(text, why_words(why))


def faulty(text: str, why: str) -> NoAnswer:
    """A fault of the probe, in words."""
    return NoAnswer(text, "fault", why, tr("The thermometer sends no temperature: {why}.").format(why=why))


class Judge:
    """Tells numbers that cannot be a temperature from those that can, knowing the one before."""

    def __init__(self) -> None:
        self._last_c: float | None = None

    def forget(self) -> None:
        """The instrument was switched on or plugged in again."""
        self._last_c = None

    def judged(self, answer: Answer) -> Answer | NoAnswer:
        """Return the answer, or why it is none after all."""
        temp_c, last_c = answer.temp_c, self._last_c
        why = impossible("", temp_c)
        if why is not None:
            return no_temperature(answer.text, why)
        if is_power_on(temp_c, last_c):
            return no_temperature(answer.text, Why.POWER_ON)
        far = last_c is None or abs(temp_c - last_c) > NEAR_C
        if not answer.stated and temp_c > HOTTEST_BARE_C and far:
            words = tr("The thermometer's numbers are too high for °C and name no unit: choose the unit.")
            return NoAnswer(answer.text, "undecided", why_words(Why.UNIT), words)
        self._last_c = temp_c
        return answer

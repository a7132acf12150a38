"""Files in which the system, or another program, keeps a temperature; text in, a temperature or why not out.

`w1_slave` and `temperature`: Linux kernel documentation, w1_therm. `temp1_input` and its kin: the same, hwmon
sysfs interface (millidegrees Celsius). Anything else: one number, with its unit or as the person says.
"""

import re

from candlebench.thermometers.answers import Answer, NoAnswer, no_temperature
from candlebench.thermometers.line_settings import LineSettings
from candlebench.thermometers.parsed_line import Value, Why, why_words
from candlebench.thermometers.text_one_wire import OneWire
from candlebench.thermometers.text_units import to_celsius
from candlebench.words import tr

# Names of files of the kernel that hold whole thousandths of a degree.
_IN_THOUSANDTHS = re.compile(r"temp\d*(?:_input)?|temperature|in_temp\w*_input")
_ONE_NUMBER = re.compile(r"(?P<number>[+-]?\d{1,9}(?:[.,]\d{1,9})?)\s*(?:°\s*)?(?P<unit>[CFK]?)")
_FAULT = re.compile(r"[+-]?(?:nan|inf|OL|-{2,}|ERR(?:OR)?|OPEN|FAULT|N/?A)", re.IGNORECASE)


def temperature_in(text: str, name: str, settings: LineSettings) -> Answer | NoAnswer:
    """Return the temperature that a file holds.

    Parameters
    ----------
    text : str
        All that is in it.
    name : str
        The file's name without its folder: it tells in what the kernel counts.
    settings : LineSettings
        Unit and scale as the person said; the channel means nothing.
    """
    shown = " | ".join(text.split("\n"))[:200].strip(" |")
    if name == "w1_slave":
        return _one_wire(text, shown)
    if _FAULT.fullmatch(text.strip()):
        return no_temperature(shown, Why.FAULT)
    found = _ONE_NUMBER.fullmatch(text.strip())
    if found is None:
        return NoAnswer(shown, "undecided", tr("not one number"), _one_number_words())
    number = float(found["number"].replace(",", "."))
    is_whole = not re.search("[.,]", found["number"])
    unit = found["unit"] or settings.unit
    if settings.scale is not None:
        number *= settings.scale
    elif is_whole and _IN_THOUSANDTHS.fullmatch(name) and not found["unit"]:
        return Answer(shown, number / 1000.0, True)
    elif is_whole and abs(number) >= 1000.0 and not found["unit"]:
        words = tr("The file holds a whole number that may be thousandths: write scale=0.001 if it is.")
        return NoAnswer(shown, "undecided", why_words(Why.SCALE), words)
    return Answer(shown, round(to_celsius(number, unit or "C"), 6), unit is not None)


def _one_wire(text: str, shown: str) -> Answer | NoAnswer:
    reader = OneWire()
    lines = [line.strip() for line in text.splitlines() if line.strip()]
    parsed = [one for line in lines[:2] for one in reader.parse(line)]
    match parsed:
        case [Value(temp_c=temp_c)]:
            return Answer(shown, temp_c, True)
        case []:
            return NoAnswer(shown, "undecided", tr("not one number"), _one_number_words())
        case _:
            why = why_words(Why.CHECKSUM)
            words = tr(
                "The sensor's answers come damaged: check its plug, its cable and its pull-up resistor."
            )
            return NoAnswer(shown, "garbled", why, words)


def _one_number_words() -> str:
    return tr("The file holds no temperature: choose one with a single number in it, like temp1_input.")

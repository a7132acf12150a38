"""Units beside a number in a line of text."""

import re

# 0 degrees Celsius in kelvin, by the definition of the Celsius scale (SI brochure, 9th edition, 2.3.1).
ZERO_C_IN_K = 273.15

_TEMPERATURE = re.compile(
    r"\s*(?:(?:[°*'`]|\bo(?=[CFK]\b)|deg\.?|degrees?|grad[ei]?)\s*(?P<marked>[CFKcfk]|celsius|fahrenheit|kelvin)"
    r"|(?P<bare>[CFK]|celsius|fahrenheit|kelvin))(?![\w/%])(?!\s*(?:[=:]|per\b|/\s*(?:min|s|sec|h)\b))",
    re.IGNORECASE,
)
_ATTACHED_LOWER = re.compile(r"[cf](?![\w/=:])")
_DEGREE_ONLY = re.compile(r"\s*(?:°|deg\b|degrees?\b|\*(?=\s|$))(?!\s*[=:])")
_RATE = re.compile(r"\s*°?\s*(?:deg\s*)?[CFK]\s*(?:/\s*(?:min|s|sec|h|hr|hour)\b|per\b)", re.IGNORECASE)
_OTHER = re.compile(
    r"\s*(?:%|‰|°\s*/|(?:[mkuµμnMG]?V|[mkuµμ]?A|[mkM]?W|[kM]?[ΩΩ]|[Oo]hms?|[Kk]?[Oo]hm|volts?|mVolts?|kOhms?|"
    r"[muµμn]?s|secs?|seconds?|min|mins|minutes?|hours?|hrs?|h|days?|ms|millis|[kMG]?Hz|hz|[hkM]?Pa|m?bar|psi|inHg|"
    r"mmHg|ppm|ppb|lux|lx|lm|[cmkuµ]?m|ft|in|inch(?:es)?|[mkuµ]?g|lbs?|oz|[mc]?[lL]|bits?|bytes?|[kKM]B|B|"
    r"counts?|RH|rh|dBm?|rpm|pH|N|J|kJ|Wh|kWh|mAh|x|k|M|percent|pct|points?|decimals?)(?!\w))(?!\s*[=:])"
)


def temperature_unit(word: str) -> str:
    """Return 'C', 'F' or 'K' for a unit in any spelling."""
    return word[0].upper()


def unit_after(text: str, at: int) -> tuple[str, int]:
    """Return the unit that follows a number and where it ends.

    Parameters
    ----------
    text : str
        The line.
    at : int
        Where the number ends.

    Returns
    -------
    unit : str
        'C', 'F', 'K', '' for none, 'other' for another quantity's, 'word' when the number runs into a word.
    end : int
        Where the unit ends; `at` when there is none.
    """
    if found := _RATE.match(text, at):
        return "other", found.end()
    if found := _TEMPERATURE.match(text, at):
        word = found["marked"] or found["bare"]
        # A lone small letter is a word's more often than a unit's.
        if found["marked"] or len(word) > 1 or word.isupper():
            return temperature_unit(word), found.end()
    if found := _ATTACHED_LOWER.match(text, at):
        return temperature_unit(found[0]), found.end()
    if found := _OTHER.match(text, at):
        return "other", found.end()
    if found := _DEGREE_ONLY.match(text, at):
        return "", found.end()
    if at < len(text) and (text[at].isalpha() or text[at] == "_"):
        return "word", at
    return "", at


def to_celsius(number: float, unit: str) -> float:
    """Return degrees Celsius for a number in 'C', 'F' or 'K'; no unit counts as Celsius."""
    match unit:
        case "F":
            return (number - 32.0) * 5.0 / 9.0
        case "K":
            return number - ZERO_C_IN_K
        case _:
            return number

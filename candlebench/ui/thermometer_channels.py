"""The probes that one thermometer sends: what each says now, and where it hangs, by its name."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from candlebench.core.place import Place
from candlebench.thermometers.label_vocabulary import HANGS_IN
from candlebench.thermometers.line_settings import LineSettings
from candlebench.thermometers.nmea_lines import NmeaParser
from candlebench.thermometers.parsed_line import Value
from candlebench.thermometers.recent_lines import RecentLine
from candlebench.thermometers.text_lines import LineParser

# How many of the last lines are looked through for a value of each probe.
LOOKED_THROUGH = 24
_WORD = re.compile(r"[^\W\d_]+")


def channel_temps(
    lines: Sequence[RecentLine], scheme: str, settings: LineSettings, channels: Sequence[str]
) -> dict[str, float]:
    """Return the latest temperature in °C of each probe by its name, as far as it is in these lines.

    Parameters
    ----------
    lines : sequence of RecentLine
        The newest last.
    scheme : str
        'serial', 'tcp' or 'nmea'.
    settings : LineSettings
        What was said about the numbers.
    channels : sequence of str
        The probes that were seen.
    """
    text = "".join(line.text + "\n" for line in lines[-LOOKED_THROUGH:]).encode()
    found = _values(text, scheme, LineSettings(None, settings.unit, settings.scale))
    for name in channels:
        if name not in found:
            # A column without a name is read once somebody has chosen it.
            chosen = _values(text, scheme, LineSettings(name, settings.unit, settings.scale))
            found |= {key: temp_c for key, temp_c in chosen.items() if key == name}
    return found


def _values(text: bytes, scheme: str, settings: LineSettings) -> dict[str, float]:
    parser = NmeaParser(settings) if scheme == "nmea" else LineParser(settings)
    parsed = [*parser.feed(text), *parser.flush()]
    return {one.channel: one.temp_c for one in parsed if isinstance(one, Value)}


@dataclass(frozen=True, slots=True)
class Guess:
    """Which probe hangs in the melt and where another one hangs, as their names say; '' and None when not."""

    melt: str = ""
    beside: str = ""
    place: Place | None = None


def by_name(channels: Sequence[str]) -> Guess:
    """Guess from names such as 'melt' and 'bath'; two that may both be the melt tell nothing of it."""
    named: dict[Place, list[str]] = {place: [] for place in Place}
    for channel in channels:
        words = {word.lower() for word in _WORD.findall(channel)}
        places = [place for place, known in HANGS_IN.items() if words & known]
        if len(places) == 1:
            named[places[0]].append(channel)
    melts, others = named[Place.MELT], [name for name in channels if name not in named[Place.MELT]]
    for place in (Place.BATH, Place.ROOM):
        if len(named[place]) == 1:
            beside = named[place][0]
            left = melts or [name for name in others if name != beside]
            return Guess(left[0] if len(left) == 1 else "", beside, place)
    return Guess(melts[0] if len(melts) == 1 else "")

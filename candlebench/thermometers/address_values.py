"""The values behind the `?` of an address, each checked; what cannot be is refused with what to write."""

import math

from candlebench.core.errors import FixableError
from candlebench.core.place import Place
from candlebench.thermometers.label_words import channel_key
from candlebench.thermometers.line_settings import LineSettings
from candlebench.thermometers.sensor_curves import SensorCurve, platinum, thermistor, thermocouple
from candlebench.words import tr

USUAL_BAUD = 9600
# From the slowest teletype speed that systems still know to the fastest USB adapters (from memory).
SLOWEST_BAUD = 50
FASTEST_BAUD = 4_000_000
SMALLEST_SCALE = 1e-6
LARGEST_SCALE = 1e6
# Ten readings a second are more than a melt has use for; an hour between two is no watching.
SHORTEST_EVERY_S = 0.1
LONGEST_EVERY_S = 3600.0

_PLATINUM_OHM = {"pt100": 100.0, "pt500": 500.0, "pt1000": 1000.0}
_COUPLES = {"type-k": "K", "type-j": "J", "type-t": "T"}
# A meter's terminals in a room (common practice, no source); 10 kohm and 3950 K are the most sold (T4).
USUAL_JUNCTION_C = 23.0
USUAL_NTC_OHM, USUAL_BETA_K = 10_000.0, 3950.0

# Where a second probe may hang; the place's value is its key in an address.
BESIDE_PLACES = (Place.BATH, Place.ROOM)
BESIDE_KEYS = tuple(place.value for place in BESIDE_PLACES)

Query = dict[str, str]


def refuse_unknown(query: Query, known: tuple[str, ...], kind: str) -> None:
    """Raise `FixableError` when a key means nothing for this kind of thermometer."""
    unknown = sorted(set(query) - set(known))
    if unknown:
        raise FixableError(
            tr("“{key}” means nothing for {kind}: it takes {keys}.").format(
                key=unknown[0], kind=kind, keys=", ".join(known)
            )
        )


def baud_in(query: Query, usual: int = USUAL_BAUD) -> int:
    """Return the speed of the port."""
    text = query.get("baud", "")
    if not text:
        return usual
    if not (text.isascii() and text.isdigit() and SLOWEST_BAUD <= int(text[:9]) <= FASTEST_BAUD):
        raise FixableError(
            tr("baud={text} is no speed of a serial port: write one like baud=9600.").format(text=text)
        )
    return int(text)


def unit_in(query: Query, key: str = "unit") -> str | None:
    """Return the unit of temperature, None when none is said."""
    text = query.get(key, "")
    if not text:
        return None
    if text.upper() not in ("C", "F", "K"):
        raise FixableError(
            tr("{key}={text} is no unit of temperature: write C, F or K.").format(key=key, text=text)
        )
    return text.upper()


def scale_in(query: Query) -> float | None:
    """Return what numbers are multiplied by, None when none is said."""
    text = query.get("scale", "")
    if not text:
        return None
    scale = _number(text)
    if not SMALLEST_SCALE <= abs(scale) <= LARGEST_SCALE:
        raise FixableError(tr("scale={text} is no scale: write one like scale=0.1.").format(text=text))
    return scale


def every_s_in(query: Query) -> float:
    """Return the seconds from one question to the next; 1 when none are said."""
    text = query.get("every", "")
    if not text:
        return 1.0
    every_s = _number(text)
    if not SHORTEST_EVERY_S <= every_s <= LONGEST_EVERY_S:
        raise FixableError(
            tr("every={text} is no time in seconds from 0.1 to 3600: write one like every=1.").format(
                text=text
            )
        )
    return every_s


def whole_in(query: Query, key: str, usual: int, lowest: int, highest: int) -> int:
    """Return a whole number within limits."""
    text = query.get(key, "")
    if not text:
        return usual
    if not (text.isascii() and text.isdigit() and lowest <= int(text[:9]) <= highest):
        raise FixableError(
            tr("{key}={text} cannot be: write a whole number from {lowest} to {highest}.").format(
                key=key, text=text, lowest=lowest, highest=highest
            )
        )
    return int(text)


def choice_in(query: Query, key: str, choices: tuple[str, ...]) -> str:
    """Return one of some words, however it was capitalised; the first when none is said."""
    text = query.get(key, "")
    if not text:
        return choices[0]
    found = next((choice for choice in choices if choice.lower() == text.lower()), None)
    if found is None:
        raise FixableError(
            tr("{key}={text} cannot be: write one of {choices}.").format(
                key=key, text=text, choices=", ".join(choices)
            )
        )
    return found


def line_settings_in(query: Query) -> LineSettings:
    """Return what the person said about the lines."""
    channel, beside = query.get("channel", "").strip() or None, beside_in(query)
    place, name = beside or (Place.BATH, None)
    if channel and name and channel_key(channel) == channel_key(name):
        raise FixableError(
            tr("{name} cannot be the melt and the {place}: name two different probes.").format(
                name=name, place=place.value
            )
        )
    return LineSettings(channel, unit_in(query), scale_in(query), name, place)


def beside_in(query: Query) -> tuple[Place, str] | None:
    """Return where a second probe on this wire hangs, and what is written of it; None without one."""
    found = [(place, query.get(place.value, "").strip()) for place in BESIDE_PLACES]
    named = [(place, text) for place, text in found if text]
    if len(named) > 1:
        raise FixableError(tr("Only one second probe can be read: leave out bath= or room=."))
    return named[0] if named else None


def sensor_in(query: Query) -> SensorCurve | None:
    """Return the curve of a bare sensor whose ohms or volts are read; None when the numbers are degrees."""
    kind = query.get("sensor", "").strip().lower()
    extra = {"junction": kind in _COUPLES, "beta": kind == "ntc"}
    for key, belongs in extra.items():
        if key in query and not belongs:
            raise FixableError(
                tr("“{key}” goes with another sensor: leave it out of the address.").format(key=key)
            )
    if not kind:
        return None
    if kind in _PLATINUM_OHM:
        return platinum(_PLATINUM_OHM[kind])
    if kind in _COUPLES:
        return thermocouple(_COUPLES[kind], _between_in(query, "junction", USUAL_JUNCTION_C, (-20.0, 60.0)))
    if kind == "ntc":
        return thermistor(USUAL_NTC_OHM, _between_in(query, "beta", USUAL_BETA_K, (2000.0, 6000.0)))
    raise FixableError(
        tr("sensor={text} is not known: write one of {choices}.").format(
            text=kind, choices=", ".join((*_PLATINUM_OHM, *_COUPLES, "ntc"))
        )
    )


def _between_in(query: Query, key: str, usual: float, limits: tuple[float, float]) -> float:
    text = query.get(key, "")
    number = _number(text) if text else usual
    if not limits[0] <= number <= limits[1]:
        raise FixableError(
            tr("{key}={text} cannot be: write a number from {low} to {high}.").format(
                key=key, text=text, low=f"{limits[0]:g}", high=f"{limits[1]:g}"
            )
        )
    return number


def _number(text: str) -> float:
    try:
        return float(text.replace(",", "."))
    except ValueError:
        return math.nan

"""Numbers that look like temperatures and are none: fault codes, power-on values, the impossible.

The rows T27 to T38 are those of the reference figures for thermometry; all are from memory.
"""

from candlebench.thermometers.parsed_line import Why

# No thermometer for a kitchen reads outside; a shorted Pt100 gives -242 to -247 (T32), an open one 850 (T33),
# common drivers 10000 and more, an SCPI instrument 9.9E37 (T35).
LOWEST_C = -200.0
HIGHEST_C = 600.0
# T28: what common drivers return for a DS18B20 that does not answer.
NOT_CONNECTED_C = -127.0
# T37: 0x7FFF, 0x8000 and 0xFFFF, wherever a decimal point was put into them.
FAULT_DIGITS = frozenset({"32767", "32768", "65535"})
# T27: the power-on value of a DS18B20.
POWER_ON_C = 85.0
# How far the last reading may be from 85 for an 85.00 to be believed: wax on a strong hob gains some
# 6 K/min (common practice, no source), which is 1 K in the ten seconds of a slow thermometer.
POWER_ON_NEAR_C = 3.0

# How near the last reading a number above HOTTEST_BARE_C without a unit has to be to be believed.
NEAR_C = 20.0


def impossible(raw: str, temp_c: float) -> Why | None:
    """Return why a number cannot be a temperature, or None.

    Parameters
    ----------
    raw : str
        The number as sent.
    temp_c : float
        The same in degrees Celsius.
    """
    digits = "".join(sign for sign in raw if sign.isdigit()).lstrip("0")
    if digits in FAULT_DIGITS or abs(temp_c - NOT_CONNECTED_C) < 0.005:
        return Why.FAULT
    # Not a number fails both comparisons.
    return None if LOWEST_C <= temp_c <= HIGHEST_C else Why.IMPOSSIBLE


def is_power_on(temp_c: float, last_c: float | None) -> bool:
    """Whether a reading of exactly 85 is a sensor that has not measured yet: the first one, or a jump."""
    if abs(temp_c - POWER_ON_C) > 1e-6:
        return False
    return last_c is None or abs(temp_c - last_c) > POWER_ON_NEAR_C

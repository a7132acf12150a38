"""When water boils here: air pressure from altitude, boiling point from pressure.

A water bath cannot heat above this temperature, so it bounds every melt on a bath (row F3).
"""

import math

from candlebench.core.errors import FixableError
from candlebench.words import tr

# H1: p = 101325 (1 - 2.25577e-5 h)^5.25588 Pa, US Standard Atmosphere 1976. M / C
SEA_LEVEL_PA = 101325.0
_LAPSE_PER_M = 2.25577e-5
_LAPSE_EXPONENT = 5.25588

# IAPWS SR1-86(1992), saturation pressure of ordinary water (Wagner and Pruss 1993); coefficients from memory,
# held to rows E15 and E16 and to CoolProp by the tests. M / C
_CRITICAL_K = 647.096
_CRITICAL_PA = 22.064e6
_WAGNER = (
    (-7.85951783, 1.0),
    (1.84408259, 1.5),
    (-11.7866497, 3.0),
    (22.6807411, 3.5),
    (-15.9618719, 4.0),
    (1.80122502, 7.5),
)
_ZERO_C_IN_K = 273.15

# From below the shore of the Dead Sea to above the highest summit, with some room.
LOWEST_M = -500.0
HIGHEST_M = 9000.0


def pressure_pa(altitude_m: float) -> float:
    """Return the mean air pressure at an altitude.

    Parameters
    ----------
    altitude_m : float
        Height above the sea in metres, -500 to 9000.

    Returns
    -------
    float
        Pressure in pascals; within 25 Pa of the tabulated atmosphere up to 4000 m (row H1).

    Raises
    ------
    FixableError
        The altitude is not one that a kitchen stands at.
    """
    if not LOWEST_M <= altitude_m <= HIGHEST_M:
        raise FixableError(
            tr(
                "{metres} m is no altitude of a kitchen: type metres above the sea, from {low} to {high}."
            ).format(metres=f"{altitude_m:g}", low=f"{LOWEST_M:g}", high=f"{HIGHEST_M:g}")
        )
    return float(SEA_LEVEL_PA * (1.0 - _LAPSE_PER_M * altitude_m) ** _LAPSE_EXPONENT)


def vapour_pressure_pa(temp_c: float) -> float:
    """Return the saturation pressure of water in pascals at a temperature from 0 to 373 °C.

    Source: IAPWS SR1-86(1992), stated to be within 0.1 % over that range.
    """
    temp_k = temp_c + _ZERO_C_IN_K
    tau = 1.0 - temp_k / _CRITICAL_K
    total = sum(factor * tau**power for factor, power in _WAGNER)
    return _CRITICAL_PA * math.exp(_CRITICAL_K / temp_k * total)


def boiling_at_pressure_c(pressure_pa: float) -> float:
    """Return the temperature in °C at which water boils under a pressure.

    Parameters
    ----------
    pressure_pa : float
        Absolute pressure in pascals, 1 kPa to 1 MPa.

    Raises
    ------
    FixableError
        The pressure lies outside that range: most often a wrong unit.
    """
    if not 1e3 <= pressure_pa <= 1e6:
        raise FixableError(
            tr("{value} Pa is no air pressure: type pascals, like 101325 at the sea.").format(
                value=f"{pressure_pa:g}"
            )
        )
    low_c, high_c = 0.0, 200.0
    # Forty halvings of 200 K leave far less than a rounding error of what is shown.
    for _ in range(40):
        middle_c = 0.5 * (low_c + high_c)
        if vapour_pressure_pa(middle_c) < pressure_pa:
            low_c = middle_c
        else:
            high_c = middle_c
    return 0.5 * (low_c + high_c)


def local_boiling_c(altitude_m: float) -> float:
    """Return the boiling point of water in °C at an altitude in metres (rows H1 and E15)."""
    return boiling_at_pressure_c(pressure_pa(altitude_m))

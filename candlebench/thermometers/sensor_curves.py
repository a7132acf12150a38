"""From what a bare sensor shows, in ohms or volts, to degrees Celsius.

For bench meters and transmitters that pass on a resistance or a voltage. Sources: IEC 60751 for platinum;
NIST Monograph 175 (ITS-90) for thermocouples; the coefficients stand here from memory and are checked against
the tables of both in `tests/outside/test_sensor_curves.py`.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

# IEC 60751: R / R0 = 1 + A t + B t2 + C (t - 100) t3, the last term below 0 C only.
_A, _B, _C = 3.9083e-3, -5.775e-7, -4.183e-12
# Thermocouple voltage in mV by powers of the temperature in C, the reference junction at 0 C: below and above
# the freezing point, and type K's extra term a exp(b (t - c)2) above it.
_MV_BELOW: dict[str, tuple[float, ...]] = {
    "K": (
        0.0, 3.9450128025e-2, 2.3622373598e-5, -3.2858906784e-7, -4.9904828777e-9, -6.7509059173e-11,
        -5.7410327428e-13, -3.1088872894e-15, -1.0451609365e-17, -1.9889266878e-20, -1.6322697486e-23,
    ),
    "J": (
        0.0, 5.0381187815e-2, 3.0475836930e-5, -8.5681065720e-8, 1.3228195295e-10, -1.7052958337e-13,
        2.0948090697e-16, -1.2538395336e-19, 1.5631725697e-23,
    ),
    "T": (
        0.0, 3.8748106364e-2, 4.4194434347e-5, 1.1844323105e-7, 2.0032973554e-8, 9.0138019559e-10,
        2.2651156593e-11, 3.6071154205e-13, 3.8493939883e-15, 2.8213521925e-17, 1.4251594779e-19,
        4.8768662286e-22, 1.0795539270e-24, 1.3945027062e-27, 7.9795153927e-31,
    ),
}  # fmt: skip
_MV_ABOVE: dict[str, tuple[float, ...]] = {
    "K": (
        -1.7600413686e-2, 3.8921204975e-2, 1.8558770032e-5, -9.9457592874e-8, 3.1840945719e-10,
        -5.6072844889e-13, 5.6075059059e-16, -3.2020720003e-19, 9.7151147152e-23, -1.2104721275e-26,
    ),
    "J": _MV_BELOW["J"],
    "T": (
        0.0, 3.8748106364e-2, 3.3292227880e-5, 2.0618243404e-7, -2.1882256846e-9, 1.0996880928e-11,
        -3.0815758772e-14, 4.5479135290e-17, -2.7512901673e-20,
    ),
}  # fmt: skip
_K_EXTRA = (0.1185976, -1.183432e-4, 126.9686)

# No sensor in a workshop is read outside of this.
COLDEST_C, HOTTEST_C = -100.0, 400.0
_CLOSE_K = 1e-6
_MOST_ROUNDS = 60


def platinum_ohm(temp_c: float, at_ice_ohm: float = 100.0) -> float:
    """Resistance of a platinum sensor (IEC 60751), `at_ice_ohm` at 0 C: 100 for a Pt100."""
    ratio = 1.0 + _A * temp_c + _B * temp_c**2
    if temp_c < 0.0:
        ratio += _C * (temp_c - 100.0) * temp_c**3
    return at_ice_ohm * ratio


def thermocouple_mv(kind: str, temp_c: float) -> float:
    """Voltage in mV of a thermocouple 'K', 'J' or 'T' (NIST Monograph 175), its other junction at 0 C."""
    powers = _MV_BELOW[kind] if temp_c < 0.0 else _MV_ABOVE[kind]
    voltage_mv = float(np.polynomial.polynomial.polyval(temp_c, powers))
    if kind == "K" and temp_c >= 0.0:
        height, steepness, middle_c = _K_EXTRA
        voltage_mv += height * math.exp(steepness * (temp_c - middle_c) ** 2)
    return voltage_mv


def thermistor_ohm(temp_c: float, at_25_ohm: float, beta_k: float) -> float:
    """Resistance of an NTC thermistor by the beta equation: R25 exp(beta (1/T - 1/298.15 K))."""
    return at_25_ohm * math.exp(beta_k * (1.0 / (temp_c + 273.15) - 1.0 / 298.15))


@dataclass(frozen=True, slots=True)
class SensorCurve:
    """How one kind of bare sensor is read.

    Attributes
    ----------
    name : str
        As written in an address: 'pt100', 'type-k', 'ntc'.
    signal : callable
        From degrees Celsius to what a meter shows, in ohms or volts; rises or falls throughout.
    """

    name: str
    signal: Callable[[float], float]

    def temp_c(self, signal: float) -> float | None:
        """Return the temperature for what the meter shows; None when no sensor in use shows that.

        A shorted or open sensor, or a lead that came off, shows such a value.
        """
        low_c, high_c = COLDEST_C, HOTTEST_C
        low, high = self.signal(low_c), self.signal(high_c)
        if not math.isfinite(signal) or not min(low, high) <= signal <= max(low, high):
            return None
        rises = high > low
        # Halving needs no slope and cannot run away; 60 rounds end far below a thousandth of a kelvin.
        for _ in range(_MOST_ROUNDS):
            middle_c = 0.5 * (low_c + high_c)
            if high_c - low_c < _CLOSE_K:
                break
            if (self.signal(middle_c) < signal) is rises:
                low_c = middle_c
            else:
                high_c = middle_c
        return 0.5 * (low_c + high_c)


def platinum(at_ice_ohm: float) -> SensorCurve:
    """A platinum sensor read in ohms."""
    return SensorCurve(f"pt{at_ice_ohm:g}", lambda temp_c: platinum_ohm(temp_c, at_ice_ohm))


def thermocouple(kind: str, junction_c: float) -> SensorCurve:
    """A thermocouple read in volts, its wires ending at a meter whose terminals are at `junction_c`."""
    of_junction_mv = thermocouple_mv(kind, junction_c)
    return SensorCurve(
        f"type-{kind.lower()}", lambda temp_c: (thermocouple_mv(kind, temp_c) - of_junction_mv) / 1000.0
    )


def thermistor(at_25_ohm: float, beta_k: float) -> SensorCurve:
    """An NTC thermistor read in ohms."""
    return SensorCurve("ntc", lambda temp_c: thermistor_ohm(temp_c, at_25_ohm, beta_k))

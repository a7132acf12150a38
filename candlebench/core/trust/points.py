"""Check points: temperatures that a kitchen can make, and how well it makes them."""

import math
from dataclasses import dataclass
from enum import Enum

from candlebench.core.errors import FixableError
from candlebench.core.materials.water import boiling_at_pressure_c, pressure_pa
from candlebench.core.trust.figures import CheckFigures, load_check_figures
from candlebench.core.units import Shown
from candlebench.words import tr

_PA_PER_HPA = 100.0
_HPA_AT_SEA = 1013.25
# Air pressure over the ground, from above the highest town to a winter high at the Dead Sea; from memory.
LOWEST_HPA, HIGHEST_HPA = 450.0, 1110.0
# A report brought to sea level stays within these; from memory.
REPORT_HPA = (920.0, 1090.0)
# A pressure this far from that of the altitude is not what a barometer shows there: twice the weather's
# share.
FAR_TIMES_WEATHER = 2.0
# A trusted thermometer that says nothing about itself: T8 of thermometry.md, the usual rule for food probes.
USUAL_TRUST_K = 1.0
# JCGM 100:2008, 4.3.7: the standard deviation of something that lies anywhere between two limits.
_FLAT = 1.0 / math.sqrt(3.0)
# JCGM 100:2008, 6.2.1 and 3.3: an expanded uncertainty is twice the standard one.
COVERAGE = 2.0


class PointKind(Enum):
    """How a check point is made."""

    ICE = "ice"
    BOILING = "boiling"
    BESIDE = "beside"


@dataclass(frozen=True, slots=True)
class CheckPoint:
    """One temperature that is known.

    Attributes
    ----------
    kind : PointKind
        ICE: melting ice. BOILING: boiling water. BESIDE: another thermometer that she trusts, in one jug.
    true_c : float
        The temperature there, in C.
    own_sd_k : float
        Standard uncertainty of how well it was made, in kelvin.
    air_sd_k : float
        Standard uncertainty from the air pressure, in kelvin; 0 where that plays no part.
    pressure_hpa : float or None
        The air pressure it was worked out for; None where that plays no part.
    """

    kind: PointKind
    true_c: float
    own_sd_k: float
    air_sd_k: float = 0.0
    pressure_hpa: float | None = None

    @property
    def sd_k(self) -> float:
        """Standard uncertainty of `true_c`, in kelvin."""
        return math.hypot(self.own_sd_k, self.air_sd_k)


def ice_point() -> CheckPoint:
    """Melting ice of clean water, 0 C."""
    return CheckPoint(PointKind.ICE, 0.0, load_check_figures().ice_k.value * _FLAT)


def boiling_c(pressure_hpa: float) -> float:
    """Return where water boils, in C, under an air pressure in hectopascals as a barometer there shows it.

    Raises
    ------
    FixableError
        It is no air pressure.
    """
    if not LOWEST_HPA <= pressure_hpa <= HIGHEST_HPA:
        text = tr(
            "{value} hPa is no air pressure: type what the barometer shows in hPa, from {low} to {high}."
        )
        raise FixableError(
            text.format(value=f"{pressure_hpa:g}", low=f"{LOWEST_HPA:g}", high=f"{HIGHEST_HPA:g}")
        )
    return boiling_at_pressure_c(pressure_hpa * _PA_PER_HPA)


def boiling_at_altitude(altitude_m: float) -> CheckPoint:
    """Boiling water where only the altitude in metres is known; the weather of the day is not.

    Raises
    ------
    FixableError
        The altitude is not one that a kitchen stands at.
    """
    figures = load_check_figures()
    hpa = pressure_pa(altitude_m) / _PA_PER_HPA
    # Half of what 95 days of 100 keep to.
    weather_sd_hpa = figures.weather_hpa.value / COVERAGE
    return _boiling(hpa, math.hypot(weather_sd_hpa, _height_sd_hpa(altitude_m, figures)), figures)


def boiling_at_pressure(pressure_hpa: float, altitude_m: float | None = None) -> CheckPoint:
    """Boiling water where the pressure was read off a barometer at the place.

    Parameters
    ----------
    pressure_hpa : float
        As the barometer shows it there, not brought to sea level.
    altitude_m : float or None
        When it is known, a pressure that cannot be that of the place is refused.

    Raises
    ------
    FixableError
        It is no air pressure, or not that of this altitude.
    """
    figures = load_check_figures()
    boiling_c(pressure_hpa)
    if altitude_m is not None:
        here_hpa = pressure_pa(altitude_m) / _PA_PER_HPA
        if abs(pressure_hpa - here_hpa) > FAR_TIMES_WEATHER * figures.weather_hpa.value:
            text = tr(
                "{value} hPa cannot be the air pressure at {height} m, where it is about {here} hPa: if it "
                "is from a weather report, give it as the pressure at sea level."
            )
            raise FixableError(
                text.format(value=f"{pressure_hpa:g}", height=f"{altitude_m:g}", here=f"{here_hpa:.0f}")
            )
    return _boiling(pressure_hpa, figures.barometer_hpa.value * _FLAT, figures)


def boiling_by_report(sea_level_hpa: float, altitude_m: float) -> CheckPoint:
    """Boiling water where a weather report gives the pressure brought to sea level, as they all do.

    Parameters
    ----------
    sea_level_hpa : float
        As reported, in hectopascals.
    altitude_m : float
        Of the place, in metres; the report is brought back by the standard atmosphere (row H1).

    Raises
    ------
    FixableError
        It is no pressure at sea level, or no altitude.
    """
    low, high = REPORT_HPA
    if not low <= sea_level_hpa <= high:
        text = tr(
            "{value} hPa is no air pressure at sea level: type what the weather report says in hPa, from "
            "{low} to {high}."
        )
        raise FixableError(text.format(value=f"{sea_level_hpa:g}", low=f"{low:g}", high=f"{high:g}"))
    figures = load_check_figures()
    hpa = pressure_pa(altitude_m) / _PA_PER_HPA * sea_level_hpa / _HPA_AT_SEA
    report_sd_hpa = figures.report_hpa.value * _FLAT
    return _boiling(hpa, math.hypot(report_sd_hpa, _height_sd_hpa(altitude_m, figures)), figures)


def beside_point(true_c: float, give_or_take_k: float = USUAL_TRUST_K) -> CheckPoint:
    """Another thermometer that she trusts, in the same stirred jug, at any temperature.

    Parameters
    ----------
    true_c : float
        What that thermometer shows, corrected if it has a correction of its own.
    give_or_take_k : float
        Half-width of the 95 % interval of that, in kelvin.

    Raises
    ------
    FixableError
        Nothing that a melt or a check could have.
    """
    if not -40.0 <= true_c <= 200.0:
        text = tr("{value} °C is no temperature to check a probe at: compare the two between 0 and 100 °C.")
        raise FixableError(text.format(value=f"{true_c:g}"))
    if not 0.0 < give_or_take_k <= 10.0:
        text = tr("A thermometer you trust is right within a few degrees: {value} is not such a number.")
        raise FixableError(text.format(value=f"{give_or_take_k:g}"))
    return CheckPoint(PointKind.BESIDE, true_c, give_or_take_k / COVERAGE)


def point_words(point: CheckPoint, shown: Shown) -> str:
    """'melting ice, 0 °C' or 'boiling water, 98.3 °C at 955 hPa'."""
    temp = shown.temp(point.true_c)
    match point.kind:
        case PointKind.ICE:
            return tr("melting ice, {temp}").format(temp=temp)
        case PointKind.BOILING:
            return tr("boiling water, {temp} at {pressure} hPa").format(
                temp=temp, pressure=f"{point.pressure_hpa or 0.0:.0f}"
            )
        case PointKind.BESIDE:
            return tr("beside a thermometer that showed {temp}").format(temp=temp)


def _boiling(hpa: float, sd_hpa: float, figures: CheckFigures) -> CheckPoint:
    # The slope of the boiling point, 0.028 K/hPa at sea level.
    k_per_hpa = (boiling_c(hpa + 1.0) - boiling_c(hpa - 1.0)) / 2.0
    return CheckPoint(
        PointKind.BOILING, boiling_c(hpa), figures.boiling_k.value * _FLAT, k_per_hpa * sd_hpa, hpa
    )


def _height_sd_hpa(altitude_m: float, figures: CheckFigures) -> float:
    hpa_per_m = (pressure_pa(altitude_m) - pressure_pa(altitude_m + 10.0)) / _PA_PER_HPA / 10.0
    return hpa_per_m * figures.height_m.value * _FLAT

"""How much wax and oil a batch takes: volumes, densities, leftovers, the scale's steps. Plain arithmetic."""

import math
from dataclasses import dataclass

from candlebench.core.materials.oil import EssentialOil
from candlebench.core.materials.wax import Wax
from candlebench.core.plan.faults import share_of_whole
from candlebench.core.plan.request import PlanRequest

# The mixture's density depends on its oil, the oil on the mass, the mass on the density: each round brings
# the mass a hundred times nearer.
_ROUNDS = 6
# Behind them lies only what binary fractions leave over; no scale shows so many.
_NOISE_DIGITS = 6


@dataclass(frozen=True, slots=True)
class OilAmount:
    """One oil of a batch.

    Attributes
    ----------
    oil : EssentialOil
    added_g : float
        What the arithmetic asks to be added.
    weigh_g : float
        The same on the step of the scale.
    carried_g : float
        What leftovers bring along.
    """

    oil: EssentialOil
    added_g: float
    weigh_g: float
    carried_g: float

    @property
    def in_all_g(self) -> float:
        """What is in the melt."""
        return self.weigh_g + self.carried_g


@dataclass(frozen=True, slots=True)
class Amounts:
    """The masses of a batch.

    Attributes
    ----------
    each_ml : float
        Wax and oil in one jar, wicks taken off.
    g_per_ml : float
        Density of the hot mixture.
    each_g, batch_g, left_g : float
        Wax and oil in one jar; in the whole batch; and what of it stays in jug and on spoon.
    wax_g : float
        Fresh wax to be added, not rounded; below zero when leftovers are more than the batch.
    carried_wax_g : float
        Wax that leftovers bring along.
    oils : tuple of OilAmount
    """

    each_ml: float
    g_per_ml: float
    each_g: float
    batch_g: float
    left_g: float
    wax_g: float
    carried_wax_g: float
    oils: tuple[OilAmount, ...]

    @property
    def oil_g(self) -> float:
        """Oil in the melt, as weighed, with what leftovers bring."""
        return sum(oil.in_all_g for oil in self.oils)

    @property
    def all_wax_g(self) -> float:
        """Wax in the melt, with what leftovers bring."""
        return self.wax_g + self.carried_wax_g

    @property
    def oil_share(self) -> float:
        """Oil as a share of wax and oil together, 0 to 1."""
        together = self.oil_g + self.all_wax_g
        return self.oil_g / together if together > 0.0 else 0.0


def dose(fill_g: float, share: float) -> tuple[float, float]:
    """Return grams of wax and of oil in `fill_g` of the two, oil being `share` of the whole, 0 to 1.

    Row O79. For a share L of the wax give L / (1 + L), row O81; that is row O80.
    """
    oil_g = share * fill_g
    return fill_g - oil_g, oil_g


def volume_ml(mass_g: float, g_per_ml: float) -> float:
    """Return millilitres of a mass (row O82)."""
    return mass_g / g_per_ml


def on_step(mass_g: float, step_g: float) -> float:
    """Return a mass on the nearest step of a scale."""
    return round(round(mass_g / step_g) * step_g, _NOISE_DIGITS)


def step_digits(step_g: float) -> int:
    """Return how many digits behind the point a scale shows: 0 for 1 g, 1 for 0.1 and 0.5 g."""
    text = f"{step_g:.{_NOISE_DIGITS}f}".rstrip("0")
    return len(text) - text.index(".") - 1


def reckon(
    request: PlanRequest, wax: Wax, volume_each_ml: float, wick_ml: float, pour_c: float, left_g: float
) -> Amounts:
    """Return the masses of a batch.

    Parameters
    ----------
    request : PlanRequest
        Without faults.
    wax : Wax
    volume_each_ml, wick_ml : float
        What one jar holds up to its fill line, and the room its wicks take.
    pour_c : float
        Temperature of the pour, for the densities. Volumes of wax and oil are added, an approximation.
    left_g : float
        What stays in jug and on spoon.
    """
    share = share_of_whole(request.load_pct, request.basis)
    wax_g_per_ml = wax.liquid_g_per_ml(pour_c) if request.liquid_g_per_ml is None else request.liquid_g_per_ml
    carried = _carried(request)
    carried_oil_g = sum(grams for _, grams in carried.values())
    carried_wax_g = sum(leftover.wax_g for leftover in request.leftovers)
    each_ml = volume_each_ml - wick_ml
    g_per_ml = wax_g_per_ml
    for _ in range(_ROUNDS):
        batch_g = request.count * each_ml * g_per_ml + left_g
        added_g = max(0.0, share * batch_g - carried_oil_g)
        grams = _grams_by_oil(request, added_g, carried)
        oil_ml = sum(volume_ml(mass, oil.density_g_per_ml(pour_c)) for oil, mass in grams)
        oil_g = sum(mass for _, mass in grams)
        g_per_ml = batch_g / (oil_ml + (batch_g - oil_g) / wax_g_per_ml)
    batch_g = request.count * each_ml * g_per_ml + left_g
    added_g = max(0.0, share * batch_g - carried_oil_g)
    return Amounts(
        each_ml=each_ml,
        g_per_ml=g_per_ml,
        each_g=each_ml * g_per_ml,
        batch_g=batch_g,
        left_g=left_g,
        wax_g=batch_g - added_g - carried_oil_g - carried_wax_g,
        carried_wax_g=carried_wax_g,
        oils=_on_the_scale(request, wax, batch_g, added_g, carried),
    )


def _carried(request: PlanRequest) -> dict[str, tuple[EssentialOil, float]]:
    carried: dict[str, tuple[EssentialOil, float]] = {}
    for leftover in request.leftovers:
        for oil, grams in leftover.oils:
            carried[oil.name] = (oil, grams + carried.get(oil.name, (oil, 0.0))[1])
    return carried


def _added(request: PlanRequest, added_g: float) -> dict[str, tuple[EssentialOil, float]]:
    """What to add of each oil; an oil named twice counts once with both its parts."""
    every = sum(part.parts for part in request.oils)
    added: dict[str, tuple[EssentialOil, float]] = {}
    for part in request.oils:
        grams = added_g * part.parts / every
        added[part.oil.name] = (part.oil, grams + added.get(part.oil.name, (part.oil, 0.0))[1])
    return added


def _grams_by_oil(
    request: PlanRequest, added_g: float, carried: dict[str, tuple[EssentialOil, float]]
) -> list[tuple[EssentialOil, float]]:
    return [*_added(request, added_g).values(), *carried.values()]


def _on_the_scale(
    request: PlanRequest,
    wax: Wax,
    batch_g: float,
    added_g: float,
    carried: dict[str, tuple[EssentialOil, float]],
) -> tuple[OilAmount, ...]:
    """Each oil on the scale's step; all rounded down when rounding up would pass the wax's limit."""
    added = _added(request, added_g) if request.load_pct > 0.0 else {}
    step_g = request.oil_step_g
    weigh = {name: on_step(grams, step_g) for name, (_, grams) in added.items()}
    limit_pct = wax.oil_limit_pct if request.oil_limit_pct is None else request.oil_limit_pct
    room_g = limit_pct / 100.0 * batch_g - sum(grams for _, grams in carried.values())
    if sum(weigh.values()) > room_g:
        # A hair, so that 42.0 on a step of 0.1 stays 42.0 whatever the last binary digit says.
        weigh = {
            name: round(math.floor(grams / step_g + 1e-6) * step_g, _NOISE_DIGITS)
            for name, (_, grams) in added.items()
        }
    names = [*added, *(name for name in carried if name not in added)]
    return tuple(
        OilAmount(
            oil=(added.get(name) or carried[name])[0],
            added_g=added[name][1] if name in added else 0.0,
            weigh_g=weigh.get(name, 0.0),
            carried_g=carried[name][1] if name in carried else 0.0,
        )
        for name in names
    )

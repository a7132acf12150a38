"""Every key that a scenario file may hold, and what may stand behind it."""

from dataclasses import dataclass

from candlebench.core.materials.water import LOWEST_M
from candlebench.practice.scenario import HOBS
from candlebench.practice.vessels import MATERIALS


@dataclass(frozen=True, slots=True)
class Numbers:
    """A number from `low` to `high`; `whole` when it has to be a count."""

    low: float
    high: float
    needed: bool = False
    whole: bool = False


@dataclass(frozen=True, slots=True)
class Words:
    """Words in quotes, one of `choices` when there are any."""

    choices: tuple[str, ...] = ()
    needed: bool = False


@dataclass(frozen=True, slots=True)
class YesNo:
    """true or false."""

    needed: bool = False


Kind = Numbers | Words | YesNo

# Above the highest town. From memory; kept below the height at which the bath could no longer melt beeswax.
_HIGHEST_M = 5000.0

HEAD: dict[str, Kind] = {
    "title": Words(),
    "brief": Words(),
    "teaches": Words(),
    "order": Numbers(0, 1000, whole=True),
    "cable": YesNo(),
}

# What a kitchen can hold: lowest and highest. Wide on purpose: they catch wrong units and signs, and keep
# every time constant above the half second of `melt.STEP_S`.
SECTIONS: dict[str, dict[str, Kind]] = {
    "room": {
        "temp_c": Numbers(-10, 45),
        "humidity": Numbers(0, 1),
        "altitude_m": Numbers(LOWEST_M, _HIGHEST_M),
        "air_times": Numbers(0.5, 4),
    },
    "wax": {
        "mass_g": Numbers(20, 20000, needed=True),
        "name": Words(),
        "start_c": Numbers(-10, 90),
        "knee_shift_k": Numbers(-8, 8),
        "latent_j_per_g": Numbers(100, 250),
        "pieces_share": Numbers(0, 0.8),
        "pieces_w_per_kg_k": Numbers(1, 40),
    },
    "oil": {
        "mass_g": Numbers(0.1, 4000, needed=True),
        "name": Words(),
        "volume_ml": Numbers(0.1, 5000),
        "temp_c": Numbers(-10, 60),
        "scented_flash_c": Numbers(20, 300),
    },
    "jug": {
        "material": Words(tuple(MATERIALS)),
        "weight_g": Numbers(100, 10000),
        "diameter_mm": Numbers(60, 500),
        "filled_mm": Numbers(10, 600),
        "metal_j_per_k": Numbers(50, 5000),
        "wall_w_per_k": Numbers(0, 10),
        "top_w_per_k": Numbers(0.01, 5),
        "loss_exponent": Numbers(1, 2),
        "draught": Numbers(0, 0.5),
        "to_liquid_w_per_k": Numbers(0.5, 60),
        "to_solid_w_per_k": Numbers(0.1, 40),
        "base_w_per_k": Numbers(0, 10),
    },
    "bath": {
        "water_g": Numbers(100, 50000),
        "start_c": Numbers(0, 95),
        "pan_material": Words(tuple(MATERIALS)),
        "pan_weight_g": Numbers(200, 20000),
        "pan_diameter_mm": Numbers(100, 800),
        "pan_j_per_k": Numbers(100, 10000),
        "pan_w_per_k": Numbers(0, 50),
        "open_m2": Numbers(0, 1),
        "jug_m2": Numbers(0, 1),
        "to_jug_w_per_k": Numbers(1, 200),
    },
    "hob": {
        "kind": Words(tuple(HOBS)),
        "power_w": Numbers(50, 6000),
        "efficiency": Numbers(0.05, 1),
        "low_fraction": Numbers(0, 1),
        "lag_s": Numbers(2, 600),
        "hottest_c": Numbers(150, 900),
        "pulses_below": Numbers(0, 1),
        "pulse_s": Numbers(2, 300),
    },
    "probe": {
        "lag_s": Numbers(0.5, 300),
        "sheath_lag_s": Numbers(0, 300),
        "noise_c": Numbers(0, 5),
        "resolution_c": Numbers(0, 5),
        "wall_share": Numbers(0, 1),
        "air_share": Numbers(0, 1),
    },
    "jars": {
        "count": Numbers(1, 500, whole=True),
        "diameter_mm": Numbers(40, 200),
        "glass_g": Numbers(20, 2000),
        "start_c": Numbers(-10, 60),
    },
    "happening": {
        "text": Words(needed=True),
        "at_min": Numbers(0, 600),
        "when_wax_c": Numbers(-10, 200),
        "lasts_min": Numbers(0.1, 120),
        "away": YesNo(),
        "knob": Numbers(0, 1),
        "air_times": Numbers(0.2, 4),
        "probe": Words(("lifted out", "on the wall")),
    },
}

"""How much water an open bath loses to the air of the room."""

from candlebench.core.materials.water import SEA_LEVEL_PA, vapour_pressure_pa

# Molar masses of dry air and water over the gas constant; CODATA gas constant 8.314463 J/mol K, 28.9647 and
# 18.0153 g/mol (from memory, check before relying on it; E26 holds them within 1 %). M
_DRY_AIR_J_PER_KG_K = 287.05
_VAPOUR_J_PER_KG_K = 461.52
_ZERO_C_IN_K = 273.15

# H17: E = 35 rho_w (rho_r - rho_w)^(1/3) (W_w - W_r), Shah 2002; tested from 7 to 94 degC water. R / M
_SHAH_FACTOR = 35.0


def evaporation_kg_per_m2_h(
    water_c: float, room_c: float, humidity: float, air_pa: float = SEA_LEVEL_PA
) -> float:
    """Return the evaporation from still water into still air, in kg per square metre and hour.

    Parameters
    ----------
    water_c, room_c : float
        Temperatures of the water's surface and of the room, in °C. Zero comes back for water so cold that
        the air above it does not rise.
    humidity : float
        Relative humidity of the room, 0 to 1.
    air_pa : float
        Air pressure in pascals.

    Notes
    -----
    Row H17 (Shah, HVAC&R Res. 8 (2002) 125-131), mean deviation 18 %. Above the boiling point the vapour
    is taken to fill the air at the surface.
    """
    surface_vapour_pa = min(vapour_pressure_pa(water_c), air_pa)
    room_vapour_pa = humidity * vapour_pressure_pa(room_c)
    surface_k = water_c + _ZERO_C_IN_K
    room_k = room_c + _ZERO_C_IN_K
    surface_dry_air = (air_pa - surface_vapour_pa) / (_DRY_AIR_J_PER_KG_K * surface_k)
    room_dry_air = (air_pa - room_vapour_pa) / (_DRY_AIR_J_PER_KG_K * room_k)
    surface_vapour = surface_vapour_pa / (_VAPOUR_J_PER_KG_K * surface_k)
    room_ratio = room_vapour_pa / (_VAPOUR_J_PER_KG_K * room_k) / room_dry_air
    # rho_w (W_w - W_r) written so that it stays finite when the surface holds no dry air any more.
    carried = surface_vapour - surface_dry_air * room_ratio
    lift = max(room_dry_air - surface_dry_air, 0.0)
    return float(max(_SHAH_FACTOR * lift ** (1.0 / 3.0) * carried, 0.0))

"""The practice melt's bodies against lumped-capacity examples printed in heat-transfer textbooks."""

import dataclasses
import math
from collections.abc import Callable, Sequence

import pytest

from candlebench.core.materials.enthalpy_curve import EnthalpyCurve
from candlebench.practice.bodies import PlainBody, WaxBody, loss_w, runge_kutta_step
from candlebench.practice.evaporation import evaporation_kg_per_m2_h
from candlebench.practice.melt import PracticeMelt
from candlebench.practice.scenario import Bath, Charge, Hob, Jug, ProbeKind, Room, Scenario


def seconds_until(
    body: PlainBody, ua_w_per_k: float, room_c: float, start_c: float, end_c: float, step_s: float
) -> float:
    """Time for a body to go from one temperature to another in a room, by the practice melt's own step."""

    def rates(state: Sequence[float]) -> list[float]:
        return [-loss_w(ua_w_per_k, body.temp_c(state[0]), room_c)]

    state, elapsed_s, before_c = [body.heat_j(start_c)], 0.0, start_c
    while True:
        state = runge_kutta_step(rates, state, step_s)
        now_c = body.temp_c(state[0])
        if (now_c - end_c) * (start_c - end_c) <= 0.0:
            return elapsed_s + step_s * (before_c - end_c) / (before_c - now_c)
        before_c, elapsed_s = now_c, elapsed_s + step_s


def sphere(
    diameter_m: float, density: float, cp_j_per_kg_k: float, h_w_per_m2_k: float
) -> tuple[float, float]:
    """Heat capacity in J/K and surface conductance in W/K of a sphere."""
    volume_m3 = math.pi * diameter_m**3 / 6.0
    return density * volume_m3 * cp_j_per_kg_k, h_w_per_m2_k * math.pi * diameter_m**2


def test_a_thermocouple_bead_takes_ten_seconds_for_a_step() -> None:
    # E1: Cengel, Heat Transfer, Ex. 4-1 (FOSSEE 587, EX4.1): 99 % of a step in 10 s; recomputed 9.941 s.
    capacity_j_per_k, ua_w_per_k = sphere(1e-3, 8500.0, 320.0, 210.0)
    taken_s = seconds_until(PlainBody(capacity_j_per_k), ua_w_per_k, 0.0, 100.0, 1.0, step_s=0.01)
    assert taken_s == pytest.approx(9.941, rel=1e-3)
    assert taken_s == pytest.approx(10.0, rel=1e-2)


def test_a_large_body_cools_for_half_a_day_as_wax_in_the_practice_melt() -> None:
    # E2: Cengel, Heat Transfer, Ex. 4-2 (FOSSEE 587, EX4.2): 37 to 25 degC in 20 degC, published 12.2 h,
    # recomputed 12.186 h. The whole practice melt stands in for the cylinder: off the bath, no melting in
    # this range, constant cp, all loss through the top by Newton's law, a jug of no weight to speak of.
    radius_m, length_m = 0.15, 1.7
    mass_g = 996.0 * math.pi * radius_m**2 * length_m * 1000.0
    area_m2 = 2.0 * math.pi * radius_m * (radius_m + length_m)
    scenario = Scenario(
        name="cylinder",
        title="a large body",
        wax=Charge(mass_g=mass_g, start_c=37.0),
        room=Room(temp_c=20.0),
        jug=Jug(
            metal_j_per_k=20.0,
            wall_w_per_k=0.0,
            top_w_per_k=8.0 * area_m2,
            loss_exponent=1.0,
            draught=0.0,
            to_liquid_w_per_k=2.0,
            to_solid_w_per_k=2.0,
        ),
    )
    curve_of_water = EnthalpyCurve(solid_j_per_g_k=4.178, liquid_j_per_g_k=4.178, latent_j_per_g=0.0)
    melt = PracticeMelt(scenario, step_s=10.0, curve=curve_of_water)
    melt.lift_off()
    before_s, before_c = 0.0, melt.wax_c
    while melt.wax_c > 25.0:
        before_s, before_c = melt.elapsed_s, melt.wax_c
        melt.step_to(melt.elapsed_s + 10.0)
    taken_s = before_s + 10.0 * (before_c - 25.0) / (before_c - melt.wax_c)
    assert taken_s / 3600.0 == pytest.approx(12.186, rel=1e-3)
    assert taken_s / 3600.0 == pytest.approx(12.2, rel=5e-3)


def test_a_sphere_sized_for_a_time_constant_of_one_second_reaches_199_degrees() -> None:
    # E3: Incropera, Ex. 5.1 (printed values from memory): D 7.06e-4 m gives tau 1 s; 25 to 199 degC in
    # 200 degC gas takes 5.2 s; recomputed 7.0588e-4 m and 5.165 s.
    capacity_j_per_k, ua_w_per_k = sphere(7.0588e-4, 8500.0, 400.0, 400.0)
    to_63_percent_s = seconds_until(
        PlainBody(capacity_j_per_k), ua_w_per_k, 0.0, 100.0, 100.0 / math.e, step_s=0.005
    )
    assert to_63_percent_s == pytest.approx(1.0, rel=1e-3)
    taken_s = seconds_until(PlainBody(capacity_j_per_k), ua_w_per_k, 200.0, 25.0, 199.0, step_s=0.005)
    assert taken_s == pytest.approx(5.165, rel=1e-3)
    assert taken_s == pytest.approx(5.2, rel=1e-2)


def test_wax_that_is_heated_evenly_takes_the_heat_of_e21() -> None:
    # E21: 0.5 kg of beeswax from 20 to 75 degC takes 141.4 kJ +- 0.3 on the proposed curve.
    body = WaxBody(500.0, EnthalpyCurve())
    state, elapsed_s = [body.heat_j(20.0)], 0
    while body.temp_c(state[0]) < 75.0:
        state = runge_kutta_step(lambda _: [100.0], state, 1.0)
        elapsed_s += 1
    assert elapsed_s * 100.0 / 1000.0 == pytest.approx(141.4, abs=0.3)


@pytest.mark.parametrize(
    ("fill_g", "wax_g", "metal_j_per_k", "ua_w_per_k", "cooling_c_per_min", "minutes_80_to_70"),
    [
        # H29 to H32 of heat.md: jugs on an insulating base, all at 75 degC in 20 degC air. Printed to two
        # figures; their constant loss is that of 75 degC.
        (300, 300.0, 125.0, 0.26, (1.15, 1.06, 0.96), 9.5),
        (300, 300.0, 125.0, 0.34, (1.49, 1.36, 1.24), 7.3),
        (1000, 1000.0, 225.0, 0.50, (0.72, 0.66, 0.60), 15.0),
        (1000, 1000.0, 225.0, 0.71, (1.02, 0.93, 0.85), 11.0),
    ],
)
def test_a_jug_off_the_heat_cools_as_the_tabulated_jugs(
    fill_g: int,
    wax_g: float,
    metal_j_per_k: float,
    ua_w_per_k: float,
    cooling_c_per_min: tuple[float, float, float],
    minutes_80_to_70: float,
) -> None:
    # Jug and wax at one temperature, as in the table: the contact between them is made very good.
    jug = Jug(
        metal_j_per_k=metal_j_per_k,
        wall_w_per_k=0.0,
        top_w_per_k=ua_w_per_k,
        loss_exponent=1.0,
        draught=0.0,
        to_liquid_w_per_k=100.0,
        to_solid_w_per_k=100.0,
    )
    scenario = Scenario(
        name="jug", title="a jug", wax=Charge(mass_g=wax_g, start_c=84.0), room=Room(temp_c=20.0), jug=jug
    )
    melt = PracticeMelt(scenario)
    melt.lift_off()
    rates, reached_s = [], []
    for temp_c in (80.0, 75.0, 70.0):
        while melt.wax_c > temp_c:
            melt.step_to(melt.elapsed_s + 0.5)
        reached_s.append(melt.elapsed_s)
        before_c = melt.wax_c
        melt.step_to(melt.elapsed_s + 6.0)
        rates.append((before_c - melt.wax_c) * 10.0)
    # The table is printed to two or three figures, and its UA to two.
    assert rates == pytest.approx(cooling_c_per_min, rel=0.03)
    assert (reached_s[2] - reached_s[0]) / 60.0 == pytest.approx(minutes_80_to_70, rel=0.04)


@pytest.mark.parametrize(
    ("water_c", "shah", "carried_kw_per_m2"),
    [(60, 3.02, 2.0), (70, 5.25, 3.4), (80, 8.74, 5.6), (90, 14.03, 8.9)],
)
def test_a_bath_loses_the_water_of_the_still_air_formula(
    water_c: float, shah: float, carried_kw_per_m2: float
) -> None:
    # E26 (+- 1 %): Shah, HVAC&R Res. 8 (2002) 125-131; room 20 degC, 50 % RH. H19: the heat it carries.
    assert evaporation_kg_per_m2_h(water_c, 20.0, 0.5) == pytest.approx(shah, rel=0.01)
    scenario = Scenario(
        name="pan",
        title="a pan of water",
        wax=Charge(mass_g=100.0),
        room=Room(temp_c=20.0, humidity=0.5),
        jug=Jug(draught=0.0),
        bath=Bath(water_g=1e6, start_c=water_c, open_m2=1.0 - 0.0133, pan_w_per_k=0.0),
        hob=Hob(power_w=50.0),
        probe=ProbeKind(),
    )
    melt = PracticeMelt(scenario)
    melt.set_heat(0.0)
    melt.lift_off()
    before = melt.ledger
    water_g = melt.water_g
    melt.step_to(10.0)
    lost_g = water_g - melt.water_g
    assert lost_g * 360.0 / 1000.0 == pytest.approx(shah, rel=0.01)
    # What the steam carries is its latent heat and the warmth of the water it was.
    latent_kw = (melt.ledger.steam_j - before.steam_j - lost_g * 4.19 * water_c) / 10.0 / 1000.0
    assert latent_kw == pytest.approx(carried_kw_per_m2, abs=0.06)


Step = Callable[[PracticeMelt], object]


@pytest.mark.parametrize("altitude_m", [0.0, 2000.0])
def test_the_heat_of_a_whole_melt_adds_up(altitude_m: float) -> None:
    """What came in is in the parts, in the room, in the steam or in the jars, within 0.1 %."""
    scenario = Scenario(
        name="balance",
        title="a balance",
        wax=Charge(mass_g=700.0),
        room=Room(altitude_m=altitude_m),
        jug=dataclasses.replace(Jug(), draught=0.2),
    )
    melt = PracticeMelt(scenario, seed=5)
    curve = EnthalpyCurve()

    def held_j() -> float:
        """Worked out anew from the temperatures, with the specific heats of the tables."""
        water_and_pan = (melt.water_g * 4.19 + 350.0) * melt.bath_c
        wax_g = 700.0 * (0.02 if poured else 1.0)
        oil_j = melt.oil_g * 1.95 * (melt.oil_c or 0.0)
        return water_and_pan + 175.0 * melt.jug_c + wax_g * float(curve.heat_j_per_g(melt.wax_c)) + oil_j

    poured = False
    start_j, hob_j, worst_j = held_j(), 0.0, 0.0
    steps: dict[int, Step] = {
        1700: lambda m: (m.lift_off(), m.set_heat(0.0)),
        2300: lambda m: m.add_oil(42.0),
        2360: lambda m: m.stir(),
        2500: lambda m: m.pour(),
    }
    for second in range(1, 3001):
        before_w = melt.hob_w
        melt.step_to(second)
        hob_j += 0.5 * (before_w + melt.hob_w)
        if second in steps:
            steps[second](melt)
            poured = poured or second == 2500
        if second % 100 == 0:
            ledger = melt.ledger
            into = ledger.hob_j + ledger.oil_j
            out = ledger.room_j + ledger.steam_j + ledger.poured_j + (held_j() - start_j)
            worst_j = max(worst_j, abs(out - into))
    ledger = melt.ledger
    assert ledger.hob_j == pytest.approx(hob_j, rel=1e-4)
    assert ledger.oil_j == pytest.approx(42.0 * 1.95 * 20.0, rel=1e-9)
    # 0.1 % of the heat that the wax alone takes up on its way to the jars, the smallest fair measure.
    assert worst_j < 1e-3 * ledger.poured_j
    # Each part of the balance is there to be missed.
    assert min(ledger.room_j, ledger.steam_j, ledger.poured_j) > 0.05 * into

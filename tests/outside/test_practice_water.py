"""Water in the practice melt against a reference library, tables and hob arithmetic."""

from dataclasses import replace

import pytest

from candlebench.practice.flows import WATER_J_PER_G_K, steam_j_per_g
from candlebench.practice.melt import PracticeMelt
from candlebench.practice.scenario import HOBS, Bath, Charge, Hob, Jug, Room, Scenario


def pan_of_water(
    water_g: float, start_c: float, hob: Hob, *, open_m2: float = 0.0, altitude_m: float = 0.0
) -> PracticeMelt:
    """Water alone on a hob: a pan that holds and loses next to nothing itself, and the jug beside it."""
    scenario = Scenario(
        name="pan",
        title="a pan of water",
        wax=Charge(mass_g=100.0),
        room=Room(temp_c=20.0, humidity=0.5, altitude_m=altitude_m),
        jug=replace(Jug(), draught=0.0),
        bath=Bath(
            water_g=water_g,
            start_c=start_c,
            pan_j_per_k=1e-3,
            pan_w_per_k=0.0,
            open_m2=open_m2,
            jug_m2=0.0,
        ),
        hob=hob,
    )
    melt = PracticeMelt(scenario)
    melt.lift_off()
    return melt


def test_specific_heat_and_heat_of_boiling_agree_with_coolprop() -> None:
    # CoolProp: IAPWS-95, an independent implementation.
    coolprop = pytest.importorskip("CoolProp.CoolProp", reason="CoolProp has no wheel for this Python")
    warm, cold = (coolprop.PropsSI("H", "T", t + 273.15, "P", 101325, "Water") for t in (95.0, 20.0))
    assert pytest.approx((warm - cold) / 75.0 / 1000.0, rel=0.003) == WATER_J_PER_G_K
    for temp_c in (40.0, 60.0, 80.0, 93.3, 100.0):
        steam, water = (coolprop.PropsSI("H", "T", temp_c + 273.15, "Q", q, "Water") for q in (1, 0))
        assert steam_j_per_g(temp_c) == pytest.approx((steam - water) / 1000.0, rel=0.003)


@pytest.mark.parametrize(
    ("altitude_m", "boiling_c"),
    [(0, 99.97), (500, 98.31), (1500, 94.98), (2000, 93.32), (3000, 89.98), (4000, 86.63)],
)
def test_a_boiling_bath_stands_at_the_tabulated_temperature_of_its_altitude(
    altitude_m: float, boiling_c: float
) -> None:
    # E15 and the table of heat.md: IAPWS-95 (CoolProp 8.0.0) with the US Standard Atmosphere 1976.
    melt = pan_of_water(500.0, 80.0, Hob(power_w=1000.0), altitude_m=altitude_m)
    melt.step_to(600.0)
    assert melt.bath_c == pytest.approx(boiling_c, abs=0.03)


def test_a_litre_takes_the_tabulated_heat_and_time_on_a_plate() -> None:
    # E22: 1 L (0.998 kg) from 20 to 95 degC: 313.5 kJ; at 1500 W x 0.75: 4.65 min; +- 0.5 %.
    melt = pan_of_water(998.0, 20.0, Hob(power_w=1500.0, efficiency=0.75, lag_s=2.0, hottest_c=1e6))
    while melt.bath_c < 95.0:
        melt.step_to(melt.elapsed_s + 0.5)
    assert melt.ledger.hob_j / 1000.0 == pytest.approx(313.5, rel=0.005)
    # The plate answers two seconds late, as the lag says.
    assert (melt.elapsed_s - 2.0) / 60.0 == pytest.approx(4.65, rel=0.005)


@pytest.mark.parametrize(
    ("kind", "low", "high"), [("gas", 0.32, 0.40), ("plate", 0.74, 0.80), ("induction", 0.84, 0.85)]
)
def test_of_what_a_hob_takes_the_published_share_reaches_the_pan(kind: str, low: float, high: float) -> None:
    # H5: US EPA (energystar.gov, 2021-2022 Residential Induction Cooking Tops); H6: US DOE, as quoted.
    hob = replace(HOBS[kind], lag_s=2.0, hottest_c=1e6)
    melt = pan_of_water(2000.0, 20.0, hob)
    melt.step_to(60.0)
    before_j = melt.ledger.gained_j
    melt.step_to(160.0)
    share = (melt.ledger.gained_j - before_j) / (hob.power_w * 100.0)
    assert low - 1e-6 <= share <= high + 1e-6


def test_the_ring_of_water_around_a_jug_loses_the_tabulated_heat_and_water() -> None:
    # H20: 0.014 m2 at 90 degC: about 125 W and 0.2 kg/h. H21: 0.5 L of it takes about 2.5 h below boiling.
    melt = pan_of_water(1e6, 90.0, Hob(power_w=50.0), open_m2=0.014)
    melt.set_heat(0.0)
    melt.step_to(3600.0)
    lost_g = 1e6 - melt.water_g
    assert lost_g == pytest.approx(200.0, rel=0.05)
    assert lost_g * steam_j_per_g(90.0) / 3600.0 == pytest.approx(125.0, rel=0.05)
    assert 500.0 / lost_g == pytest.approx(2.5, rel=0.05)


def test_at_a_full_boil_the_net_power_sets_how_fast_the_pan_runs_dry() -> None:
    # H22: 500 W net takes 0.8 kg/h.
    melt = pan_of_water(1500.0, 99.9, Hob(power_w=500.0, efficiency=1.0, lag_s=2.0, hottest_c=1e6))
    melt.step_to(3600.0)
    assert 1500.0 - melt.water_g == pytest.approx(800.0, rel=0.02)

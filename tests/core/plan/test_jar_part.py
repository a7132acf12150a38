"""The jar of a plan: its volume by sizes and by water, and whether it is fit."""

from typing import Any

import pytest
from workbench import SIX, caution, codes_of, planned

from candlebench.core.plan.jar_part import JarPart
from candlebench.core.plan.reasoned import Check
from candlebench.core.state import Level


def check(jar: JarPart, code: str) -> Check:
    return next(each for each in jar.checks if each.code == code)


def test_water_up_to_the_fill_line_is_the_volume() -> None:
    jar = planned(water_fill_g=340.0).jar
    assert jar.volume_ml.value == pytest.approx(340.0)
    assert jar.fill_mm.value == 80.0
    assert check(jar, "weighed").good


def test_water_to_the_brim_scales_what_the_sizes_say() -> None:
    by_sizes = planned(bottom_mm=65.0).jar
    assert by_sizes.brim_ml is not None
    weighed = planned(bottom_mm=65.0, water_brim_g=0.95 * by_sizes.brim_ml.value).jar
    assert weighed.volume_ml.value == pytest.approx(0.95 * by_sizes.volume_ml.value)


def test_water_alone_tells_how_high_it_stands() -> None:
    # 353.43 mL in a straight jar of 75 mm (row E23).
    assert planned(fill_mm=None, height_mm=None, water_fill_g=353.43).jar.fill_mm.value == pytest.approx(
        80.0, abs=0.01
    )
    tapered = planned(bottom_mm=60.0)
    again = planned(bottom_mm=60.0, fill_mm=None, water_fill_g=tapered.jar.volume_ml.value)
    assert again.jar.fill_mm.value == pytest.approx(80.0)


def test_without_a_height_a_weighed_tapered_jar_ends_at_its_fill_line() -> None:
    jar = planned(fill_mm=None, height_mm=None, bottom_mm=60.0, water_fill_g=300.0).jar
    assert jar.volume_ml.value == pytest.approx(300.0)
    assert jar.width_mm.value == pytest.approx(75.0)


def test_a_weight_far_from_the_sizes_is_doubted() -> None:
    plan = planned(water_fill_g=250.0)
    assert check(plan.jar, "weighed").good is False
    assert caution(plan, "jar_weighed").level is Level.WARNING


@pytest.mark.parametrize(
    ("kind", "jar_c", "good", "warm_to_c"),
    # H28: 69.5 degC into 20 degC is 49.5 K; soda-lime bears 40 K, borosilicate about 100 K.
    [
        ("glass", 20.0, False, 30.0),
        ("glass", 30.0, True, None),
        ("borosilicate", -10.0, True, None),
        ("tin", 20.0, True, None),
        ("ceramic", 20.0, None, None),
    ],
)
def test_the_step_from_jar_to_wax_is_judged_by_the_kind_of_jar(
    kind: str, jar_c: float, good: bool | None, warm_to_c: float | None
) -> None:
    jar = planned(jar_kind=kind, jar_c=jar_c).jar
    assert check(jar, "step").good is good
    assert jar.warm_to_c == warm_to_c


def test_a_cold_jar_is_as_cold_as_the_room() -> None:
    assert planned(jar_c=None, room_c=17.0).jar.jar_c == 17.0


def test_what_burns_is_no_jar() -> None:
    plan = planned(jar_kind="plastic")
    assert plan.cautions[0].code == "jar_heat_proof" and plan.cautions[0].level is Level.DANGER
    assert "jar_heat_proof" in codes_of(planned(jar_kind="ceramic"))
    assert "jar_heat_proof" not in codes_of(planned())


@pytest.mark.parametrize(
    ("height_mm", "good"),
    # B9: 5 to 12 mm below lid or rim.
    [(83.0, False), (85.0, True), (92.0, True), (110.0, True), (None, None)],
)
def test_room_is_left_below_the_rim(height_mm: float | None, good: bool | None) -> None:
    jar = planned(height_mm=height_mm).jar
    assert check(jar, "headspace").good is good
    assert (jar.headspace_mm is None) is (height_mm is None)


@pytest.mark.parametrize(("changes", "good"), [({}, True), ({"diameter_mm": 40.0}, False)])
def test_a_jar_deep_for_its_opening_is_doubted(changes: dict[str, Any], good: bool) -> None:
    # Common practice, no source: twice as deep as wide. 90 mm deep, 40 mm wide.
    assert check(planned(SIX, **changes).jar, "opening").good is good

"""The volume of a tapered jar against an ancient worked example, a library of tanks, and an integral."""

import math
from typing import Any

import pytest

from candlebench.core.materials.jar import JarShape


def test_the_frustum_of_the_moscow_papyrus() -> None:
    # Problem 14 (about 1850 BC): a truncated pyramid, base 4, top 2, height 6, has the volume 56. A round
    # frustum of those diameters is pi/4 of it. In units of 10 mm, so that a cube of one is 1 mL.
    shape = JarShape(top_mm=20.0, bottom_mm=40.0, height_mm=60.0)
    assert shape.volume_ml(60.0) == pytest.approx(56.0 * math.pi / 4.0)


@pytest.mark.parametrize(("top_mm", "bottom_mm"), [(90.0, 60.0), (80.0, 79.0), (150.0, 30.0)])
def test_a_tapered_jar_is_a_cone_without_its_tip(top_mm: float, bottom_mm: float) -> None:
    # fluids (tank volumes after D. Jones): a vertical cone of height a and width D filled to h.
    fluids: Any = pytest.importorskip("fluids", reason="fluids (tank volumes) is not installed")
    height_mm = 100.0
    tip_mm = bottom_mm * height_mm / (top_mm - bottom_mm)
    shape = JarShape(top_mm, bottom_mm, height_mm)
    for level_mm in (20.0, 50.0, 100.0):
        whole, tip = (
            fluids.geometry.V_vertical_conical(D=top_mm, a=tip_mm + height_mm, h=height)
            for height in (tip_mm + level_mm, tip_mm)
        )
        assert shape.volume_ml(level_mm) == pytest.approx((whole - tip) / 1000.0, rel=1e-9)


def test_a_jar_that_narrows_upwards_holds_the_integral_of_its_widths() -> None:
    integrate: Any = pytest.importorskip("scipy.integrate")
    shape = JarShape(60.0, 90.0, 110.0)
    area, _ = integrate.quad(lambda level: math.pi / 4.0 * (90.0 - 30.0 * level / 110.0) ** 2, 0.0, 70.0)
    assert shape.volume_ml(70.0) == pytest.approx(area / 1000.0)

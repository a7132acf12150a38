"""What a jar holds, and the table of kinds."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from candlebench.core.errors import BadDataError
from candlebench.core.materials.jar import JarShape, load_jars
from candlebench.resources_folder import resources_folder

widths_mm = st.floats(20.0, 200.0)
heights_mm = st.floats(20.0, 300.0)
shares = st.floats(0.01, 1.0)


@given(widths_mm, widths_mm, heights_mm, shares, st.floats(0.8, 1.2))
def test_a_level_and_its_volume_belong_together(
    top_mm: float, bottom_mm: float, height_mm: float, share: float, scale: float
) -> None:
    shape = JarShape(top_mm, bottom_mm, height_mm, scale)
    level_mm = share * height_mm
    assert shape.level_mm(shape.volume_ml(level_mm)) == pytest.approx(level_mm, rel=1e-5)


@given(widths_mm, heights_mm)
def test_an_almost_straight_jar_holds_what_a_straight_one_does(width_mm: float, height_mm: float) -> None:
    straight = JarShape(width_mm, width_mm, height_mm)
    almost = JarShape(width_mm + 1e-6, width_mm, height_mm)
    assert almost.volume_ml(height_mm) == pytest.approx(straight.volume_ml(height_mm), rel=1e-6)


def test_a_jar_turned_over_holds_the_same_to_the_brim_but_not_to_half() -> None:
    up, down = JarShape(90.0, 60.0, 100.0), JarShape(60.0, 90.0, 100.0)
    assert up.volume_ml(100.0) == pytest.approx(down.volume_ml(100.0))
    assert up.volume_ml(50.0) < down.volume_ml(50.0)


def test_the_width_goes_evenly_from_bottom_to_top() -> None:
    shape = JarShape(90.0, 60.0, 100.0)
    assert [shape.width_mm(level) for level in (0.0, 50.0, 100.0)] == [60.0, 75.0, 90.0]


def test_the_kinds_have_the_steps_of_the_tables() -> None:
    kinds = load_jars().kinds
    # H28: soda-lime 40 to 50 K, the lower; borosilicate about 100 K.
    assert kinds["glass"].step_k is not None and kinds["glass"].step_k.value == 40.0
    assert kinds["borosilicate"].step_k is not None and kinds["borosilicate"].step_k.value == 100.0
    assert kinds["tin"].step_k is None and kinds["tin"].heat_proof
    assert kinds["plastic"].heat_proof is False and kinds["ceramic"].heat_proof is None
    assert all(kind.note and kind.source for kind in kinds.values())


@pytest.mark.parametrize(
    ("find", "put", "place"),
    [
        ("heat_proof = true", 'heat_proof = "yes"', "kind.glass.heat_proof"),
        ("value = 40.0", "value = true", "kind.glass.step_k needs a number"),
        ("[fit.headspace_mm]", "[fit.headspace]", "fit.headspace_mm"),
    ],
)
def test_a_damaged_table_of_jars_is_refused_by_name(find: str, put: str, place: str, tmp_path: Path) -> None:
    text = (resources_folder() / "data" / "jars.toml").read_text(encoding="utf-8")
    assert find in text
    damaged = tmp_path / "jars.toml"
    damaged.write_text(text.replace(find, put, 1), encoding="utf-8")
    with pytest.raises(BadDataError, match=r"jars\.toml") as caught:
        load_jars(damaged)
    assert place in str(caught.value)

"""First guesses for wicks, how many, and where they stand."""

import math
from pathlib import Path

import pytest

from candlebench.core.errors import BadDataError
from candlebench.core.materials.wick import load_wicks, wick_count, wick_positions_mm
from candlebench.resources_folder import resources_folder

WICKS = load_wicks()


@pytest.mark.parametrize(
    ("pool_mm", "size"),
    # B22: under 25 mm 4/0, from 25 mm 2/0, #1 to #3 at the wide end, over 75 mm #6.
    # Common practice, no source.
    [(20.0, "4/0"), (25.0, "4/0"), (30.0, "2/0"), (45.0, "1/0"), (60.0, "#1"), (75.0, "#2"), (80.0, "#6")],
)
def test_beeswax_begins_where_the_table_says(pool_mm: float, size: str) -> None:
    start = WICKS.start("beeswax", pool_mm)
    assert start is not None and (start.series, start.size) == ("square-braid", size)


def test_a_wider_pool_never_begins_with_a_thinner_wick() -> None:
    series = WICKS.series["square-braid"]
    starts = [WICKS.start("beeswax", pool_mm) for pool_mm in range(5, 84)]
    order = [series.sizes.index(start.size) for start in starts if start is not None]
    assert len(order) == len(starts) and order == sorted(order)


def test_where_the_table_has_no_row_there_is_no_start() -> None:
    assert WICKS.start("soy-container", 60.0) is None
    assert WICKS.start("beeswax", 90.0) is None


def test_sizes_have_neighbours_up_to_the_ends_of_their_series() -> None:
    series = WICKS.series["square-braid"]
    assert (series.beside("1/0", -1), series.beside("1/0", 1)) == ("2/0", "#1")
    assert series.beside("#10", 1) is None and series.beside("6/0", -1) is None
    assert series.beside("#99", 1) is None


@pytest.mark.parametrize(
    ("width_mm", "count"), [(40.0, 1), (75.0, 1), (76.0, 2), (106.0, 2), (107.0, 3), (129.0, 3), (150.0, 4)]
)
def test_several_wicks_share_a_surface_too_wide_for_one(width_mm: float, count: int) -> None:
    # B28: several from about 75 to 80 mm.
    assert wick_count(width_mm, 75.0) == count
    assert width_mm / math.sqrt(count) <= 75.0


@pytest.mark.parametrize("count", [2, 3, 4, 5, 6])
def test_each_wick_stands_as_far_from_the_wall_as_from_the_halfway_line(count: int) -> None:
    places = wick_positions_mm(count, 100.0)
    assert len(places) == count
    radii = [math.hypot(x, y) for x, y in places]
    gaps = [math.dist(places[i], places[i - 1]) for i in range(count)]
    for radius in radii:
        assert 50.0 - radius == pytest.approx(min(gaps) / 2.0)
    assert sum(x for x, _ in places) == pytest.approx(0.0, abs=1e-9)
    assert sum(y for _, y in places) == pytest.approx(0.0, abs=1e-9)


def test_one_wick_stands_in_the_middle_and_of_seven_one_does() -> None:
    assert wick_positions_mm(1, 75.0) == ((0.0, 0.0),)
    seven = wick_positions_mm(7, 180.0)
    assert seven[0] == (0.0, 0.0) and len(seven) == 7


def test_two_wicks_stand_level() -> None:
    (right, up), (left, down) = wick_positions_mm(2, 90.0)
    assert (right, left) == pytest.approx((22.5, -22.5)) and (up, down) == pytest.approx((0.0, 0.0))


def test_her_own_table_of_wicks_is_read(tmp_path: Path) -> None:
    text = (resources_folder() / "data" / "wicks.toml").read_text(encoding="utf-8")
    own = tmp_path / "wicks.toml"
    row = (
        '\n[[start]]\nwax = "soy-container"\nover_mm = 50.0\nup_to_mm = 70.0\nseries = "flat-braid"\n'
        'size = "36"\nrow = "-"\nsure = "M"\nsource = "my own"\n'
    )
    own.write_text(text.replace("\n[several_over_mm]", row + "\n[several_over_mm]"), encoding="utf-8")
    start = load_wicks(own).start("soy-container", 60.0)
    assert start is not None and start.size == "36"


@pytest.mark.parametrize(
    ("find", "put", "place"),
    [
        ('size = "4/0"', 'size = "40"', "start 1 names a size"),
        ("up_to_mm = 25.0", "", "start 1 has no up_to_mm"),
        ("power = 0.21", "", "pool_law has no power"),
        ("[longest_burn_h]", "[longest]", "longest_burn_h"),
    ],
)
def test_a_damaged_table_of_wicks_is_refused_by_name(find: str, put: str, place: str, tmp_path: Path) -> None:
    text = (resources_folder() / "data" / "wicks.toml").read_text(encoding="utf-8")
    assert find in text
    damaged = tmp_path / "wicks.toml"
    damaged.write_text(text.replace(find, put, 1), encoding="utf-8")
    with pytest.raises(BadDataError, match=r"wicks\.toml") as caught:
        load_wicks(damaged)
    assert place in str(caught.value)

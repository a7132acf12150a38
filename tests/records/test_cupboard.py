"""The cupboard on disk: it comes back, nothing recorded is lost, and what is not right is named."""

import os
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from full_cupboard import CUPBOARD, MARKS, STOCK
from hypothesis import given, settings
from hypothesis import strategies as st

from candlebench.core.cupboard import Cupboard, LabelStock, OilBottle, Price, WaxLot
from candlebench.core.errors import BadDataError, FixableError
from candlebench.core.plan.request import Leftover
from candlebench.records.cupboard import EARLIER, FILE_NAME, LATEST, CupboardStore, read_cupboard
from candlebench.records.cupboard_file import from_text, to_text
from candlebench.records.cupboard_stock import (
    KINDS,
    MOST_BATCHES,
    BatchOut,
    Mark,
    Stock,
    amount_of,
    changed_by,
    put,
    runs_low,
    taken_away,
    with_batch,
    with_cupboard,
)

BEGAN = datetime(2026, 11, 25, 14, 0).astimezone()
names = st.text(st.characters(exclude_categories=("Cs",)), min_size=1, max_size=20).filter(str.strip)
amounts = st.floats(0.0, 1e6)


class Clock:
    """A time that a test moves."""

    def __init__(self) -> None:
        self.now = BEGAN

    def __call__(self) -> datetime:
        self.now += timedelta(seconds=1)
        return self.now


def opened(folder: Path, clock: Clock | None = None) -> CupboardStore:
    return CupboardStore(folder, clock or Clock())


def earlier(folder: Path) -> list[Path]:
    return sorted((folder / EARLIER).glob("*"))


def kept(folder: Path, stock: Stock = STOCK) -> CupboardStore:
    store = opened(folder)
    store.change(stock, "all of it")
    return store


# --- the file -----------------------------------------------------------------------------------------------


def test_a_cupboard_comes_back_as_it_was_kept(tmp_path: Path) -> None:
    kept(tmp_path / "deep" / "folder")
    again = opened(tmp_path / "deep" / "folder")
    assert again.stock == STOCK and again.notices == ()
    assert again.cupboard == CUPBOARD
    assert read_cupboard(tmp_path / "deep" / "folder") == STOCK


@given(
    st.lists(st.builds(WaxLot, names, names, amounts, st.booleans(), names), max_size=3),
    st.lists(st.builds(OilBottle, names, st.just("lavender"), amounts, st.none()), max_size=3),
    st.lists(st.builds(LabelStock, names, st.integers(0, 10**6), st.none(), names), max_size=3),
    st.lists(st.builds(Leftover, names, st.tuples(st.tuples(names, st.floats(0.1, 1e4)))), max_size=2),
    st.none() | amounts,
)
@settings(deadline=None, max_examples=60)
def test_whatever_is_typed_comes_back(
    waxes: list[WaxLot],
    oils: list[OilBottle],
    labels: list[LabelStock],
    left: list[Leftover],
    low: float | None,
) -> None:
    stock = Stock()
    for thing in (*waxes, *oils, *labels, *left):
        try:
            stock = put(stock, thing, Mark(BEGAN.date(), None, low))
        except FixableError:
            continue
    assert from_text(to_text(stock)) == (stock, ())


def test_the_file_can_be_read_by_a_person(tmp_path: Path) -> None:
    store = kept(tmp_path)
    lines = store.path.read_text(encoding="utf-8").splitlines()
    first = lines.index("[[waxes]]")
    assert lines[first + 1 : first + 4] == ['name = "Meadow 7"', 'wax = "beeswax"', "stock_g = 3400.0"]
    assert "price.paid = 66.0" in lines and "since = 2026-06-14" in lines


def test_without_a_file_the_cupboard_is_empty_and_nothing_is_written(tmp_path: Path) -> None:
    store = opened(tmp_path / "none")
    assert store.stock == Stock() and store.notices == () and store.stock.count == 0
    assert read_cupboard(tmp_path / "none") == Stock()
    assert not (tmp_path / "none").exists()


# --- what is not right --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("stock_g = 900.0", 'stock_g = "lots"', "Pale blocks: waxes.stock_g"),
        ("stock_g = 900.0", "stock_g = -5", "Pale blocks: how much is left"),
        ("stock_g = 900.0", "stock_g = nan", "Pale blocks: waxes.stock_g"),
        ("stock_g = 900.0", "", "Pale blocks: waxes.stock_g"),
        ("price.paid = 24.0", "price.paid = -1", "Pale blocks: Type what was paid"),
        ("since = 2026-09-02", "since = 'autumn'", "Pale blocks: since must be a day"),
        (
            'full = 5000.0\n\n[[waxes]]\nname = "Soy',
            'full = true\n\n[[waxes]]\nname = "Soy',
            "Pale blocks: full",
        ),
    ],
)
def test_a_thing_that_is_not_right_is_named_with_its_line_and_the_others_stay(
    tmp_path: Path, old: str, new: str, said: str
) -> None:
    path = kept(tmp_path).path
    text = path.read_text(encoding="utf-8")
    assert text.count(old) >= 1
    place = text.index(old, text.index("Pale blocks"))
    damaged = text[:place] + new + text[place + len(old) :]
    path.write_text(damaged, encoding="utf-8")
    with pytest.raises(BadDataError, match="correct that line"):
        read_cupboard(tmp_path)
    store = opened(tmp_path)
    (sentence,) = store.notices
    assert said in sentence and "line " in sentence and "\n" not in sentence
    aside = tmp_path / "cupboard-damaged-2026-11-25-1.toml"
    assert str(aside) in sentence and aside.read_text(encoding="utf-8") == damaged
    left = [lot.name for lot in store.cupboard.waxes]
    assert left == ["Meadow 7", "Soy flakes", "Field oil wax", "Old ends"]
    assert store.cupboard.oils == CUPBOARD.oils
    assert opened(tmp_path).notices == ()


def test_the_line_that_is_named_is_the_line_that_is_wrong(tmp_path: Path) -> None:
    path = kept(tmp_path).path
    lines = path.read_text(encoding="utf-8").splitlines()
    number = next(n for n, line in enumerate(lines, start=1) if line == "stock_g = 5000.0")
    lines[number - 1] = "stock_g = true"
    path.write_text("\n".join(lines), encoding="utf-8")
    assert f"line {number}, Soy flakes" in opened(tmp_path).notices[0]


def test_a_name_that_stands_twice_gets_a_number(tmp_path: Path) -> None:
    text = '[[labels]]\nname = "round"\ncount = 3\n[[labels]]\nname = "round"\ncount = 5\n'
    (tmp_path / FILE_NAME).write_text(text, encoding="utf-8")
    store = opened(tmp_path)
    assert [(x.name, x.count) for x in store.cupboard.labels] == [("round", 3), ("round (2)", 5)]
    assert "line 4, round" in store.notices[0]


def test_an_oil_that_left_the_table_asks_for_its_density_and_stays_in_the_old_file(tmp_path: Path) -> None:
    text = '[[leftovers]]\nname = "jug"\nwaxes = [["beeswax", 90.0]]\n'
    text += 'oils = [[{name="m", table_name="moss"}, 4.0]]\n'
    (tmp_path / FILE_NAME).write_text(text, encoding="utf-8")
    store = opened(tmp_path)
    assert store.cupboard.leftovers == () and "jug" in store.notices[0]
    assert text in [file.read_text(encoding="utf-8") for file in tmp_path.glob("*damaged*")]


def test_a_damaged_file_gives_way_to_the_latest_earlier_one(tmp_path: Path) -> None:
    store = kept(tmp_path, taken_away(STOCK, "waxes", "Meadow 7"))
    store.change(STOCK, "the latest earlier one")
    store.change(taken_away(STOCK, "waxes", "Old ends"), "away")
    store.path.write_bytes(b"[[waxes]\n" + store.path.read_bytes())
    (tmp_path / EARLIER / "2026-11-26-000000-000000.toml").write_text("[[waxes", encoding="utf-8")
    again = opened(tmp_path)
    assert again.stock == STOCK
    (sentence,) = again.notices
    assert "line 1" in sentence and f"{EARLIER}/2026-11-25" in sentence and "damaged-2026-11-25-1" in sentence
    assert opened(tmp_path).notices == () and opened(tmp_path).stock == STOCK


@pytest.mark.parametrize(
    "text", [b"waxes = ", b"\xff\xfe", b"a = 1\na = 2\n", b"x=" + b"[" * 5000], ids=range(4)
)
def test_a_damaged_file_without_an_earlier_one_is_kept_and_the_line_is_said(
    tmp_path: Path, text: bytes
) -> None:
    (tmp_path / FILE_NAME).write_bytes(text)
    store = opened(tmp_path)
    assert store.stock == Stock()
    (sentence,) = store.notices
    aside = tmp_path / "cupboard-damaged-2026-11-25-1.toml"
    assert str(aside) in sentence and aside.read_bytes() == text and "\n" not in sentence
    store.change(STOCK, "again")
    assert opened(tmp_path).stock == STOCK and aside.read_bytes() == text


def test_shelves_that_are_no_lists_are_said(tmp_path: Path) -> None:
    (tmp_path / FILE_NAME).write_text('oils = "many"\n[[labels]]\nname = "a"\ncount = 1\n', encoding="utf-8")
    store = opened(tmp_path)
    assert "oils must be a list" in store.notices[0] and len(store.cupboard.labels) == 1


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write everywhere")
def test_a_folder_that_cannot_be_written_keeps_the_stock_and_says_so(tmp_path: Path) -> None:
    store = kept(tmp_path)
    tmp_path.chmod(0o500)
    try:
        with pytest.raises(FixableError, match="not saved"):
            store.change(Stock(), "emptied")
    finally:
        tmp_path.chmod(0o700)
    assert store.stock == STOCK and read_cupboard(tmp_path) == STOCK


def test_a_place_that_cannot_be_written_is_said_and_nothing_changes(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    store = opened(tmp_path / "file")
    with pytest.raises(FixableError, match="not saved"):
        store.change(STOCK, "x")
    assert store.stock == Stock() and store.undo_words == ""


def test_a_folder_in_the_place_of_the_file_is_said_and_left_alone(tmp_path: Path) -> None:
    (tmp_path / FILE_NAME).mkdir()
    store = opened(tmp_path)
    assert "cannot be read" in store.notices[0]
    with pytest.raises(FixableError, match="not saved"):
        store.change(STOCK, "x")
    assert (tmp_path / FILE_NAME).is_dir()


# --- earlier versions and undo ------------------------------------------------------------------------------


def test_every_change_keeps_what_was_there_before(tmp_path: Path) -> None:
    store = kept(tmp_path)
    before = store.path.read_bytes()
    store.change(Stock(), "emptied")
    assert [file.read_bytes() for file in earlier(tmp_path)] == [before]


def test_the_latest_stay_and_the_last_of_each_day(tmp_path: Path) -> None:
    clock = Clock()
    store = opened(tmp_path, clock)
    for day in range(3):
        clock.now = BEGAN + timedelta(days=day)
        for count in range(LATEST + 5):
            store.change(Stock(Cupboard(labels=(LabelStock("a", 100 * day + count),))), "x")
    stems = [file.name[:10] for file in earlier(tmp_path)]
    assert stems.count("2026-11-27") == LATEST
    assert stems.count("2026-11-25") == stems.count("2026-11-26") == 1
    (last_of_first,) = [file for file in earlier(tmp_path) if file.name.startswith("2026-11-25")]
    assert "count = 23" in last_of_first.read_text(encoding="utf-8")


def test_two_changes_in_one_moment_both_stay(tmp_path: Path) -> None:
    store = CupboardStore(tmp_path, lambda: BEGAN)
    for count in range(4):
        store.change(Stock(Cupboard(labels=(LabelStock("a", count),))), "x")
    assert len(earlier(tmp_path)) == 3


def test_undo_goes_back_step_by_step_and_is_kept(tmp_path: Path) -> None:
    store = opened(tmp_path)
    assert store.undo() == "" and not store.path.exists()
    store.change(STOCK, "first")
    store.change(Stock(), "second")
    assert store.undo_words == "second"
    assert store.undo() == "second" and read_cupboard(tmp_path) == STOCK
    assert store.undo() == "first" and read_cupboard(tmp_path) == Stock()
    assert store.undo_words == ""


# --- changes ------------------------------------------------------------------------------------------------


def test_more_comes_in_and_less_is_left() -> None:
    stock = changed_by(STOCK, "waxes", "Pale blocks", -150.0)
    assert amount_of(stock.shelf("waxes")[1]) == 750.0
    stock = changed_by(stock, "wicks", "Braid no. 3", 25)
    assert amount_of(stock.shelf("wicks")[1]) == 37.0
    assert stock.mark("wicks", "Braid no. 3").full == 37.0
    assert stock.mark("waxes", "Pale blocks") == MARKS["waxes", "Pale blocks"]


def test_no_more_is_taken_than_there_is() -> None:
    with pytest.raises(FixableError, match="not so much"):
        changed_by(STOCK, "oils", "Orange", -60.5)


def test_a_used_up_leftover_is_gone_and_used_up_wax_stays_at_nothing() -> None:
    stock = changed_by(STOCK, "leftovers", "Jug of May", -240.0)
    assert [x.name for x in stock.cupboard.leftovers] == ["Pot of ends"]
    assert ("leftovers", "Jug of May") not in stock.marks
    assert amount_of(changed_by(STOCK, "oils", "Orange", -60.0).shelf("oils")[1]) == 0.0


def test_part_of_a_leftover_keeps_its_proportions() -> None:
    left = changed_by(STOCK, "leftovers", "Jug of May", -140.0).cupboard.leftovers[0]
    assert (left.mass_g, left.oil_g) == (pytest.approx(100.0), pytest.approx(5.0))


def test_a_name_on_the_same_shelf_is_taken_and_on_another_it_is_free() -> None:
    with pytest.raises(FixableError, match="already one called"):
        put(STOCK, LabelStock("Wide", 3), Mark())
    with pytest.raises(FixableError, match="already one called"):
        put(STOCK, LabelStock("Wide", 3), Mark(), instead_of="Small round")
    assert put(STOCK, LabelStock("Round", 3), Mark()).count == STOCK.count + 1


def test_a_renamed_thing_keeps_its_place_and_its_mark() -> None:
    lot = replace(CUPBOARD.waxes[1], name="Paler blocks")
    stock = put(STOCK, lot, STOCK.mark("waxes", "Pale blocks"), "Pale blocks")
    assert [x.name for x in stock.cupboard.waxes][1] == "Paler blocks"
    assert stock.mark("waxes", "Paler blocks") == MARKS["waxes", "Pale blocks"]
    assert ("waxes", "Pale blocks") not in stock.marks


def test_a_thing_runs_low_at_a_fifth_or_where_she_says() -> None:
    lot = WaxLot("a", "beeswax", 200.0, price=Price(1.0, 1.0))
    assert runs_low(lot, Mark(full=1000.0)) and not runs_low(lot, Mark(full=999.0))
    assert runs_low(lot, Mark(full=300.0, low=250.0)) and not runs_low(lot, Mark(full=2000.0, low=0.0))
    assert runs_low(replace(lot, stock_g=0.0), Mark())
    assert not runs_low(STOCK.cupboard.leftovers[0], Mark(full=1e6))


def test_after_a_batch_marks_of_what_is_gone_go_too() -> None:
    stock = with_cupboard(STOCK, replace(CUPBOARD, leftovers=()))
    assert {shelf for shelf, _ in stock.marks} == set(KINDS) - {"leftovers"}
    assert stock.mark("waxes", "Meadow 7") == MARKS["waxes", "Meadow 7"]


# --- batches that were taken out ----------------------------------------------------------------------------


def test_batches_that_were_taken_out_come_back_and_the_oldest_are_forgotten(tmp_path: Path) -> None:
    stock = STOCK
    for n in range(MOST_BATCHES + 3):
        stock = with_batch(stock, BatchOut(f"mark {n}", "six “jars”", BEGAN + timedelta(hours=n)))
    kept(tmp_path, stock)
    back = opened(tmp_path).stock
    assert back == stock and len(back.batches) == MOST_BATCHES
    assert back.taken_out("mark 2") is None
    out = back.taken_out(f"mark {MOST_BATCHES}")
    assert out is not None and out.at == BEGAN + timedelta(hours=MOST_BATCHES)


def test_a_change_of_the_stock_keeps_the_batches() -> None:
    stock = with_batch(STOCK, BatchOut("m", "", BEGAN))
    changed = changed_by(with_cupboard(stock, STOCK.cupboard), "waxes", "Meadow 7", -1.0)
    assert changed.batches == stock.batches and changed != stock


def test_a_batch_that_cannot_be_read_is_no_fault_of_the_stock(tmp_path: Path) -> None:
    text = to_text(with_batch(STOCK, BatchOut("m", "", BEGAN)))
    stock, faults = from_text(text + "\n[[batches]]\nmark = 3\n[[batches]]\nmark = 'x'\nat = 'noon'\n")
    assert faults == () and [out.mark for out in stock.batches] == ["m"]
    assert from_text("batches = 1\n") == (Stock(), ())

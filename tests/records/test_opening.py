"""Whatever state the database is in, a melt can go on, and nothing that was there is overwritten."""

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from candlebench.core.errors import FixableError
from candlebench.core.events import Recorded, SetupChanged
from candlebench.records.database import VERSION, Database
from candlebench.records.opening import Opened, open_database
from candlebench.records.rows import row_of

from .shop import BEGAN_WALL_S, MELT, Shop, began, damage, differing_pages, melt_of, reading, some_events


def opening(folder: Path, places: tuple[Path, ...] = ()) -> Opened:
    return open_database(folder, places, lambda: BEGAN_WALL_S, patience_s=0.05)


def fill(folder: Path, count: int = 4000, clean: bool = True) -> Path:
    """A database with one melt in it; its path."""
    database = opening(folder).database
    database.write([row_of(recorded) for recorded in some_events(count)])
    if clean:
        database.close()
    else:
        database.close_unmarked()
    return database.path


def count(database: Database) -> int:
    return database.event_count()


def test_a_folder_that_is_not_there_is_made(tmp_path: Path) -> None:
    opened = opening(tmp_path / "a" / "b")
    assert opened.notices == ()
    assert opened.database.path == tmp_path / "a" / "b" / "candlebench.db"
    assert opened.database.path.exists()
    opened.database.close()


def test_a_sound_database_is_opened_in_silence_after_any_end(tmp_path: Path) -> None:
    for clean in (True, False):
        folder = tmp_path / str(clean)
        fill(folder, clean=clean)
        opened = opening(folder)
        assert opened.notices == ()
        assert count(opened.database) == 4000
        opened.database.close()


@pytest.mark.parametrize("spoil", ["truncated", "header", "text", "short"])
def test_a_file_that_is_no_database_any_more_is_set_aside_and_said(tmp_path: Path, spoil: str) -> None:
    path = fill(tmp_path)
    whole = path.read_bytes()
    spoilt = {
        "truncated": whole[: len(whole) // 2],
        "header": b"\xa5" * 100 + whole[100:],
        "text": b"this is a shopping list\n" * 500,
        "short": b"SQLite",
    }[spoil]
    path.write_bytes(spoilt)
    opened = opening(tmp_path)
    aside = tmp_path / "candlebench-damaged-2026-11-25-1.db"
    (notice,) = opened.notices
    assert str(aside) in notice and "set aside" in notice
    assert aside.read_bytes() == spoilt
    assert opened.database.path == path
    assert opened.database.fault() == ""
    opened.database.write([row_of(Recorded(MELT, 9000, reading(9000)))])
    opened.database.close()


def test_after_an_unclean_end_damage_in_the_middle_is_found_at_once_and_the_rest_is_copied(
    tmp_path: Path,
) -> None:
    path = fill(tmp_path, clean=False)
    damage(path)
    as_it_was = path.read_bytes()
    opened = opening(tmp_path)
    (notice,) = opened.notices
    copied = count(opened.database)
    assert 2000 < copied < 4000
    assert f"{copied} events" in notice
    aside = tmp_path / "candlebench-damaged-2026-11-25-1.db"
    assert differing_pages(aside.read_bytes(), as_it_was) == 0
    recorded = [row_of(one) for one in some_events(4000)]
    assert all(row == recorded[row.number] for row in opened.database.rows(str(MELT), -1, 10_000))
    opened.database.close()


def test_a_second_damaged_file_does_not_take_the_place_of_the_first(tmp_path: Path) -> None:
    for text in (b"first " * 1000, b"second " * 1000):
        (tmp_path / "candlebench.db").write_bytes(text)
        opening(tmp_path).database.close()
    assert (tmp_path / "candlebench-damaged-2026-11-25-1.db").read_bytes().startswith(b"first")
    assert (tmp_path / "candlebench-damaged-2026-11-25-2.db").read_bytes().startswith(b"second")


def test_a_damaged_file_whose_program_was_killed_keeps_its_log_and_neither_is_touched(tmp_path: Path) -> None:
    folder = tmp_path / "data"
    fill(folder)
    database = opening(folder).database
    database.write([row_of(Recorded(MELT, 9000, reading(9000)))])
    # A copy of an open database is what a kill leaves.
    killed = tmp_path / "killed"
    shutil.copytree(folder, killed)
    database.close()
    damage(killed / "candlebench.db")
    before = [(killed / f"candlebench.db{end}").read_bytes() for end in ("", "-wal")]
    assert before[1]
    opened = opening(killed)
    aside = "candlebench-damaged-2026-11-25-1.db"
    assert [(killed / f"{aside}{end}").read_bytes() for end in ("", "-wal")] == before
    # What lay in the log only is among what was copied.
    assert opened.database.rows(str(MELT), 8999, 2) == [row_of(Recorded(MELT, 9000, reading(9000)))]
    opened.database.close()


def test_a_database_of_something_else_is_set_aside_whole(tmp_path: Path) -> None:
    with closing(sqlite3.connect(tmp_path / "candlebench.db")) as other:
        other.execute("CREATE TABLE events (x)")
        other.execute("INSERT INTO events VALUES ('recipes')")
        other.commit()
    opened = opening(tmp_path)
    assert len(opened.notices) == 1
    opened.database.close()
    with closing(sqlite3.connect(tmp_path / "candlebench-damaged-2026-11-25-1.db")) as other:
        assert other.execute("SELECT x FROM events").fetchall() == [("recipes",)]


def test_a_database_of_a_newer_version_is_refused_and_not_touched(tmp_path: Path) -> None:
    path = fill(tmp_path)
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute(f"PRAGMA user_version = {VERSION + 1}")
    as_it_was = path.read_bytes()
    with pytest.raises(FixableError, match="newer candlebench"):
        opening(tmp_path, (tmp_path / "rescue",))
    assert path.read_bytes() == as_it_was
    assert [file.name for file in tmp_path.iterdir()] == ["candlebench.db"]


def test_a_newer_version_that_was_killed_keeps_its_log(tmp_path: Path) -> None:
    folder = tmp_path / "data"
    fill(folder)
    database = opening(folder).database
    # The new version stands in the log only.
    database.connection.execute(f"PRAGMA user_version = {VERSION + 1}")
    killed = tmp_path / "killed"
    shutil.copytree(folder, killed)
    database.close()
    before = [(killed / f"candlebench.db{end}").read_bytes() for end in ("", "-wal")]
    with pytest.raises(FixableError, match=r"killed/candlebench\.db was written by a newer"):
        opening(killed)
    assert [(killed / f"candlebench.db{end}").read_bytes() for end in ("", "-wal")] == before


def test_the_title_is_that_of_the_latest_setup_in_whatever_order_events_are_written(tmp_path: Path) -> None:
    database = opening(tmp_path).database
    events = melt_of([began("first"), SetupChanged(5.0, BEGAN_WALL_S + 5.0, began("second").setup)])
    for recorded in reversed(events):
        database.write([row_of(recorded)])
    (melt,) = database.melts()
    assert (melt.title, melt.began_wall_s, melt.event_count) == ("second", BEGAN_WALL_S, 2)
    database.close()


def test_a_locked_database_is_left_alone_and_the_melt_goes_elsewhere(shop: Shop) -> None:
    path = fill(shop.folder)
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        opened = opening(shop.folder, shop.places)
        other.execute("ROLLBACK")
    (notice,) = opened.notices
    assert "Another program holds" in notice and str(opened.database.path) in notice
    assert opened.database.path.parent == shop.places[0]
    opened.database.write([row_of(Recorded(MELT, 9000, reading(9000)))])
    opened.database.close()
    journal = shop.journal()
    (taken,) = journal.import_rescued()
    assert "1 event that" in taken
    assert [one.number for one in journal.events(MELT)] == [*range(4000), 9000]


def test_a_data_folder_that_cannot_be_made_sends_the_melt_elsewhere(shop: Shop) -> None:
    shop.folder.write_text("a file where a folder should be")
    opened = opening(shop.folder, shop.places)
    (notice,) = opened.notices
    assert str(shop.places[0]) in notice and "cannot be written" in notice
    opened.database.close()


def test_without_any_place_to_write_it_is_said_what_is_wrong(tmp_path: Path) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("")
    with pytest.raises(FixableError, match="no other place"):
        opening(blocked, (blocked,))

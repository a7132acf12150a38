"""The journal keeps what happens, and loses nothing while the disk is in trouble."""

import json
import shutil
import sqlite3
import subprocess
import sys
import threading
import time
from contextlib import closing
from pathlib import Path
from uuid import UUID, uuid4

import pytest

from candlebench.core.errors import BadDataError
from candlebench.core.events import ActionKind, Reading, Recorded, Refused, SetupChanged
from candlebench.core.setup import MeltSetup
from candlebench.records.journal import Journal, open_journal
from candlebench.records.rescue import rescue_stem

from .shop import (
    BEGAN_WALL_S,
    LIMITS,
    MELT,
    Shop,
    Told,
    action,
    began,
    damage,
    differing_pages,
    melt_of,
    reading,
    some_events,
)


def append_all(journal: Journal, recorded: list[Recorded]) -> None:
    for one in recorded:
        journal.append(one)


def kept(folder: Path, melt: UUID = MELT) -> list[int]:
    """Numbers of the events that another program sees in the database."""
    with closing(sqlite3.connect(folder / "candlebench.db")) as connection:
        found = connection.execute("SELECT number FROM events WHERE melt = ? ORDER BY number", (str(melt),))
        return [number for (number,) in found]


def test_events_come_back_as_they_were_appended(shop: Shop) -> None:
    recorded = some_events(5000)
    journal = shop.journal()
    append_all(journal, recorded)
    assert journal.flush(10.0)
    assert list(journal.events(MELT)) == recorded
    assert list(journal.events(uuid4())) == []


def test_events_are_there_in_the_next_session(shop: Shop) -> None:
    recorded = some_events(50)
    journal = shop.journal()
    append_all(journal, recorded)
    assert journal.close() == ()
    assert list(shop.journal().events(MELT)) == recorded
    assert shop.told.notices == []


def test_an_action_is_on_the_disk_at_once_and_a_reading_within_the_second(shop: Shop) -> None:
    journal = shop.journal(commit_every_s=3600.0)
    journal.append(Recorded(MELT, 0, began()))
    with journal._changed:
        assert journal._changed.wait_for(lambda: journal._committed == 1, 10.0)
    journal.append(Recorded(MELT, 1, reading(1)))
    with journal._changed:
        assert not journal._changed.wait_for(lambda: journal._committed == 2, 0.05)
    assert kept(shop.folder) == [0]
    journal.append(Recorded(MELT, 2, action(ActionKind.OFF_HEAT)))
    with journal._changed:
        assert journal._changed.wait_for(lambda: journal._committed == 3, 10.0)
    assert kept(shop.folder) == [0, 1, 2]


def test_readings_are_committed_without_being_asked_for(shop: Shop) -> None:
    journal = shop.journal(commit_every_s=0.05)
    append_all(journal, some_events(3))
    with journal._changed:
        assert journal._changed.wait_for(lambda: journal._committed == 3, 10.0)
    assert kept(shop.folder) == [0, 1, 2]


def test_writing_the_same_event_twice_does_nothing(shop: Shop) -> None:
    journal = shop.journal()
    recorded = some_events(3)
    append_all(journal, recorded)
    append_all(journal, [*recorded, Recorded(MELT, 1, Reading(9.0, 9.0, 99.0))])
    assert journal.flush(10.0)
    assert list(journal.events(MELT)) == recorded
    assert journal.melts()[0].event_count == 3


def test_the_commit_is_synced_to_the_disk(shop: Shop) -> None:
    connection = shop.journal()._database.connection
    assert connection.execute("PRAGMA journal_mode").fetchone() == ("wal",)
    assert connection.execute("PRAGMA synchronous").fetchone() == (2,)
    assert connection.execute("PRAGMA foreign_keys").fetchone() == (1,)


def test_a_reading_that_is_no_number_is_refused_and_the_journal_goes_on(shop: Shop) -> None:
    journal = shop.journal()
    with pytest.raises(BadDataError):
        journal.append(Recorded(MELT, 0, Reading(0.0, 1.0, float("nan"))))
    append_all(journal, some_events(2))
    assert journal.flush(10.0)
    assert kept(shop.folder) == [0, 1]


def test_a_list_of_melts_says_what_they_are(shop: Shop) -> None:
    first, second, third = (UUID(int=number) for number in (1, 2, 3))
    journal = shop.journal()
    renamed = SetupChanged(5.0, BEGAN_WALL_S + 5.0, MeltSetup("three small jars", "beeswax", LIMITS))
    append_all(journal, melt_of([began(), reading(20), renamed, reading(1)], first))
    later = BEGAN_WALL_S + 7200.0
    append_all(journal, melt_of([began("late", later), action(ActionKind.FINISHED)], second))
    undone = [began("last", later + 1.0), action(ActionKind.FINISHED), action(ActionKind.UNDO)]
    append_all(journal, melt_of(undone, third))
    assert journal.flush(10.0)
    melts = journal.melts()
    assert [(melt.uuid, melt.title, melt.finished) for melt in melts] == [
        (third, "last", False),
        (second, "late", True),
        (first, "three small jars", False),
    ]
    assert (melts[2].event_count, melts[2].last_elapsed_s, melts[2].began_wall_s) == (4, 5.0, BEGAN_WALL_S)
    assert journal.latest_unfinished() == melts[0]
    journal.append(Recorded(third, 3, action(ActionKind.FINISHED)))
    assert journal.flush(10.0)
    assert journal.latest_unfinished() == melts[2]


def test_an_undo_before_finishing_does_not_take_the_finishing_back(shop: Shop) -> None:
    journal = shop.journal()
    kinds = (ActionKind.POURED, ActionKind.UNDO, ActionKind.FINISHED, ActionKind.NOTE, ActionKind.ACKNOWLEDGE)
    append_all(journal, melt_of([began(), *map(action, kinds)]))
    assert journal.flush(10.0)
    assert journal.melts()[0].finished
    assert journal.latest_unfinished() is None


def test_an_event_that_cannot_be_understood_keeps_its_place_and_its_text(shop: Shop) -> None:
    journal = shop.journal()
    append_all(journal, some_events(3))
    assert journal.flush(10.0)
    with closing(sqlite3.connect(journal.path, isolation_level=None)) as other:
        other.execute('UPDATE events SET body = \'{"temp_c":"hot"}\' WHERE number = 1')
    events = list(journal.events(MELT))
    assert [one.number for one in events] == [0, 1, 2]
    assert isinstance(events[1].event, Refused)
    assert "hot" in events[1].event.text
    assert isinstance(events[2].event, Reading)


def test_a_full_disk_is_said_and_nothing_is_lost(shop: Shop) -> None:
    journal = shop.journal()
    recorded = some_events(3000)
    append_all(journal, recorded[:10])
    assert journal.flush(10.0)
    with journal._disk:
        pages = journal._database.connection.execute("PRAGMA page_count").fetchone()[0]
        journal._database.connection.execute(f"PRAGMA max_page_count = {pages}")
    append_all(journal, recorded[10:])
    journal.append(Recorded(MELT, 3000, action(ActionKind.OFF_HEAT)))
    said = shop.told.wait_for(bool)
    assert said.startswith("The disk is full: free some space")
    assert not journal.flush(0.05)
    (rescue,) = shop.places[0].glob("*.jsonl")
    assert str(rescue) in said
    with journal._disk:
        journal._database.connection.execute("PRAGMA max_page_count = 1000000")
    shop.told.wait_for(lambda text: text == "")
    assert journal.flush(10.0)
    assert kept(shop.folder) == list(range(3001))
    assert not rescue.exists()


def test_a_database_locked_by_another_program_is_said_and_caught_up(shop: Shop) -> None:
    journal = shop.journal()
    append_all(journal, some_events(5))
    assert journal.flush(10.0)
    with closing(sqlite3.connect(journal.path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        journal.append(Recorded(MELT, 5, action(ActionKind.MELTED)))
        assert "Another program holds" in shop.told.wait_for(bool)
        assert len(list(journal.events(MELT))) == 5
        other.execute("ROLLBACK")
    shop.told.wait_for(lambda text: text == "")
    assert kept(shop.folder) == list(range(6))


def test_while_writing_fails_it_is_tried_again_at_intervals_however_much_happens(shop: Shop) -> None:
    journal = shop.journal(retry_every_s=3600.0)
    tried: list[str] = []
    journal._database.connection.set_trace_callback(tried.append)
    journal._database.connection.execute("PRAGMA query_only = ON")
    journal.append(Recorded(MELT, 0, began()))
    shop.told.wait_for(bool)
    append_all(journal, [Recorded(MELT, number, action(ActionKind.NOTE)) for number in range(1, 50)])
    assert not journal.flush(0.1)
    assert tried.count("BEGIN IMMEDIATE") == 1


def test_appending_returns_at_once_while_the_database_is_locked(shop: Shop) -> None:
    journal = shop.journal()
    with closing(sqlite3.connect(journal.path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        journal.append(Recorded(MELT, 0, began()))
        began_s = time.perf_counter()
        append_all(journal, some_events(200)[1:])
        spent_s = time.perf_counter() - began_s
        other.execute("ROLLBACK")
    # One wait for the lock takes 0.25 s.
    assert spent_s < 0.2
    assert journal.flush(10.0)


def test_what_could_not_be_written_at_closing_is_taken_in_at_the_next_start(shop: Shop) -> None:
    journal = shop.journal()
    recorded = some_events(20)
    append_all(journal, recorded[:5])
    assert journal.flush(10.0)
    journal._database.connection.execute("PRAGMA query_only = ON")
    append_all(journal, recorded[5:])
    (sentence,) = journal.close()
    (rescue,) = shop.places[0].glob("*.jsonl")
    assert str(rescue) in sentence and "15 events" in sentence and "may not be written" in sentence
    lines = [json.loads(line) for line in rescue.read_text().splitlines() if line]
    assert [line["number"] for line in lines] == list(range(5, 20))
    again = shop.journal()
    (notice,) = again.import_rescued()
    assert "15 events" in notice and str(rescue) in notice
    assert list(again.events(MELT)) == recorded
    assert again.import_rescued() == ()
    assert [path.name for path in shop.places[0].iterdir()] == [
        rescue.name.replace("candlebench-rescue", "candlebench-taken-in")
    ]


def test_the_second_place_is_used_when_the_first_cannot_be_written(shop: Shop) -> None:
    shop.places[0].write_text("a file where a folder should be")
    journal = shop.journal()
    journal._database.connection.execute("PRAGMA query_only = ON")
    append_all(journal, some_events(2))
    (sentence,) = journal.close()
    assert str(shop.places[1]) in sentence


def test_events_that_no_place_takes_are_said_to_be_lost(shop: Shop) -> None:
    for place in shop.places:
        place.write_text("a file where a folder should be")
    journal = shop.journal()
    journal._database.connection.execute("PRAGMA query_only = ON")
    append_all(journal, some_events(2))
    (sentence,) = journal.close()
    assert "2 events could not be written anywhere" in sentence


def test_half_a_line_in_a_rescue_file_does_not_keep_the_rest_out(shop: Shop) -> None:
    journal = shop.journal()
    journal._database.connection.execute("PRAGMA query_only = ON")
    append_all(journal, some_events(4))
    journal.close()
    (rescue,) = shop.places[0].glob("*.jsonl")
    text = rescue.read_text()
    rescue.write_text('{"melt": "6c1f7c5e-3a57-4f0e' + text + '{"melt": "6c1')
    again = shop.journal()
    again.import_rescued()
    assert list(again.events(MELT)) == some_events(4)


def test_a_rescue_file_that_contradicts_the_database_is_left_alone_and_said(shop: Shop) -> None:
    journal = shop.journal()
    journal._database.connection.execute("PRAGMA query_only = ON")
    append_all(journal, some_events(4))
    journal.close()
    (rescue,) = shop.places[0].glob("*.jsonl")
    again = shop.journal()
    append_all(again, melt_of([began("another")]))
    assert again.flush(10.0)
    (notice,) = again.import_rescued()
    assert str(rescue) in notice and "left as it is" in notice
    assert list(again.events(MELT)) == melt_of([began("another")])
    assert rescue.exists()


def test_a_rescue_file_that_cannot_be_read_is_said_and_waits(shop: Shop) -> None:
    shop.places[0].mkdir()
    folders = [
        shop.places[0] / f"{rescue_stem(shop.folder)}-2026-11-24-1{suffix}" for suffix in (".db", ".jsonl")
    ]
    for folder in folders:
        folder.mkdir()
    notices = shop.journal().import_rescued()
    assert len(notices) == 2
    assert all("cannot be read" in notice for notice in notices)
    assert all(folder.is_dir() for folder in folders)


def test_rescue_files_of_another_data_folder_are_left_alone(shop: Shop, tmp_path: Path) -> None:
    journal = shop.journal()
    journal._database.connection.execute("PRAGMA query_only = ON")
    append_all(journal, some_events(2))
    journal.close()
    other = Shop(tmp_path / "other", shop.places, shop.told)
    try:
        assert other.journal().import_rescued() == ()
    finally:
        other.close()
    assert list(shop.places[0].glob("*.jsonl"))


def test_a_database_damaged_in_the_middle_of_a_melt_is_set_aside_and_the_melt_goes_on(shop: Shop) -> None:
    journal = shop.journal()
    recorded = some_events(6000)
    append_all(journal, recorded)
    assert journal.flush(10.0)
    journal.close()
    damage(journal.path)
    as_it_was = journal.path.read_bytes()
    journal = shop.journal()
    assert shop.told.notices == []
    # Closed cleanly, so the damage shows only when the melt is read.
    events = list(journal.events(MELT))
    (notice,) = shop.told.notices
    aside = shop.folder / "candlebench-damaged-2026-11-25-1.db"
    assert str(aside) in notice and "damaged" in notice
    # All but the header and the mark of how it was closed.
    assert differing_pages(aside.read_bytes(), as_it_was) <= 2
    numbers = [one.number for one in events]
    assert 3000 < len(numbers) < 6000 and numbers[0] == 0 and numbers[-1] == 5999
    assert all(one == recorded[one.number] for one in events)
    journal.append(Recorded(MELT, 6000, action(ActionKind.OFF_HEAT)))
    assert journal.flush(10.0)
    assert kept(shop.folder) == [*numbers, 6000]


@pytest.mark.skipif(sys.platform == "win32", reason="Windows does not let an open file be removed")
@pytest.mark.parametrize("how", ["removed", "renamed", "folder removed", "replaced"])
def test_a_database_that_is_taken_away_in_the_middle_of_a_melt_is_written_anew(shop: Shop, how: str) -> None:
    journal = shop.journal()
    recorded = some_events(3000)
    append_all(journal, recorded[:2000])
    assert journal.flush(10.0)
    if how == "removed":
        journal.path.unlink()
    elif how == "renamed":
        journal.path.rename(shop.folder / "mine.db")
    elif how == "folder removed":
        shutil.rmtree(shop.folder)
    else:
        other = shop.folder / "other"
        other.write_text("something else")
        other.replace(journal.path)
    append_all(journal, recorded[2000:])
    assert journal.flush(10.0)
    assert "written anew" in shop.told.notices[0]
    assert list(journal.events(MELT)) == recorded
    journal.close()
    assert kept(shop.folder) == list(range(3000))
    assert list(shop.journal().events(MELT)) == recorded
    if how == "replaced":
        aside = shop.folder / "candlebench-other-2026-11-25-1.db"
        assert aside.read_text() == "something else"


def test_a_listener_that_fails_does_not_stop_the_writing(
    shop: Shop, caplog: pytest.LogCaptureFixture
) -> None:
    journal = shop.journal()

    def fail(text: str) -> None:
        told.trouble(text)
        raise ZeroDivisionError

    told = Told()
    journal._on_trouble = fail
    journal._database.connection.execute("PRAGMA query_only = ON")
    append_all(journal, some_events(3))
    told.wait_for(bool)
    with journal._disk:
        journal._database.connection.execute("PRAGMA query_only = OFF")
    assert journal.flush(10.0)
    assert "ZeroDivisionError" in caplog.text


def test_closing_writes_what_is_left_and_can_be_done_twice(shop: Shop) -> None:
    journal = shop.journal(commit_every_s=3600.0)
    append_all(journal, some_events(40))
    assert journal.close() == ()
    assert journal.close() == ()
    assert kept(shop.folder) == list(range(40))
    with pytest.raises(RuntimeError):
        journal.append(Recorded(MELT, 40, reading(40)))


FAILS_IN_THE_MIDDLE = """
import sys
from pathlib import Path
from candlebench.records.journal import open_journal
sys.path.insert(0, sys.argv[2])
from records.shop import some_events
journal = open_journal(Path(sys.argv[1]), (), print, print)
for recorded in some_events(500):
    journal.append(recorded)
raise ZeroDivisionError
"""


def test_a_program_that_fails_without_closing_the_journal_ends_and_has_written_everything(shop: Shop) -> None:
    tests = Path(__file__).resolve().parents[1]
    command = [sys.executable, "-c", FAILS_IN_THE_MIDDLE, str(shop.folder), str(tests)]
    ended = subprocess.run(command, capture_output=True, text=True, timeout=30, check=False, cwd=tests.parent)
    assert ended.returncode == 1 and "ZeroDivisionError" in ended.stderr
    assert kept(shop.folder) == list(range(500))
    shop.journal()
    assert shop.told.notices == []


def test_several_threads_may_append_and_read(shop: Shop) -> None:
    journal = shop.journal(commit_every_s=0.01)
    melts = [UUID(int=number) for number in range(4)]

    def work(melt: UUID) -> None:
        for one in melt_of([began(), *map(reading, range(1, 200))], melt):
            journal.append(one)
            if one.number % 50 == 0:
                list(journal.events(melt))

    threads = [threading.Thread(target=work, args=(melt,)) for melt in melts]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert journal.flush(10.0)
    for melt in melts:
        assert [one.number for one in journal.events(melt)] == list(range(200))


def test_opening_the_journal_takes_in_what_was_rescued(shop: Shop) -> None:
    journal = shop.journal()
    journal._database.connection.execute("PRAGMA query_only = ON")
    append_all(journal, some_events(7))
    journal.close()
    notices: list[str] = []
    opened = open_journal(shop.folder, shop.places, shop.told.trouble, notices.append)
    try:
        assert list(opened.events(MELT)) == some_events(7)
        assert len(notices) == 1
    finally:
        opened.close()


@pytest.mark.skipif(
    sys.platform != "linux" or shutil.which("mount") is None,
    reason="needs a small disk in memory (Linux, mount)",
)
def test_a_disk_that_is_really_full_is_caught_up_when_there_is_room(tmp_path: Path, told: Told) -> None:
    disk = tmp_path / "small disk"
    disk.mkdir()
    mount = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=1m", "none", str(disk)], capture_output=True, check=False
    )
    if mount.returncode:
        pytest.skip("only the administrator may mount a small disk")
    try:
        shop = Shop(disk / "data", (disk / "rescue", tmp_path / "rescue"), told)
        journal = shop.journal()
        filler = disk / "filler"
        try:
            recorded = some_events(2000)
            append_all(journal, recorded[:5])
            assert journal.flush(10.0)
            fill(filler)
            append_all(journal, recorded[5:])
            journal.append(Recorded(MELT, 2000, action(ActionKind.OFF_HEAT)))
            assert str(tmp_path / "rescue") in told.wait_for(bool)
            filler.unlink()
            told.wait_for(lambda text: text == "")
            assert [one.number for one in journal.events(MELT)] == list(range(2001))
        finally:
            shop.close()
    finally:
        subprocess.run(["umount", str(disk)], check=True)


def fill(file: Path) -> None:
    """Write until the disk is full."""
    with file.open("wb", buffering=0) as stream:
        try:
            while stream.write(b"x" * 4096):
                pass
        except OSError:
            return

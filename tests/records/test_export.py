"""A melt as CSV: every digit kept, and never half a file."""

import csv
import os
import threading
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from candlebench.core.correction import Correction
from candlebench.core.errors import FixableError
from candlebench.core.events import (
    Action,
    ActionKind,
    Gap,
    KeptOut,
    ProbeTrouble,
    Reading,
    Recorded,
    Refused,
)
from candlebench.core.place import Place
from candlebench.records.export import export_csv
from candlebench.thermometers.series_file import read_series

from .shop import MELT, began, melt_of, some_events

# UTC + 1 h, as in a winter in Central Europe.
ZONE = timezone(timedelta(hours=1))
# 2026-11-25 12:00:00 UTC.
NOON_S = datetime(2026, 11, 25, 12, tzinfo=UTC).timestamp()


def rows(file: Path) -> list[dict[str, str]]:
    with file.open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def test_a_melt_becomes_one_row_an_event(tmp_path: Path) -> None:
    file = tmp_path / "melt.csv"
    events = melt_of(
        [
            began("jars, two", NOON_S),
            Reading(61.0, NOON_S + 61.0, 73.4),
            Reading(70.5, NOON_S + 70.5, 158.0 / 3.0, by_hand=True),
            Refused(71.0, NOON_S + 71.0, '7E"\r\n', "no temperature"),
            ProbeTrouble(72.0, NOON_S + 72.0, "unplugged", "Plug it in again."),
            Action(80.0, NOON_S + 80.0, ActionKind.OFF_HEAT),
            Action(81.0, NOON_S + 81.0, ActionKind.NOTE, "smells of honey"),
            Gap(90.0, NOON_S + 90.0, 8.5, "asleep"),
        ]
    )
    assert export_csv(events, file, ZONE) == 8
    assert file.read_text(encoding="utf-8").splitlines()[:3] == [
        "elapsed_s,wall_time,temp_c,by_hand,event,detail,believed_c",
        '0.0,2026-11-25T13:00:00.000+01:00,,,melt began,"jars, two; beeswax",',
        "61.0,2026-11-25T13:01:01.000+01:00,73.4,no,reading,,73.4",
    ]
    found = rows(file)
    assert found[2]["temp_c"] == "52.666666666666664" and found[2]["by_hand"] == "yes"
    assert [row["detail"] for row in found[3:]] == [
        '7E"\\r\\n; no temperature',
        "unplugged; Plug it in again.",
        "off the heat",
        "note; smells of honey",
        "asleep; 8.5 s",
    ]


def test_a_row_keeps_what_was_read_and_what_was_believed(tmp_path: Path) -> None:
    file = tmp_path / "melt.csv"
    begin = began("shelf pair", NOON_S)
    checked = replace(begin.setup, correction=Correction(1.0, -0.5, 0.4, "2026-11-20"))
    export_csv(
        melt_of(
            [
                replace(begin, setup=checked),
                Reading(1.0, NOON_S + 1.0, 72.0),
                Reading(2.0, NOON_S + 2.0, 40.0),
                KeptOut(2.0, NOON_S + 2.0, 2.0, 40.0, "The probe is out of the wax."),
                Reading(2.5, NOON_S + 2.5, 91.5, place=Place.BATH),
                Reading(3.0, NOON_S + 3.0, 71.9),
            ]
        ),
        file,
    )
    columns = [(row["temp_c"], row["believed_c"], row["bath_c"], row["event"]) for row in rows(file)]
    assert columns == [
        ("", "", "", "melt began"),
        ("72.0", "71.5", "", "reading"),
        ("40.0", "", "", "reading"),
        ("", "", "", "kept out"),
        ("", "", "91.5", "reading"),
        ("71.9", "71.4", "", "reading"),
    ]
    assert rows(file)[3]["detail"] == "The probe is out of the wax."
    series = read_series(file, (Place.BATH, "bath_c"))
    assert series.temps_c == (72.0, 40.0, 71.9) and series.beside == ((2.5, 91.5),)
    assert read_series(file).beside == ()


@given(st.lists(st.tuples(*[st.floats(allow_nan=False, allow_infinity=False)] * 2), max_size=20))
@settings(deadline=None, max_examples=50)
def test_numbers_keep_every_digit(
    tmp_path_factory: pytest.TempPathFactory, pairs: list[tuple[float, float]]
) -> None:
    file = tmp_path_factory.mktemp("csv") / "melt.csv"
    export_csv(melt_of([Reading(elapsed_s, NOON_S, temp_c) for elapsed_s, temp_c in pairs]), file)
    found = [(float(row["elapsed_s"]), float(row["temp_c"])) for row in rows(file)]
    assert found == sorted(pairs, key=lambda pair: pair[0])


def test_the_wall_time_carries_its_offset_and_is_the_right_moment(tmp_path: Path) -> None:
    file = tmp_path / "melt.csv"
    export_csv(melt_of([Reading(0.0, NOON_S + 0.125, 70.0)]), file)
    moment = datetime.fromisoformat(rows(file)[0]["wall_time"])
    assert moment.utcoffset() is not None
    assert moment.timestamp() == NOON_S + 0.125


def test_a_failure_in_the_middle_leaves_the_old_file_whole_and_nothing_beside_it(tmp_path: Path) -> None:
    file = tmp_path / "melt.csv"
    file.write_text("of yesterday")

    def broken() -> Iterator[Recorded]:
        yield from some_events(500)
        raise OSError(28, "No space left on device")

    with pytest.raises(FixableError, match="No space left"):
        export_csv(broken(), file)
    assert file.read_text() == "of yesterday"
    assert list(tmp_path.iterdir()) == [file]


def test_a_folder_that_is_not_there_is_said(tmp_path: Path) -> None:
    with pytest.raises(FixableError, match="choose another place"):
        export_csv(some_events(2), tmp_path / "nowhere" / "melt.csv")


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="needs named pipes")
def test_a_pipe_is_written_to_and_stays_a_pipe(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    read: list[str] = []
    reader = threading.Thread(target=lambda: read.append(pipe.read_text()))
    reader.start()
    export_csv(some_events(3), pipe)
    reader.join()
    assert len(read[0].splitlines()) == 4
    assert pipe.is_fifo()


def test_a_link_to_a_file_stays_a_link(tmp_path: Path) -> None:
    (tmp_path / "real.csv").write_text("")
    link = tmp_path / "link.csv"
    link.symlink_to(tmp_path / "real.csv")
    export_csv(some_events(3), link)
    assert link.is_symlink()
    assert len(rows(tmp_path / "real.csv")) == 3


def test_every_event_of_a_melt_is_in_its_own_row_by_number(tmp_path: Path) -> None:
    file = tmp_path / "melt.csv"
    events = some_events(300)
    assert export_csv(events, file) == 300
    assert [float(row["elapsed_s"]) for row in rows(file)] == [one.event.elapsed_s for one in events]
    assert {one.melt for one in events} == {MELT}


def test_an_exported_melt_is_read_again_by_our_own_rule_for_series(tmp_path: Path) -> None:
    file = tmp_path / "melt.csv"
    export_csv(
        melt_of(
            [
                began("jars, two", NOON_S),
                Reading(1.5, NOON_S + 1.5, 70.123456789),
                ProbeTrouble(2.0, NOON_S + 2.0, "unplugged", "Plug it in again."),
                Action(2.5, NOON_S + 2.5, ActionKind.OFF_HEAT),
                Reading(3.0, NOON_S + 3.0, 69.5),
                # Typed at the end, "a moment ago".
                Reading(0.5, NOON_S + 0.5, 71.0, by_hand=True),
            ]
        ),
        file,
        ZONE,
    )
    series = read_series(file)
    assert series.times_s == (0.5, 1.5, 3.0)
    assert series.temps_c == (71.0, 70.123456789, 69.5)

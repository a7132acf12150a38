"""The checks of each probe: kept for good, found again by name, never overwritten."""

import json
import subprocess
import sys
from pathlib import Path
from uuid import UUID

import pytest
from hypothesis import given
from hypothesis import strategies as st

from candlebench.core.errors import FixableError
from candlebench.core.trust.check import ProbeCheck, checked
from candlebench.core.trust.line import correction_of
from candlebench.core.trust.plunge import Medium, Plunge, plunge_by_stopwatch
from candlebench.core.trust.points import boiling_at_pressure, ice_point
from candlebench.core.trust.readings import typed_reading
from candlebench.core.units import Shown
from candlebench.records.probe_lines import take_in_checks
from candlebench.records.probes import FILE_NAME, Probes

from .shop import BEGAN_WALL_S

C = Shown("C")
FULL = Plunge("2026-07-21", Medium.WAX, 8.5, 1.5, 6.9, 20.4, 0.2, 21.0, 74.5, 12.25, 31)


def check(
    ice: str = "0.4", boiling: str = "99.1", on: str = "2026-07-20", class_name: str = ""
) -> ProbeCheck:
    points = (
        checked(ice_point(), typed_reading((ice,), C), C),
        checked(boiling_at_pressure(1008.0, 40.0), typed_reading((boiling, boiling), C), C),
    )
    return ProbeCheck(on, points, class_name)


@pytest.fixture
def probes(tmp_path: Path) -> Probes:
    return Probes(lambda: tmp_path / "shop")


def test_a_check_comes_back_as_it_was_with_its_correction(probes: Probes, tmp_path: Path) -> None:
    kept = probes.keep("kitchen", check(class_name="pt100-b"), BEGAN_WALL_S)
    again = Probes(lambda: tmp_path / "shop")
    assert again.history("kitchen") == (kept,)
    assert again.check("kitchen") == check(class_name="pt100-b")
    assert again.correction("kitchen") == correction_of(check())
    assert again.plunge("kitchen") is None


def test_a_plunge_test_comes_back_as_it_was(probes: Probes) -> None:
    probes.keep("kitchen", FULL, BEGAN_WALL_S)
    assert probes.plunge("kitchen") == FULL and probes.correction("kitchen") is None
    by_watch = plunge_by_stopwatch(9.0, "2026-07-22")
    probes.keep("kitchen", by_watch, BEGAN_WALL_S + 1.0)
    assert probes.plunge("kitchen") == by_watch
    assert [kept.what for kept in probes.history("kitchen")] == [FULL, by_watch]


def test_capitals_and_spaces_make_no_other_probe(probes: Probes) -> None:
    probes.keep("  Thin  Steel ", check(), BEGAN_WALL_S)
    assert probes.correction("thin steel") is not None and probes.correction("STEEL") is None
    assert probes.names() == ("Thin Steel",)


def test_names_come_latest_first(probes: Probes) -> None:
    for number, name in enumerate(("a", "b", "A")):
        probes.keep(name, check(), BEGAN_WALL_S + number)
    assert probes.names() == ("A", "b")


def test_the_latest_day_is_in_force_and_of_one_day_the_one_kept_last(probes: Probes) -> None:
    probes.keep("kitchen", check(boiling="99.1", on="2026-07-20"), BEGAN_WALL_S)
    probes.keep("kitchen", check(boiling="99.3", on="2026-07-20"), BEGAN_WALL_S + 1.0)
    # One from an old notebook, kept later.
    probes.keep("kitchen", check(boiling="98.0", on="2025-01-02"), BEGAN_WALL_S + 2.0)
    assert probes.check("kitchen") == check(boiling="99.3", on="2026-07-20")


def test_forgetting_leaves_everything_in_the_file(probes: Probes) -> None:
    probes.keep("kitchen", check(), BEGAN_WALL_S)
    probes.keep("other", check(), BEGAN_WALL_S)
    before = probes.path.read_bytes()
    probes.forget("KITCHEN", BEGAN_WALL_S + 1.0)
    assert probes.path.read_bytes().startswith(before)
    assert probes.correction("kitchen") is None and probes.names() == ("other",)
    assert [kept.forgotten for kept in probes.history("kitchen")] == [True]
    probes.keep("kitchen", check(on="2026-08-01"), BEGAN_WALL_S + 2.0)
    assert probes.correction("kitchen") is not None


def test_one_check_alone_can_be_forgotten(probes: Probes) -> None:
    first = probes.keep("kitchen", check(boiling="98.0", on="2026-07-20"), BEGAN_WALL_S)
    second = probes.keep("kitchen", check(boiling="99.1", on="2026-07-21"), BEGAN_WALL_S)
    probes.forget_one(second.uuid, BEGAN_WALL_S)
    assert probes.correction("kitchen") == first.correction
    with pytest.raises(FixableError):
        probes.forget_one(second.uuid, BEGAN_WALL_S)
    with pytest.raises(FixableError):
        probes.forget_one(UUID(int=1), BEGAN_WALL_S)


def test_what_is_not_there_cannot_be_forgotten_and_a_probe_needs_a_name(probes: Probes) -> None:
    with pytest.raises(FixableError, match="“kitchen”"):
        probes.forget("kitchen", BEGAN_WALL_S)
    with pytest.raises(FixableError, match="name"):
        probes.keep("  ", check(), BEGAN_WALL_S)
    assert not probes.path.exists() and probes.names() == () and probes.faults() == ()


def test_one_check_that_was_forgotten_is_used_again(probes: Probes) -> None:
    first = probes.keep("kitchen", check(boiling="98.0", on="2026-07-20"), BEGAN_WALL_S)
    second = probes.keep("kitchen", check(boiling="99.1", on="2026-07-21"), BEGAN_WALL_S)
    for kept in (first, second):
        probes.forget_one(kept.uuid, BEGAN_WALL_S)
    before = probes.path.read_bytes()
    probes.use_one_again(first.uuid, BEGAN_WALL_S + 1.0)
    assert probes.path.read_bytes().startswith(before)
    assert probes.correction("kitchen") == first.correction
    assert [kept.forgotten for kept in probes.history("kitchen")] == [False, True]
    for uuid in (first.uuid, UUID(int=1)):
        with pytest.raises(FixableError, match="not left out"):
            probes.use_one_again(uuid, BEGAN_WALL_S)
    probes.forget_one(first.uuid, BEGAN_WALL_S + 2.0)
    assert probes.correction("kitchen") is None


def test_only_the_last_forgetting_of_a_probe_is_undone_each_time(probes: Probes) -> None:
    first = probes.keep("kitchen", check(on="2026-07-20"), BEGAN_WALL_S)
    probes.keep("kitchen", FULL, BEGAN_WALL_S)
    other = probes.keep("other", check(), BEGAN_WALL_S)
    probes.forget_one(first.uuid, BEGAN_WALL_S)
    probes.forget("kitchen", BEGAN_WALL_S)
    probes.forget_one(other.uuid, BEGAN_WALL_S)
    probes.use_again("KITCHEN", BEGAN_WALL_S)
    assert [kept.forgotten for kept in probes.history("kitchen")] == [True, False]
    probes.use_again("kitchen", BEGAN_WALL_S)
    assert [kept.forgotten for kept in probes.history("kitchen")] == [False, False]
    assert probes.names() == ("kitchen",)
    with pytest.raises(FixableError, match="“kitchen” was left out"):
        probes.use_again("kitchen", BEGAN_WALL_S)


@pytest.mark.parametrize(
    "spoilt",
    [
        b'{"uuid": "cut short',
        b"\xff\xfe\x00",
        b"[1, 2]",
        b'{"kind": "later version", "probe": "kitchen"}',
        b'{"kind": "check", "uuid": "00000000-0000-0000-0000-000000000001", "probe": "x", "kept_wall_s": 1}',
        b'{"kind": "plunge", "uuid": "no", "probe": "x", "kept_wall_s": 1, "plunge": {}}',
        b"[" * 100_000,
    ],
)
def test_a_spoilt_line_is_said_stays_and_spoils_no_other(probes: Probes, spoilt: bytes) -> None:
    probes.keep("kitchen", check(), BEGAN_WALL_S)
    with probes.path.open("ab") as file:
        file.write(spoilt)
    probes.keep("kitchen", check(on="2026-08-01"), BEGAN_WALL_S + 1.0)
    assert [kept.what for kept in probes.history("kitchen")] == [check(), check(on="2026-08-01")]
    (fault,) = probes.faults()
    assert fault.startswith("Line 2 of ") and "{" not in fault.split(": ", 1)[0]
    assert spoilt in probes.path.read_bytes()


@pytest.mark.parametrize(
    ("part", "key", "value"),
    [
        ("correction", "gain", "one"),
        ("correction", "checked_on", "2020-01-01"),
        ("check", "checked_on", "yesterday"),
        ("check", "points", []),
    ],
)
def test_a_line_that_was_written_over_is_not_believed(
    probes: Probes, part: str, key: str, value: object
) -> None:
    probes.keep("kitchen", check(), BEGAN_WALL_S)
    line = json.loads(probes.path.read_text(encoding="ascii"))
    line[part][key] = value
    probes.path.write_text(json.dumps(line) + "\n", encoding="ascii")
    assert probes.correction("kitchen") is None and len(probes.faults()) == 1


def test_a_line_written_twice_counts_once(probes: Probes) -> None:
    probes.keep("kitchen", check(), BEGAN_WALL_S)
    probes.path.write_bytes(2 * probes.path.read_bytes())
    assert len(probes.history("kitchen")) == 1 and probes.faults() == ()


def test_a_folder_that_cannot_be_written_is_said(tmp_path: Path) -> None:
    (tmp_path / "shop").write_text("a file in the place of the folder", encoding="utf-8")
    probes = Probes(lambda: tmp_path / "shop")
    with pytest.raises(FixableError, match="was not kept"):
        probes.keep("kitchen", check(), BEGAN_WALL_S)


def other_places(tmp_path: Path) -> tuple[Path, ...]:
    """The first of them cannot be written: a file stands in its place."""
    (tmp_path / "no place").write_text("", encoding="utf-8")
    return tmp_path / "no place", tmp_path / "rescue"


def test_a_check_is_kept_elsewhere_used_at_once_and_taken_in_once(tmp_path: Path) -> None:
    folder, places = tmp_path / "shop", other_places(tmp_path)
    folder.write_text("a file in the place of the folder", encoding="utf-8")
    told: list[str] = []
    probes = Probes(lambda: folder, places, told.append)
    first = probes.keep("kitchen", check(), BEGAN_WALL_S)
    second = probes.keep("kitchen", check(on="2026-07-21"), BEGAN_WALL_S)
    probes.forget_one(second.uuid, BEGAN_WALL_S)
    (rescue,) = places[1].iterdir()
    assert len(told) == 3 and str(rescue) in told[0] and str(probes.path) in told[0]
    # Read by another program too, before anything was taken in.
    assert Probes(lambda: folder, places).correction("kitchen") == first.correction
    assert take_in_checks(folder, places, lambda: BEGAN_WALL_S) != ()
    assert rescue.exists(), "what could not be taken in waits"
    folder.unlink()
    (sentence,) = take_in_checks(folder, places, lambda: BEGAN_WALL_S)
    assert "3 entries" in sentence and str(rescue) in sentence
    again = Probes(lambda: folder)
    assert [kept.uuid for kept in again.history("kitchen")] == [first.uuid, second.uuid]
    assert again.correction("kitchen") == first.correction and again.faults() == ()
    assert [path.name.startswith("candlebench-taken-in-checks-") for path in places[1].iterdir()] == [True]
    assert take_in_checks(folder, places, lambda: BEGAN_WALL_S) == ()


def test_what_was_taken_in_once_is_not_taken_in_again_when_its_file_had_to_stay(tmp_path: Path) -> None:
    folder, places = tmp_path / "shop", other_places(tmp_path)
    folder.write_text("a file in the place of the folder", encoding="utf-8")
    probes = Probes(lambda: folder, places)
    kept = probes.keep("kitchen", check(), BEGAN_WALL_S)
    probes.forget_one(kept.uuid, BEGAN_WALL_S)
    (rescue,) = places[1].iterdir()
    as_it_was = rescue.read_bytes()
    folder.unlink()
    take_in_checks(folder, places, lambda: BEGAN_WALL_S)
    rescue.write_bytes(as_it_was)
    probes.use_one_again(kept.uuid, BEGAN_WALL_S)
    rescue.write_bytes(as_it_was)
    assert probes.correction("kitchen") is not None, "the old forgetting does not come after the using again"
    assert take_in_checks(folder, places, lambda: BEGAN_WALL_S) == ()
    assert len(probes.path.read_bytes().splitlines()) == 3


def test_a_line_cut_short_in_a_rescue_file_keeps_no_other_out(tmp_path: Path) -> None:
    folder, places = tmp_path / "shop", other_places(tmp_path)
    folder.write_text("", encoding="utf-8")
    probes = Probes(lambda: folder, places)
    probes.keep("kitchen", check(), BEGAN_WALL_S)
    (rescue,) = places[1].iterdir()
    with rescue.open("ab") as file:
        file.write(b'{"uuid": "cut sh')
    probes.keep("other", check(), BEGAN_WALL_S)
    folder.unlink()
    # What comes next takes in what waits first.
    probes.forget("kitchen", BEGAN_WALL_S)
    assert not rescue.exists() and probes.names() == ("other",) and probes.faults() == ()


def test_rescue_files_of_another_data_folder_are_left_alone(tmp_path: Path) -> None:
    folder, places = tmp_path / "shop", other_places(tmp_path)
    folder.write_text("", encoding="utf-8")
    Probes(lambda: folder, places).keep("kitchen", check(), BEGAN_WALL_S)
    assert Probes(lambda: tmp_path / "another", places).names() == ()
    assert take_in_checks(tmp_path / "another", places, lambda: BEGAN_WALL_S) == ()


def test_a_file_that_cannot_be_read_is_said(tmp_path: Path) -> None:
    (tmp_path / FILE_NAME).mkdir()
    with pytest.raises(FixableError, match="cannot be read"):
        Probes(lambda: tmp_path).names()


KEEP_TWENTY = """
import sys
from pathlib import Path
from candlebench.core.trust.plunge import plunge_by_stopwatch
from candlebench.records.probe_lines import take_in_checks
from candlebench.records.probes import Probes
probes = Probes(lambda: Path(sys.argv[1]))
for number in range(20):
    probes.keep(sys.argv[2], plunge_by_stopwatch(9.0 + number, "2026-07-21"), 1_795_600_000.0 + number)
"""


def test_a_console_and_a_window_may_keep_tests_at_the_same_time(tmp_path: Path) -> None:
    command = [sys.executable, "-c", KEEP_TWENTY, str(tmp_path)]
    workers = [subprocess.Popen([*command, name]) for name in ("one", "two")]
    assert [worker.wait(60.0) for worker in workers] == [0, 0]
    probes = Probes(lambda: tmp_path)
    assert probes.faults() == ()
    assert len(probes.history("one")) == len(probes.history("two")) == 20


@given(st.text(min_size=1).filter(lambda name: name.strip()), st.sampled_from(["0", "0.4", "-1,25"]))
def test_any_name_is_found_again(tmp_path_factory: pytest.TempPathFactory, name: str, ice: str) -> None:
    folder = tmp_path_factory.mktemp("shop")
    probes = Probes(lambda: folder)
    probes.keep(name, check(ice=ice), BEGAN_WALL_S)
    assert probes.check(name) == check(ice=ice)
    assert probes.check(name.upper().lower()) is not None or name.upper().lower() != name.lower()

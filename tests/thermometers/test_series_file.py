"""Series files as other programs write them, and what is wrong with the rest."""

from pathlib import Path

import pytest

from candlebench.core.errors import BadDataError, FixableError
from candlebench.thermometers.series_file import read_series


def written(tmp_path: Path, text: str | bytes, name: str = "melt.csv") -> Path:
    path = tmp_path / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode("utf-8"))
    return path


PLAIN = ((0.0, 60.0, 120.5), (73.0, 71.5, 70.0))


@pytest.mark.parametrize(
    "text",
    [
        "0,73\n60,71.5\n120.5,70\n",
        "0,73\n60,71.5\n120.5,70",
        "t_s,temp_C\n0,73\n60,71.5\n120.5,70\n",
        "elapsed_s,temp_c\r\n0,73\r\n60,71.5\r\n120.5,70\r\n",
        "\ufefft_s,temp_C\n0,73\n60,71.5\n120.5,70\n",
        "t_s;temp_C\n0;73\n60;71,5\n120,5;70\n",
        "0;73\n60;71,5\n120,5;70\n",
        "0\t73\n60\t71,5\n120,5\t70\n",
        "Time (s)\tTemperature (°C)\n0\t73\n60\t71.5\n120.5\t70\n",
        "elapsed_s,wall_time,temp_c,note\n0,2024-05-01T10:00:00,73,a\n60,,71.5,\n120.5,,70,b\n",
        "temp_c,room_c,elapsed_s\n73,21,0\n71.5,21,60\n70,21,120.5\n",
        "first,second\n0,73\n60,71.5\n120.5,70\n",
        "time,T\n0,73\n60,71.5\n120.5,70\n",
        "T_C,t_s\n73,0\n71.5,60\n70,120.5\n",
        "# a melt\n\nt_s,temp_C\n0,73\n\n60,71.5\n# stirred\n120.5,70\n",
        ' t_s , temp_C \n 0 , 73 \n "60","71.5"\n 1.205e2 , 7.0e1 \n',
        "t_s,temp_C\n0,73\n30,\n60,71.5\n90\n120.5,70\n",
        "t_min,temp_C\n0,73\n1,71.5\n2.0083333333333333,70\n",
        "t_s,temp_F\n0,163.4\n60,160.7\n120.5,158\n",
        "time_s,temp_K\n0,346.15\n60,344.65\n120.5,343.15\n",
        "2024-05-01T10:00:00,73\n2024-05-01T10:01:00,71.5\n2024-05-01T10:02:00.500,70\n",
        "when,temp\n2024-05-01 23:59:00+02:00,73\n2024-05-02 00:00:00+02:00,71.5\n"
        "2024-05-01T22:01:00.5Z,70\n",
    ],
)
def test_a_series_is_read_in_any_of_these_forms(text: str, tmp_path: Path) -> None:
    series = read_series(written(tmp_path, text))
    assert series.times_s == pytest.approx(PLAIN[0])
    assert series.temps_c == pytest.approx(PLAIN[1])


def test_text_of_other_codes_is_read_too(tmp_path: Path) -> None:
    text = "Zeit (s)\tTemperatur (°C)\n0\t73\n60\t71,5\n120,5\t70\n"
    for code in ("utf-16", "latin-1"):
        assert read_series(written(tmp_path, text.encode(code))).temps_c == PLAIN[1]


def test_equal_times_are_kept_in_their_order(tmp_path: Path) -> None:
    series = read_series(written(tmp_path, "0,73\n0,72\n0,74\n5,71\n"))
    assert series.times_s == (0.0, 0.0, 0.0, 5.0)
    assert series.temps_c == (73.0, 72.0, 74.0, 71.0)


def test_times_need_not_begin_at_zero(tmp_path: Path) -> None:
    assert read_series(written(tmp_path, "600,73\n660,72\n")).times_s == (600.0, 660.0)


def test_the_measured_series_are_read_whole(shared: Path) -> None:
    # The open series of shared/data/cooling; their index lists how many readings each holds.
    files = [path for path in sorted((shared / "cooling").glob("*.csv")) if path.stem != "index"]
    assert len(files) > 50
    for path in files:
        lines = path.read_text(encoding="utf-8").splitlines()[1:]
        with_values = [line for line in lines if line.split(",")[1].strip()]
        assert len(read_series(path).times_s) == len(with_values), path.name


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "melt.csv is empty: choose a file"),
        ("\n \n# nothing\n", "melt.csv is empty"),
        ("t_s,temp_C\n", "melt.csv holds no reading: choose a file"),
        ("t_s,temp_C\n0,\n5,\n", "melt.csv holds no reading"),
        ("temp_C\n70\n71\n", "line 1: there are no times: put a time and a temperature"),
        ("70\n71\n", "line 1: there are no times"),
        ("temp_c,note\n70,a\n71,b\n", "line 1: there is no column of times: name one"),
        ("t_s,temp_C\n0,73\n,72\n", "line 3: the time is missing"),
        ("0,73\n60,72\n59,71\n", "line 3: the time goes backwards: sort the lines"),
        (
            "t_s,temp_C\n0,73\n\n60,warm\n",
            "line 4: “warm” is no number: write a number, or leave the cell empty",
        ),
        ("t_s,temp_C\n0,73\n60,nan\n", "line 3: “nan” is no number"),
        ("t_s,temp_C\n0,73\n60,1e999\n", "line 3: “1e999” is no number"),
        ("t_s,temp_C\n0,73\nlater,72\n", "line 3: “later” is no number"),
        ("t_s,temp_C\n0,73\n60,-300\n", "line 3: -300 °C is below absolute zero"),
        (
            "t_s,temp_C\n0,73\n60,72,5\n",
            "line 3: there are more columns than expected: if commas mark decimals",
        ),
        ("0,73,0\n60,71,5\n", "line 1: there are more columns than expected: if commas mark decimals"),
        ("60,71\n60,71,5\n", "more columns than expected"),
        ("2024-05-01T10:00:00,73\n60,72\n", "line 2: times are written in two ways"),
        ("0,73\n2024-05-01T10:00:00,72\n", "line 2: times are written in two ways"),
        ("2024-05-01T10:00:00,73\n2024-05-01T10:01:00Z,72\n", "line 2: times are written in two ways"),
        ("2024-05-01T10:00:00,73\n2024-05-01T09:59:00,72\n", "line 2: the time goes backwards"),
        ("t_s;temp_C\n0;73\n60;1.071,5\n", "line 3: “1.071,5” is no number"),
        (b"\x00\x01\x02PNG", "melt.csv is no text file: save the table as CSV"),
        (bytes(range(128, 256)) * 20, "melt.csv is no text file"),
        (b"\xff\xfe\x00", "melt.csv is no text file"),
    ],
)
def test_what_is_no_series_is_refused_with_its_place_and_what_to_do(
    text: str | bytes, said: str, tmp_path: Path
) -> None:
    with pytest.raises(BadDataError) as caught:
        read_series(written(tmp_path, text))
    assert "melt.csv" in str(caught.value)
    assert said in str(caught.value)
    assert str(caught.value).endswith(".") and "\n" not in str(caught.value)


def test_a_file_that_is_not_there_says_so(tmp_path: Path) -> None:
    with pytest.raises(FixableError, match=r"There is no file .*gone\.csv: check its name"):
        read_series(tmp_path / "gone.csv")


def test_a_folder_or_a_nonsense_name_is_no_file(tmp_path: Path) -> None:
    with pytest.raises(FixableError, match="cannot be opened"):
        read_series(tmp_path)
    with pytest.raises(FixableError):
        read_series("with\0zero.csv")

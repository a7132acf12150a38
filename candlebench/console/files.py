"""`candlebench practice` and `candlebench export`: files out."""

import csv
import os
import sys
from dataclasses import astuple, fields
from pathlib import Path

from candlebench.console.records import reading_journal
from candlebench.console.scenarios import own_scenarios_folder, parse_turns
from candlebench.core.errors import FixableError
from candlebench.practice.scenario_file import load_scenario
from candlebench.practice.whole_melt import PracticeRow, whole_melt
from candlebench.records.export import export_csv
from candlebench.records.folders import data_folder
from candlebench.records.whole_file import written_whole
from candlebench.words import tr


def write_practice(
    scenario: str, file: Path, seed: int, knob: list[str] | None = None, data: Path | None = None
) -> int:
    """Write a practice melt that a simulated maker does by herself, with the hidden truth.

    Parameters
    ----------
    scenario : str
        Its name, also of one in `practice` of the data folder, or a file that ends in '.toml'.
    knob : list of str
        Turns of the knob, each written like '12=0.3'; see `parse_turns`.

    Raises
    ------
    FixableError, BadDataError
        No such scenario, or the file cannot be written.
    """
    found = load_scenario(scenario, own_scenarios_folder(data))
    rows = whole_melt(found, seed, turns=parse_turns(knob or []))
    count = 0
    try:
        with written_whole(file) as stream:
            writer = csv.writer(stream)
            writer.writerow(field.name for field in fields(PracticeRow))
            for row in rows:
                writer.writerow(round(v, 4) if isinstance(v, float) else v for v in astuple(row))
                count += 1
    except OSError as error:
        text = tr("{file} cannot be written ({why}): choose another place or free some space.")
        raise FixableError(text.format(file=file, why=error.strerror or error)) from error
    print(tr("{count} readings written to {file}.").format(count=count, file=file))
    return 0


def export_melt(name: str, file: Path, data: Path | None) -> int:
    """Write a recorded melt to a CSV file.

    Raises
    ------
    FixableError
        No such melt, or the file cannot be written.
    """
    folder = data_folder(data, os.environ, sys.platform, Path.home())
    with reading_journal(folder) as records:
        summary = records.find(name)
        count = export_csv(records.events(summary.uuid), file)
    print(tr("{title}: {count} rows written to {file}.").format(title=summary.title, count=count, file=file))
    return 0

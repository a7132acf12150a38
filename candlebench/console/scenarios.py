"""`candlebench practice --list`: which melts can be practised, and the knob on the command line."""

import json
import os
import re
import sys
import textwrap
from pathlib import Path

from candlebench.core.errors import FixableError
from candlebench.practice.scenario_file import faulty_scenarios, list_scenarios
from candlebench.practice.whole_melt import Turn
from candlebench.records.folders import data_folder
from candlebench.words import tr

_WIDTH = 100


def own_scenarios_folder(data: Path | None) -> Path:
    """Return where a person keeps scenarios of her own: `practice` in the data folder."""
    return data_folder(data, os.environ, sys.platform, Path.home()) / "practice"


def show_scenarios(data: Path | None, as_json: bool) -> int:
    """Print the scenarios in their order, and on stderr what is wrong with files of one's own."""
    folder = own_scenarios_folder(data)
    scenarios = list_scenarios(folder)
    for fault in faulty_scenarios(folder):
        print(fault, file=sys.stderr)
    if as_json:
        rows = [
            {
                "scenario": one.file or one.name,
                "title": one.title,
                "brief": one.brief,
                "teaches": one.teaches,
                "cable": one.cable,
            }
            for one in scenarios
        ]
        print(json.dumps(rows))
        return 0
    for one in scenarios:
        print(f"{one.file or one.name}  {one.title}")
        if one.teaches:
            print(textwrap.indent(textwrap.fill(one.teaches, _WIDTH), "    "))
    print(tr("Files of your own, NAME.toml, are looked for in {folder}.").format(folder=folder))
    return 0


def parse_turns(texts: list[str]) -> tuple[Turn, ...]:
    """Return knob turns from words like '12=0.3': after 12 minutes, to 0.3 of full power.

    Raises
    ------
    FixableError
        Not written like that.
    """
    return tuple(_turn(text) for text in texts)


def _turn(text: str) -> Turn:
    found = re.fullmatch(r"\s*(\d+(?:[.,]\d+)?)\s*=\s*(\d+(?:[.,]\d+)?)\s*(%?)\s*", text)
    share = -1.0
    if found:
        share = float(found[2].replace(",", ".")) * (0.01 if found[3] else 1.0)
    if not found or not 0.0 <= share <= 1.0:
        raise FixableError(
            tr(
                "“{text}” does not turn the knob: write minutes=share of full power, like 12=0.3 or 12=30%."
            ).format(text=text)
        )
    return Turn(float(found[1].replace(",", ".")) * 60.0, share)

"""A machine that dies costs at most a second of readings."""

import runpy
import sys
from pathlib import Path

import pytest

SCRIPT = Path(__file__).resolve().parents[2] / "scripts" / "figures_kill"


@pytest.mark.skipif(sys.platform == "win32", reason="pseudo-terminals and kill -9 are not on Windows")
def test_a_killed_process_loses_at_most_a_second_and_its_database_opens_clean() -> None:
    figures = runpy.run_path(str(SCRIPT))
    # Shorter than in the figures; one at least falls just before a commit is due.
    figures["kills"].__globals__["KILL_AFTER_S"] = (0.8, 2.0)
    found = figures["kills"](count=3, at_a_time=3, seed=3, bare=True)
    assert len(found) == 3
    for kill in found:
        assert kill.faults == ()
        assert kill.kept >= 2
        assert kill.missing_s <= 1.0

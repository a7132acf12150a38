"""Calm notes about a probe: its check is old."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from kitchen import BEGAN_WALL_S, SETUP, Hob

from candlebench.core.correction import Correction
from candlebench.core.probe_notes import old_check_text


def _checked(days_ago: int) -> Correction:
    day = (datetime.fromtimestamp(BEGAN_WALL_S, UTC) - timedelta(days=days_ago)).date()
    return Correction(1.0, 0.4, 0.3, day.isoformat())


@pytest.mark.parametrize(("days_ago", "months"), [(-3, ""), (0, ""), (360, ""), (400, "13"), (800, "26")])
def test_a_check_older_than_a_year_is_named_with_its_age(days_ago: int, months: str) -> None:
    text = old_check_text(_checked(days_ago), BEGAN_WALL_S)
    assert (f"{months} months ago" in text) if months else text == ""


def test_without_a_check_nothing_is_said() -> None:
    assert old_check_text(None, BEGAN_WALL_S) == ""


def test_an_old_check_is_said_once_in_a_melt() -> None:
    hob = Hob(replace(SETUP, correction=_checked(500)))
    hob.feed([60.0, 60.1, 60.2, 60.3])
    assert hob.codes("cue").count("probe_check_old") == 1
    assert "ice and boiling water" in hob.first("probe_check_old")[1].text

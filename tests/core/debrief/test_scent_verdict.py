"""Estimated scent kept in one melt."""

from dataclasses import replace

import pytest
from recording import PLAIN, SETUP, Recording, melt

from candlebench.core.debrief.judge import debrief_of
from candlebench.core.debrief.scent import Scent
from candlebench.core.events import ActionKind
from candlebench.core.setup import MeltSetup, Oil


def scent(recording: Recording) -> Scent:
    return debrief_of(recording.events).scent


def with_oil(name: str) -> MeltSetup:
    return replace(SETUP, oil=Oil(name, 43.0))


def test_a_melt_done_right_loses_about_what_a_melt_done_right_loses() -> None:
    found = scent(melt())
    assert found.times_right == pytest.approx(1.0, abs=0.35)
    assert found.kept is not None and 0.998 < found.kept < 1.0


def test_oil_in_hotter_and_for_longer_loses_more() -> None:
    right, hot = scent(melt()), scent(melt(off_c=88.0, oil_c=84.0))
    longer = scent(melt(pour_c=69.0, oil_c=74.9))
    assert right.kept is not None and hot.kept is not None and longer.kept is not None
    assert hot.kept < longer.kept < right.kept
    assert hot.times_right is not None and hot.times_right > 4.0


def test_citrus_loses_more_than_lavender_and_clove_less() -> None:
    kept = [scent(melt(setup=with_oil(name))).kept for name in ("clove bud", "lavender", "sweet orange")]
    assert kept == sorted(kept, reverse=True, key=lambda share: share or 0.0)
    assert len(set(kept)) == 3


def test_the_band_is_a_factor_of_two_around_what_went_off() -> None:
    found = scent(melt(off_c=88.0, oil_c=84.0))
    assert found.kept is not None and found.kept_low is not None and found.kept_high is not None
    assert 1.0 - found.kept_low == pytest.approx(2.0 * (1.0 - found.kept))
    assert 1.0 - found.kept_high == pytest.approx(0.5 * (1.0 - found.kept))


@pytest.mark.parametrize(
    ("setup", "words"),
    [
        (with_oil("grandmother's blend"), "not in the tables"),
        (with_oil(""), "not in the tables"),
        (PLAIN, "plain"),
    ],
)
def test_without_a_known_oil_there_is_a_reason_instead_of_a_figure(setup: MeltSetup, words: str) -> None:
    found = scent(melt(setup=setup))
    assert found.kept is None and found.times_right is None
    assert words in found.why_not


def test_oil_that_never_went_in_keeps_no_figure() -> None:
    recording = Recording().ramp(60.0, 79.0, 4.0).do(ActionKind.OFF_HEAT).ramp(79.0, 69.0, 1.0)
    assert "did not go in" in scent(recording.do(ActionKind.POURED)).why_not

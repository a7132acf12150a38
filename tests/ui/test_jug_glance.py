"""The look into the practice jug: what is seen follows the melt's true liquid share."""

from dataclasses import replace

import pytest
from pytestqt.qtbot import QtBot

from candlebench.practice.scenario_file import load_scenario
from candlebench.practice.truth import Truth
from candlebench.practice.whole_melt import whole_melt
from candlebench.ui.jug_glance import CLEAR, JugGlance, Look, look_into
from candlebench.ui.theme import DARK, LIGHT, Theme

SOLID = Truth(0.0, 21.0, 21.0, 21.0, 0.0, 1000.0, 1.0, 900.0, False)


@pytest.mark.parametrize(
    ("share", "was_clear", "look"),
    [
        (0.0, False, Look.LUMPS),
        (0.8, False, Look.LUMPS),
        (0.95, False, Look.FEW_LUMPS),
        (1.0, False, Look.CLEAR),
        (0.98, True, Look.CLEAR),
        (0.9, True, Look.SKIN),
    ],
)
def test_what_is_seen_follows_the_liquid_share(share: float, was_clear: bool, look: Look) -> None:
    assert look_into(replace(SOLID, liquid_share=share), was_clear) is look


def test_before_the_first_moment_there_are_lumps_and_after_pouring_nothing() -> None:
    assert look_into(None, False) is Look.LUMPS
    assert look_into(replace(SOLID, liquid_share=1.0, jar_c=68.0), True) is Look.EMPTY


def test_a_whole_melt_shows_lumps_then_few_then_none() -> None:
    seen: list[Look] = []
    was_clear = False
    for row in whole_melt(load_scenario("first-jug"), every_s=5.0):
        look = look_into(replace(SOLID, liquid_share=row.liquid_share), was_clear)
        was_clear = was_clear or row.liquid_share >= CLEAR
        if not seen or seen[-1] is not look:
            seen.append(look)
        if row.did == "poured":
            break
    assert seen == [Look.LUMPS, Look.FEW_LUMPS, Look.CLEAR]


@pytest.mark.parametrize("palette", [LIGHT, DARK], ids=lambda p: p.name)
def test_each_look_is_drawn_differently_without_its_word(qtbot: QtBot, palette: object) -> None:
    glance = JugGlance()
    qtbot.addWidget(glance)
    glance.use(Theme(palette))  # type: ignore[arg-type]
    glance.be_wordy(False)
    glance.resize(glance.sizeHint())
    pictures = []
    for look in Look:
        glance.show_look(look)
        pictures.append(glance.grab().toImage())
    assert all(a != b for i, a in enumerate(pictures) for b in pictures[i + 1 :])


def test_the_word_is_there_for_the_screen_reader_and_moves_nothing(qtbot: QtBot) -> None:
    glance = JugGlance()
    qtbot.addWidget(glance)
    widths = set()
    for look in Look:
        glance.show_look(look)
        widths.add(glance.sizeHint().width())
        assert glance.accessibleDescription() == f"In the jug: {look.value}"
    assert len(widths) == 1

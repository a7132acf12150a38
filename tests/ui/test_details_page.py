"""What this melt is made of."""

from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from candlebench.core.materials.wax import limits_for, load_waxes
from candlebench.core.setup import MeltSetup, Oil
from candlebench.core.units import Shown
from candlebench.ui.details_page import DetailsPage
from candlebench.ui.main_window import MainWindow

from .conftest import OpenWindow


def make(qtbot: QtBot, unit: str = "C", oil: Oil | None = None) -> tuple[DetailsPage, list[MeltSetup]]:
    waxes = load_waxes()
    setup = MeltSetup(
        "A jug", "beeswax", limits_for(waxes["beeswax"]), wax_g=677.0, oil=oil or Oil("lavender")
    )
    page = DetailsPage(setup, waxes, Shown(unit), lambda: None)
    qtbot.addWidget(page)
    page.show()
    sent: list[MeltSetup] = []
    page.changed.connect(sent.append)
    return page, sent


def test_what_is_written_is_sent_with_either_decimal_sign(qtbot: QtBot) -> None:
    page, sent = make(qtbot)
    page._title.setText("Six jars")
    page._wax_g.setText("700,5")
    page._oil_g.setText("42")
    page._room.setText("20.5")
    page._take()
    (setup,) = sent
    assert (setup.title, setup.wax_g, setup.room_c) == ("Six jars", 700.5, 20.5)
    assert setup.oil == Oil("lavender", 42.0)


def test_the_share_of_oil_is_said_and_too_much_is_warned_of(qtbot: QtBot) -> None:
    page, _ = make(qtbot)
    page._wax_g.setText("1000")
    page._oil_g.setText("60")
    assert "6.0 % of the wax" in page._share.text() and "usual" not in page._share.text()
    page._oil_g.setText("90")
    assert "9.0 %" in page._share.text() and "more than the usual 6 %" in page._share.text()


@pytest.mark.parametrize("wrong", ["much", "-5", "inf"])
def test_a_weight_that_cannot_be_sends_nothing(qtbot: QtBot, wrong: str) -> None:
    page, sent = make(qtbot)
    page._wax_g.setText(wrong)
    page._take()
    assert not sent
    assert page._problem.isVisible() and "Wax" in page._problem.text()


def test_a_plain_candle_has_no_oil(qtbot: QtBot) -> None:
    page, sent = make(qtbot)
    page._plain.setChecked(True)
    assert not page._oil_g.isEnabled()
    page._take()
    assert sent[0].oil is None


def test_a_flash_point_is_read_in_the_shown_unit(qtbot: QtBot) -> None:
    page, sent = make(qtbot, "F")
    page._flash.setText("212")
    page._take()
    oil = sent[0].oil
    assert oil is not None and oil.scented_flash_c == pytest.approx(100.0)


def test_every_field_has_a_name_for_the_screen_reader(qtbot: QtBot) -> None:
    page, _ = make(qtbot)
    for field in (
        page._title,
        page._wax_g,
        page._oil_name,
        page._oil_g,
        page._oil_ml,
        page._flash,
        page._room,
    ):
        assert field.accessibleName()


def test_corrections_reach_the_melt_and_the_next_start(
    typed_melt: MainWindow, open_window: OpenWindow, qtbot: QtBot, own_home: Path
) -> None:
    typed_melt.show_page("details")
    page = typed_melt.pages.currentWidget()
    assert isinstance(page, DetailsPage)
    page._title.setText("Six jars")
    page._wax_g.setText("700")
    page._take()
    assert typed_melt.present_page == "melt"
    qtbot.waitUntil(
        lambda: bool(typed_melt.melt_page.state and typed_melt.melt_page.state.setup.wax_g == 700.0)
    )
    typed_melt._quiet_close = True
    typed_melt.close()
    last = open_window().workshop.settings.last_melt
    assert (last.title, last.wax_g) == ("Six jars", 700.0)


def test_lot_jug_and_probe_are_named_or_chosen_from_those_known(qtbot: QtBot) -> None:
    waxes = load_waxes()
    setup = MeltSetup("A jug", "beeswax", limits_for(waxes["beeswax"]), lot="hive 3")
    names = {"lot": ("hive 4", "hive 3"), "jug": ("steel",)}
    page = DetailsPage(setup, waxes, Shown(), lambda: None, names)
    qtbot.addWidget(page)
    sent: list[MeltSetup] = []
    page.changed.connect(sent.append)
    assert page._lot.currentText() == "hive 3" and page._jug.currentText() == ""
    assert [page._lot.itemText(i) for i in range(page._lot.count())] == ["hive 4", "hive 3"]
    page._lot.setCurrentIndex(0)
    page._jug.setEditText("  glass ")
    page._take()
    assert (sent[0].lot, sent[0].jug, sent[0].probe) == ("hive 4", "glass", "")
    for field in (page._lot, page._jug, page._probe):
        assert field.accessibleName()

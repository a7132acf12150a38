"""Contrast of the colours, by the formula of the W3C."""

from dataclasses import replace

import pytest
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QComboBox, QFrame, QMenu, QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from candlebench.ui.main_window import MainWindow
from candlebench.ui.theme import DARK, LIGHT, Palette, Theme, style_sheet


def luminance(color: str) -> float:
    """Relative luminance, WCAG 2.1, https://www.w3.org/TR/WCAG21/#dfn-relative-luminance."""
    channels = [int(color[i : i + 2], 16) / 255.0 for i in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio, WCAG 2.1, https://www.w3.org/TR/WCAG21/#dfn-contrast-ratio."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_the_formula_gives_the_published_extremes() -> None:
    # WCAG 2.1: contrast ratios range from 1 to 21; #767676 on white is the well-known first grey above 4.5.
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21.0)
    assert contrast("#123456", "#123456") == 1.0
    assert contrast("#767676", "#FFFFFF") == pytest.approx(4.54, abs=0.01)


@pytest.mark.parametrize("palette", [LIGHT, DARK], ids=lambda p: p.name)
@pytest.mark.parametrize("ground", ["surface", "background"])
@pytest.mark.parametrize(
    "ink", ["text", "muted", "accent", "warning_text", "danger_text", "danger", "oil_text", "pour_text"]
)
def test_words_can_be_read_on_their_ground(palette: Palette, ground: str, ink: str) -> None:
    # WCAG 2.1, success criterion 1.4.3 (AA): 4.5 for text of any size.
    assert contrast(getattr(palette, ink), getattr(palette, ground)) >= 4.5


@pytest.mark.parametrize("palette", [LIGHT, DARK], ids=lambda p: p.name)
@pytest.mark.parametrize(
    ("ink", "ground"),
    [
        ("on_accent", "accent"),
        ("text", "accent_soft"),
        ("text", "warning_soft"),
        ("text", "danger_soft"),
        ("warning_text", "warning_soft"),
        ("danger_text", "danger_soft"),
    ],
)
def test_words_can_be_read_on_coloured_cards(palette: Palette, ink: str, ground: str) -> None:
    assert contrast(getattr(palette, ink), getattr(palette, ground)) >= 4.5


@pytest.mark.parametrize("palette", [LIGHT, DARK], ids=lambda p: p.name)
@pytest.mark.parametrize("sign", ["warning", "danger", "accent", "strong_line"])
def test_signs_and_lines_stand_out_from_the_surface(palette: Palette, sign: str) -> None:
    # WCAG 2.1, success criterion 1.4.11 (AA): 3 for parts of controls and graphics.
    assert contrast(getattr(palette, sign), palette.surface) >= 3.0


def test_sizes_grow_with_the_text_and_stop_where_told() -> None:
    assert Theme(LIGHT).px(16) == 16
    assert Theme(LIGHT, 2.0).px(16) == 32
    assert Theme(LIGHT, 2.0).px(16, stops_at=1.5) == 24
    assert not Theme(LIGHT).large and Theme(LIGHT, 2.0).large


@pytest.mark.parametrize("palette", [LIGHT, DARK], ids=lambda p: p.name)
@pytest.mark.parametrize("scale", [1.0, 1.5])
@pytest.mark.parametrize("around", ["bar", "strip", "card", "page"])
def test_menus_are_of_the_palette_and_grow_with_the_text(
    qtbot: QtBot, palette: Palette, scale: float, around: str
) -> None:
    window, frame = QWidget(), QFrame()
    qtbot.addWidget(window)
    QVBoxLayout(window).addWidget(frame)
    frame.setObjectName(around)
    menu = QMenu(frame)
    menu.addAction("Poured")
    window.setStyleSheet(style_sheet(Theme(palette, scale)))
    menu.ensurePolished()
    assert menu.fontInfo().pixelSize() == round(16 * scale)
    picture = menu.grab().toImage()
    assert picture.pixelColor(4, 4).name().upper() == palette.surface


# Qt's offscreen platform says so of every popup; a real one does not.
@pytest.mark.qt_log_ignore("does not support (raise|grabbing)")
@pytest.mark.parametrize("look", ["light", "dark"])
def test_an_opened_list_is_of_the_palette_to_its_edge(window: MainWindow, qtbot: QtBot, look: str) -> None:
    window.change_settings(replace(window.workshop.settings, theme=look))
    window.show_page("settings")
    box = window.pages.currentWidget().findChild(QComboBox)
    box.showPopup()
    popup = box.view().window()
    edge = popup.grab().toImage().pixelColor(popup.width() // 2, 2)
    box.hidePopup()
    surface = QColor((DARK if look == "dark" else LIGHT).surface)
    # The style shades it a little.
    assert abs(edge.lightness() - surface.lightness()) < 10


def test_the_style_sheet_is_of_its_palette_and_size(qtbot: QtBot) -> None:
    sheet = style_sheet(Theme(DARK, 2.0))
    assert DARK.background in sheet and LIGHT.background not in sheet
    assert sheet != style_sheet(Theme(DARK))
    assert Theme(DARK, 2.0).font(16).pixelSize() == 32

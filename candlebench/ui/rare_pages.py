"""The pages that are made when they are wanted; importing them here keeps the start of the program short."""

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from candlebench.ui.about_page import AboutPage
from candlebench.ui.details_page import DetailsPage
from candlebench.ui.safety_page import SafetyPage
from candlebench.ui.settings_page import SettingsPage
from candlebench.ui.thermometer_page import ThermometerPage

if TYPE_CHECKING:
    from candlebench.ui.main_window import MainWindow


def make_page(name: str, window: "MainWindow") -> QWidget | None:
    """Make a page by its name; None when there is nothing for it to show."""
    match name:
        case "safety":
            return SafetyPage(window.go_back)
        case "about":
            return AboutPage(window.log_file, window.workshop.folder, window.go_back)
        case "settings":
            return _settings_page(window)
        case "thermometer":
            return _thermometer_page(window)
        case _:
            return _details_page(window)


def _settings_page(window: "MainWindow") -> QWidget:
    page = SettingsPage(window.workshop.settings, window.workshop.waxes, window.go_back)
    page.changed.connect(window.change_settings)
    page.test_sound.connect(window.sound.test)
    window.sound.tested.connect(page.say_tested)
    return page


def _thermometer_page(window: "MainWindow") -> QWidget:
    workshop = window.workshop
    address = workshop.settings.source
    if workshop.runner is not None and workshop.runner.session.melt.setup.source.startswith("serial:"):
        address = workshop.runner.session.melt.setup.source
    page = ThermometerPage(address, lambda: workshop.runner and workshop.runner.source, window.go_back)
    page.chosen.connect(window.use_port)
    page.way_chosen.connect(window.choose_way)
    page.watch(True)
    return page


def _details_page(window: "MainWindow") -> QWidget | None:
    runner = window.workshop.runner
    if runner is None:
        return None
    page = DetailsPage(
        runner.session.melt.setup, window.workshop.waxes, window.workshop.shown, window.go_back
    )
    page.changed.connect(window.change_setup)
    return page

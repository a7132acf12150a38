"""The pages that are made when they are wanted; importing them here keeps the start of the program short."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QPushButton, QWidget

from candlebench.addresses import is_live, open_source
from candlebench.core.state import Level
from candlebench.teacher import origin_of
from candlebench.ui.about_page import AboutPage
from candlebench.ui.details_page import DetailsPage
from candlebench.ui.safety_page import SafetyPage
from candlebench.ui.second_probe import add_second
from candlebench.ui.settings_page import SettingsPage
from candlebench.ui.thermometer_listening import let_go
from candlebench.ui.thermometer_page import ThermometerPage
from candlebench.words import tr

if TYPE_CHECKING:
    from candlebench.ui.main_window import MainWindow


def make_page(name: str, window: "MainWindow") -> QWidget | None:
    """Make a page by its name; None when there is nothing for it to show.

    Raises
    ------
    KeyError
        No page has this name.
    """
    return _MAKERS[name](window)


def _safety_page(window: "MainWindow") -> QWidget:
    return SafetyPage(window.go_back)


def _about_page(window: "MainWindow") -> QWidget:
    return AboutPage(window.log_file, window.workshop.folder, window.go_back)


def _settings_page(window: "MainWindow") -> QWidget:
    page = SettingsPage(window.workshop.settings, window.workshop.waxes, window.go_back)
    page.changed.connect(window.change_settings)
    page.test_sound.connect(window.sound.test)
    window.sound.tested.connect(page.say_tested)
    return page


def _thermometer_page(window: "MainWindow") -> QWidget:
    workshop = window.workshop
    address = workshop.settings.source
    if workshop.runner is not None:
        running = workshop.runner.session.melt.setup.source
        if is_live(running) and not running.startswith("typed:"):
            address = running
    page = ThermometerPage(
        address,
        lambda: None if workshop.runner is None else workshop.runner.source,
        window.go_back,
        let_go=lambda: let_go(window),
        shown=workshop.shown,
    )
    page.chosen.connect(window.doorway.use_port)
    page.way_chosen.connect(window.doorway.choose_way)
    check = QPushButton(tr("Check the probe…"))
    check.clicked.connect(lambda: window.show_page("check"))
    page.add_tool(check)
    add_second(page, window)
    page.watch(True)
    return page


def _details_page(window: "MainWindow") -> QWidget | None:
    runner = window.workshop.runner
    if runner is None:
        window.messages.say(tr("There is no melt yet: begin one, or practise."))
        return None
    workshop, setup = window.workshop, runner.session.melt.setup
    names = workshop.known_names(origin_of(setup.source))
    page = DetailsPage(setup, workshop.waxes, workshop.shown, window.go_back, names)
    page.changed.connect(window.hob.change_setup)
    return page


def _practice_page(window: "MainWindow") -> QWidget:
    from candlebench.ui.debriefing import last_attempt
    from candlebench.ui.practice_page import PracticePage

    drive = window.practice
    page = PracticePage(
        drive.scenarios(),
        drive.wish,
        drive.lengths_s,
        lambda scenario: last_attempt(window, scenario),
        window.go_back,
    )
    page.begun.connect(window.doorway.practise_as)
    return page


def _debrief_page(window: "MainWindow") -> QWidget | None:
    from candlebench.ui.debriefing import debrief_page

    return debrief_page(window)


def _learned_page(window: "MainWindow") -> QWidget:
    from candlebench.ui.learned_page import LearnedPage

    workshop = window.workshop
    page = LearnedPage(workshop, workshop.shown, window.theme, window.go_back, workshop.probes)
    page.check_wanted.connect(lambda name: _check(window, name))
    return page


def _check(window: "MainWindow", name: str) -> None:
    """Show the page on which a probe is checked, with that probe named."""
    window.show_page("check")
    page = window.pages.currentWidget()
    name_probe = getattr(page, "name_probe", None)
    if name_probe is not None:
        name_probe(name)


def _check_page(window: "MainWindow") -> QWidget:
    from candlebench.ui.check_page import CheckPage
    from candlebench.ui.check_shop import CheckShop

    shop = CheckShop(window.workshop, window.change_settings)
    page = CheckPage(shop, lambda address, clock: open_source(address, clock=clock), window.go_back)
    earlier = window.pages.findChild(CheckPage)
    if earlier is not None:
        page.go_on_from(earlier)
    window.bridge.state_changed.connect(page.feed.follow)
    page.thermometer_wanted.connect(lambda: window.show_page("thermometer"))
    page.took.connect(lambda: window.sound.play(Level.CALM))
    return page


def _labels_page(window: "MainWindow") -> QWidget:
    from candlebench.ui.papering import labels_page

    return labels_page(window, window.planned)


def _plan_page(window: "MainWindow") -> QWidget:
    from candlebench.ui.planning import plan_page

    return plan_page(window)


def _cupboard_page(window: "MainWindow") -> QWidget:
    from candlebench.ui.planning import cupboard_page

    return cupboard_page(window)


_MAKERS: dict[str, Callable[["MainWindow"], QWidget | None]] = {
    "safety": _safety_page,
    "about": _about_page,
    "settings": _settings_page,
    "thermometer": _thermometer_page,
    "details": _details_page,
    "practice": _practice_page,
    "debrief": _debrief_page,
    "learned": _learned_page,
    "plan": _plan_page,
    "check": _check_page,
    "labels": _labels_page,
    "cupboard": _cupboard_page,
}

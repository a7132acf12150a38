"""Pages as they stand with two probes, without a board: for pictures only."""

from dataclasses import replace
from pathlib import Path

from _practice_states import BEGAN_WALL_S, SCENARIO, practice_events

from candlebench.core.debrief.judge import debrief_of
from candlebench.core.events import MeltBegan
from candlebench.core.place import Place
from candlebench.core.setup import Beside
from candlebench.core.units import Shown
from candlebench.practice.recipe import setup_of
from candlebench.practice.scenario_file import load_scenario
from candlebench.thermometers.recent_lines import RecentLine
from candlebench.thermometers.serial_port import PortInfo
from candlebench.ui.debrief_page import DebriefPage
from candlebench.ui.main_window import MainWindow
from candlebench.ui.thermometer_page import ThermometerPage
from candlebench.ui.thermometer_parts import Second, SecondWish

PORTS = [
    PortInfo("/dev/ttyUSB0", "USB serial", "", "1042", 1, 2),
    PortInfo("/dev/ttyACM0", "A second board", "", "7", 3, 4),
]


class TwoProbes:
    """What a page asks of the source of a board that prints two probes."""

    label = PORTS[0].path
    channels = ("T1", "T2")

    def recent_lines(self) -> list[RecentLine]:
        """Six lines, as the listener writes them."""
        return [
            RecentLine(
                f"T1:{70.1 + 0.1 * i:.1f};T2:{88.0 + 0.2 * i:.1f}",
                f"T1: {70.1 + 0.1 * i:.2f} °C, taken as °C",
            )
            for i in range(6)
        ]


def two_probe_page(window: MainWindow, own: bool) -> ThermometerPage:
    """Return the page with a second probe in the bath: one more of the board, or with a board of its own."""
    source = TwoProbes()
    path = PORTS[0].path
    page = ThermometerPage(
        f"serial:{path}?baud=9600&channel=T1",
        lambda: source,  # type: ignore[arg-type, return-value]
        window.go_back,
        lambda internal: PORTS,
        lambda: list[Path](),
        shown=Shown(),
    )
    wish = SecondWish(Place.BATH, "T2", "", "thin one")
    if own:
        wish = SecondWish(Place.BATH, "", f"serial:{PORTS[1].path}?baud=115200", "thin one")
    page.add_second(Second(lambda: wish, lambda: "Bath 89.0 °C, rising 2.1 °C/min", names=("thin one",)))
    return page


def two_probe_debrief(window: MainWindow) -> DebriefPage:
    """Return the debrief of a practice melt with a second probe in the bath."""
    scenario, beside = load_scenario(SCENARIO), Beside(Place.BATH)
    setup = replace(setup_of(scenario), beside=beside)
    events = [MeltBegan(0.0, BEGAN_WALL_S, setup), *practice_events(scenario, beside)]
    debrief = debrief_of(events)
    return DebriefPage(debrief, (), Shown(), window.go_back, lambda: None)

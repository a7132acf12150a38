"""A second probe in the window: chosen on the thermometer page, seen on the melt page, over real wires."""

from collections.abc import Iterator
from dataclasses import replace

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot
from wires import Printing, PtyDevice, modbus_two, printing_board

from candlebench.core.place import Place
from candlebench.core.state import BesideState, ProbeStatus
from candlebench.thermometers.serial_port import PortInfo
from candlebench.ui.main_window import MainWindow
from candlebench.ui.running_melt import status_of_probes
from candlebench.ui.second_probe import with_second
from candlebench.ui.thermometer_page import ThermometerPage
from candlebench.ui.thermometer_parts import SecondWish

from .pressing import press

PATIENT_MS = 8000


@pytest.fixture
def labelled(window: MainWindow) -> Iterator[PtyDevice]:
    """A board that prints two labelled probes: the bath stands at 88.4, the melt climbs from 60."""
    with printing_board("bath: 88.40 C, melt: {n:.2f} C\r\n") as device:
        yield device
        window.workshop.stop()


@pytest.fixture
def two_boards(window: MainWindow) -> Iterator[tuple[PtyDevice, PtyDevice]]:
    """Two boards that print one number each: the first climbs from 60, the second stands at 91.5."""
    devices = (PtyDevice(), PtyDevice())
    printings = (Printing(devices[0].send), Printing(devices[1].send, 0.1, "91.50\r\n"))
    yield devices
    window.workshop.stop()
    for printing in printings:
        printing.pause()
    for device in devices:
        device.unplug()


def thermometer_page(window: MainWindow, *devices: PtyDevice) -> ThermometerPage:
    """The page as the window opens it; pseudo-terminals are not listed, so the test says that these are."""
    window.show_page("thermometer")
    page = window.pages.currentWidget()
    assert isinstance(page, ThermometerPage) and page.second is not None
    plugged = replace(page.plugged, ports=lambda internal: [PortInfo(d.path, "A board") for d in devices])
    for form in (page.form, page.second.form):
        form._plugged = plugged
        form.refresh_ports()
    return page


def beside(window: MainWindow) -> BesideState | None:
    runner = window.workshop.runner
    return None if runner is None else runner.session.melt.state.beside


def reads(window: MainWindow, bath_c: float) -> bool:
    """Whether both probes are read right: the melt from 60 on, the second one at its temperature."""
    state = window.melt_page.state
    if state is None or state.temp_c is None or state.beside is None or state.beside.temp_c is None:
        return False
    return 60.0 <= state.temp_c < 65.0 and state.beside.temp_c == bath_c and state.beside.fresh


def reading_both(
    window: MainWindow, two_boards: tuple[PtyDevice, PtyDevice], qtbot: QtBot
) -> ThermometerPage:
    """The page, with a melt that reads both boards, each for one probe."""
    first, second = two_boards
    window.doorway.use_port(f"serial:{first.path}?baud=9600")
    page = thermometer_page(window, first, second)
    assert page.second is not None
    page.second._where.choose("bath")
    page.second.form._place.choose(second.path)
    press(page, "Read it too")
    qtbot.waitUntil(lambda: reads(window, 91.5), timeout=PATIENT_MS)
    return page


def test_a_newcomer_whose_board_prints_two_labelled_probes_gets_both_right(
    window: MainWindow, labelled: PtyDevice, qtbot: QtBot
) -> None:
    page = thermometer_page(window, labelled)
    press(page, "Listen")
    qtbot.waitUntil(lambda: page.form._found.text().startswith("It sends 2 probes"), timeout=PATIENT_MS)
    press(page, "Read from it")
    qtbot.waitUntil(lambda: reads(window, 88.4), timeout=PATIENT_MS)
    page.refresh()
    assert page.second is not None and page.second._says.text().startswith("Bath 88.4 °C")
    assert window.melt_page.now.beside.text.startswith("Bath 88.4 °C")
    settings = window.workshop.settings
    assert settings.source == f"serial:{labelled.path}?baud=9600&channel=melt&bath=bath"
    assert (settings.beside_place, settings.beside_source) == ("bath", "")


def test_dropping_the_second_probe_of_a_board_leaves_its_port_open_and_asks_nothing(
    window: MainWindow, labelled: PtyDevice, qtbot: QtBot
) -> None:
    window.doorway.use_port(f"serial:{labelled.path}?baud=9600&channel=melt&bath=bath")
    qtbot.waitUntil(lambda: reads(window, 88.4), timeout=PATIENT_MS)
    runner = window.workshop.runner
    page = thermometer_page(window, labelled)
    assert page.second is not None and page.second.place is Place.BATH
    page.second._where.choose("")
    qtbot.waitUntil(lambda: beside(window) is None, timeout=PATIENT_MS)
    assert window.workshop.runner is runner, "opening a port anew resets many boards"
    assert window.workshop.settings.source == f"serial:{labelled.path}?baud=9600&channel=melt"
    assert window.workshop.settings.beside_place == "" and QApplication.activeModalWidget() is None
    qtbot.waitUntil(lambda: not window.melt_page.now.beside.isVisible(), timeout=PATIENT_MS)


def test_the_probes_of_a_board_are_changed_over_without_opening_its_port_anew(
    window: MainWindow, labelled: PtyDevice, qtbot: QtBot
) -> None:
    window.doorway.use_port(f"serial:{labelled.path}?baud=9600&channel=melt")
    page = thermometer_page(window, labelled)
    runner = window.workshop.runner
    qtbot.waitUntil(lambda: len(page.form.channels) == 2, timeout=PATIENT_MS)
    page.refresh()
    assert page.second is not None
    page.second._where.choose("bath")
    page.second._name.setEditText("thin one")
    press(page, "Read it too")
    qtbot.waitUntil(lambda: reads(window, 88.4), timeout=PATIENT_MS)
    assert window.workshop.runner is runner
    assert runner is not None and runner.session.melt.setup.beside is not None
    qtbot.waitUntil(lambda: runner.session.melt.setup.beside.probe == "thin one")  # type: ignore[union-attr]


def test_a_second_register_of_a_modbus_device_is_read_beside_the_first(
    window: MainWindow, qtbot: QtBot
) -> None:
    device = PtyDevice(modbus_two)
    try:
        window.doorway.use_port(f"modbus:{device.path}?scale=0.1&every=0.1&register=0")
        page = thermometer_page(window, device)
        assert page.second is not None
        page.second._where.choose("bath")
        page.second._asked.fields["modbus"].setText("2")
        press(page, "Read it too")

        def both() -> bool:
            state = window.melt_page.state
            beside = None if state is None else state.beside
            return beside is not None and (state.temp_c, beside.temp_c) == (70.5, 91.5)  # type: ignore[union-attr]

        qtbot.waitUntil(both, timeout=PATIENT_MS)
        page.refresh()
        assert page.second._says.text().startswith("Bath 91.5 °C") and not page.second._use.isEnabled()
        source = window.workshop.settings.source
        assert source.startswith("modbus:") and source.endswith("&bath=2")
        again = thermometer_page(window, device)
        assert again.second is not None and again.second.wish == SecondWish(Place.BATH, "2")
        again.second._where.choose("")
        qtbot.waitUntil(lambda: beside(window) is None, timeout=PATIENT_MS)
        assert "bath=" not in window.workshop.settings.source
    finally:
        window.workshop.stop()
        device.unplug()


def test_a_thermometer_of_its_own_is_read_beside_the_first(
    window: MainWindow, two_boards: tuple[PtyDevice, PtyDevice], qtbot: QtBot
) -> None:
    first, second = two_boards
    window.doorway.use_port(f"serial:{first.path}?baud=9600")
    page = thermometer_page(window, first, second)
    assert page.second is not None
    page.second._where.choose("bath")
    page.second.form._place.choose(first.path)
    press(page, "Read it too")
    assert "read as the probe in the melt already" in page.second.form._problem.text()
    page.second.form._place.choose(second.path)
    press(page, "Read it too")
    qtbot.waitUntil(lambda: reads(window, 91.5), timeout=PATIENT_MS)
    page.refresh()
    assert page.second._says.text().startswith("Bath 91.5 °C")
    assert window.workshop.settings.beside_source == f"serial:{second.path}?baud=9600"
    page.second._where.choose("")
    qtbot.waitUntil(lambda: beside(window) is None, timeout=PATIENT_MS)
    assert window.workshop.runner is not None and window.workshop.runner.beside is None


def test_listening_to_the_second_port_lets_go_of_it_and_takes_it_again(
    window: MainWindow, two_boards: tuple[PtyDevice, PtyDevice], qtbot: QtBot
) -> None:
    page = reading_both(window, two_boards, qtbot)
    assert page.second is not None
    runner = window.workshop.runner
    said: list[str] = []
    page.second.form.listening.tries.connect(lambda _: said.append(page.second.form._found.text()))  # type: ignore[union-attr]
    page.second.form._listen.click()
    qtbot.waitUntil(lambda: page.second.form._found.text().startswith("It says 91.5"), timeout=PATIENT_MS)  # type: ignore[union-attr]
    assert said and "The second probe is not read meanwhile." in said[0]
    assert runner is not None and runner.beside is not None and window.workshop.runner is runner
    heard = beside(window)
    assert heard is not None and len(heard.times_s) > 0, "what was read before is kept"
    # Its curve goes on: more is read than before it was let go of.
    qtbot.waitUntil(
        lambda: (state := beside(window)) is not None and len(state.times_s) > len(heard.times_s),
        timeout=PATIENT_MS,
    )
    qtbot.waitUntil(lambda: reads(window, 91.5), timeout=PATIENT_MS)


def test_without_a_melt_the_choice_waits_for_the_next_one(
    window: MainWindow, two_boards: tuple[PtyDevice, PtyDevice], qtbot: QtBot
) -> None:
    first, second = two_boards
    page = thermometer_page(window, first, second)
    assert page.second is not None
    page.second._where.choose("bath")
    page.second.form._place.choose(second.path)
    press(page, "Read it too")
    assert window.workshop.runner is None
    page.form._place.choose(first.path)
    press(page, "Read from it")
    qtbot.waitUntil(lambda: reads(window, 91.5), timeout=PATIENT_MS)


def test_a_second_probe_that_is_pulled_out_is_said_in_the_bar(
    window: MainWindow, two_boards: tuple[PtyDevice, PtyDevice], qtbot: QtBot
) -> None:
    first, second = two_boards
    window.change_settings(
        replace(
            window.workshop.settings, beside_place="bath", beside_source=f"serial:{second.path}?baud=9600"
        )
    )
    window.doorway.use_port(f"serial:{first.path}?baud=9600")
    qtbot.waitUntil(lambda: reads(window, 91.5), timeout=PATIENT_MS)
    second.unplug()
    qtbot.waitUntil(
        lambda: window.bar.probe.accessibleName().startswith("Thermometer: Bath: "), timeout=PATIENT_MS
    )
    qtbot.waitUntil(
        lambda: window.melt_page.now.beside.text.startswith("Bath: no answer for"), timeout=PATIENT_MS
    )
    state = window.melt_page.state
    assert state is not None and state.fresh, "the melt is read on"


@pytest.mark.parametrize(
    ("address", "wish", "after"),
    [
        (
            "serial:/dev/ttyUSB0?baud=9600",
            SecondWish(Place.BATH, "T2"),
            "serial:/dev/ttyUSB0?baud=9600&bath=T2",
        ),
        ("serial:/dev/ttyUSB0?bath=T2", SecondWish(Place.ROOM, "T3"), "serial:/dev/ttyUSB0?room=T3"),
        ("serial:/dev/ttyUSB0?bath=T2", SecondWish(Place.BATH, "", "file:/x"), "serial:/dev/ttyUSB0"),
        ("serial:/dev/ttyUSB0?channel=T1&room=T2", None, "serial:/dev/ttyUSB0?channel=T1"),
        ("typed:", SecondWish(Place.BATH, "T2"), "typed:"),
        ("", None, ""),
    ],
)
def test_the_first_address_names_the_second_probe_only_while_it_is_one_of_its_own(
    address: str, wish: SecondWish | None, after: str
) -> None:
    assert with_second(address, wish) == after


def test_what_is_wrong_with_the_melts_own_probe_comes_first(window: MainWindow, qtbot: QtBot) -> None:
    window.first_page.buttons["typed"].click()
    qtbot.waitUntil(lambda: window.melt_page.state is not None)
    state = window.melt_page.state
    assert state is not None
    bath = BesideState(
        Place.BATH, None, None, False, None, ProbeStatus(False, "It is out."), state.times_s, state.temps_c, 0
    )
    well = replace(state, probe=ProbeStatus(True, "Well"), beside=bath)
    assert status_of_probes(well) == ProbeStatus(False, "Bath: It is out.")
    assert status_of_probes(replace(well, beside=None)) == ProbeStatus(True, "Well")
    ill = replace(well, probe=ProbeStatus(False, "No answer"))
    assert status_of_probes(ill) == ProbeStatus(False, "No answer")

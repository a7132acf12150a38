"""Choosing a second probe on the thermometer page."""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace

import pytest
from PySide6.QtWidgets import QPushButton, QScrollArea
from pytestqt.qtbot import QtBot
from wires import PtyDevice, printing_board

from candlebench.core.place import Place
from candlebench.core.units import Shown
from candlebench.thermometers.line_settings import LineSettings
from candlebench.thermometers.recent_lines import RecentLine
from candlebench.thermometers.serial_port import PortInfo
from candlebench.ui.main_window import SMALLEST
from candlebench.ui.theme import LIGHT, Theme, style_sheet
from candlebench.ui.thermometer_channels import Guess, by_name, channel_temps
from candlebench.ui.thermometer_page import ThermometerPage
from candlebench.ui.thermometer_parts import Second, SecondWish

from .pressing import press

FIRST, OTHER = PortInfo("/dev/ttyUSB0"), PortInfo("/dev/ttyACM0")


@dataclass
class Board:
    """What a page asks of a source that is running: a board's last lines."""

    lines: list[str] = field(default_factory=lambda: ["T1:70.5;T2:88.4"])
    channels: tuple[str, ...] = ("T1", "T2")
    label: str = FIRST.path

    def recent_lines(self) -> list[RecentLine]:
        return [RecentLine(line, "") for line in self.lines]


@dataclass
class InUse:
    """What is so of the second probe, as the window would say."""

    wish: SecondWish | None = None
    says: str = "Bath 88.4 °C, steady"

    def second(self) -> Second:
        return Second(lambda: self.wish, lambda: self.says, lambda: None, ("thin one",))


def make(
    qtbot: QtBot,
    board: Board | None = None,
    in_use: InUse | None = None,
    address: str = "serial:/dev/ttyUSB0?baud=9600",
    ports: list[PortInfo] | None = None,
) -> tuple[ThermometerPage, list[object]]:
    found = [FIRST, OTHER] if ports is None else ports
    page = ThermometerPage(address, lambda: board, lambda: None, lambda internal: found, list)  # type: ignore[arg-type,return-value]
    page.add_second((in_use or InUse()).second())
    qtbot.addWidget(page)
    page.resize(1100, 800)
    page.show()
    sent: list[object] = []
    page.chosen.connect(sent.append)
    page.second_chosen.connect(sent.append)
    return page, sent


# --- which probe is which -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("channels", "guess"),
    [
        (("Melt", "Bath"), Guess("Melt", "Bath", Place.BATH)),
        (("temp_wachs", "temp_wasser"), Guess("temp_wachs", "temp_wasser", Place.BATH)),
        (("probe 1", "water"), Guess("probe 1", "water", Place.BATH)),
        (("wax", "room"), Guess("wax", "room", Place.ROOM)),
        (("cire", "bain", "ambiante"), Guess("cire", "bain", Place.BATH)),
        (("T1", "T2"), Guess()),
        (("wax left", "wax right", "bath"), Guess("", "bath", Place.BATH)),
        (("bath 1", "bath 2"), Guess()),
        (("wax bath", "T2"), Guess()),
        ((), Guess()),
    ],
)
def test_names_tell_which_probe_hangs_where_or_nothing(channels: tuple[str, ...], guess: Guess) -> None:
    assert by_name(channels) == guess


@pytest.mark.parametrize(
    ("lines", "channels", "settings", "temps_c"),
    [
        (["T1:70.5;T2:88.4"], ("T1", "T2"), LineSettings(), {"T1": 70.5, "T2": 88.4}),
        (["melt 70.5 C", "bath 88.4 C", "melt 70.6 C"], ("melt", "bath"), LineSettings(),
         {"melt": 70.6, "bath": 88.4}),
        # 158.9 °F - 32 = 126.9; / 1.8 = 70.5.
        (["T1:158.9;T2:191.1"], ("T1", "T2"), LineSettings(unit="F"), {"T1": 70.5, "T2": 88.3889}),
        (["70.5,88.4"], ("column 1", "column 2"), LineSettings(), {"column 1": 70.5, "column 2": 88.4}),
        (["no number here"], ("T1",), LineSettings(), {}),
    ],
)  # fmt: skip
def test_what_each_probe_says_is_read_from_the_last_lines(
    lines: list[str], channels: tuple[str, ...], settings: LineSettings, temps_c: dict[str, float]
) -> None:
    found = channel_temps([RecentLine(line, "") for line in lines], "serial", settings, channels)
    assert found == pytest.approx(temps_c, abs=1e-3)


# --- one more probe of the same board ---------------------------------------------------------------------


def test_each_of_two_probes_is_offered_with_what_it_says_now(qtbot: QtBot) -> None:
    page, _ = make(qtbot, Board())
    page.refresh()
    field = page.form.lines.channel
    assert [field.itemText(i) for i in range(field.count())] == [
        "choose one", "T1, 70.5 °C now", "T2, 88.4 °C now",
    ]  # fmt: skip
    assert field.isVisible()


def test_a_board_with_one_probe_asks_for_none(qtbot: QtBot) -> None:
    page, _ = make(qtbot, Board(["70.5"], ("",)))
    page.refresh()
    assert not page.form.lines.channel.isVisible()
    assert page.second is not None
    page.second._where.choose("bath")
    assert page.second._which.count() == 1 and page.second.form.isVisible()


def test_the_other_probe_of_the_board_is_the_one_in_the_bath(qtbot: QtBot) -> None:
    page, sent = make(qtbot, Board())
    page.form.lines.channel.choose("T1")
    page.refresh()
    assert page.second is not None
    page.second._where.choose("bath")
    assert page.second._which.currentText() == "T2, 88.4 °C now"
    page.second._name.setEditText("thin one")
    press(page, "Read it too")
    assert sent == [
        "serial:/dev/ttyUSB0?baud=9600&channel=T1&bath=T2",
        SecondWish(Place.BATH, "T2", "", "thin one"),
    ]


def test_reading_from_the_board_takes_both_probes_at_once(qtbot: QtBot) -> None:
    page, sent = make(qtbot, Board())
    page.form.lines.channel.choose("T2")
    page.refresh()
    assert page.second is not None
    page.second._where.choose("room")
    press(page, "Read from it")
    assert sent == ["serial:/dev/ttyUSB0?baud=9600&channel=T2&room=T1", SecondWish(Place.ROOM, "T1")]


def test_a_probe_that_is_plainly_in_the_room_is_offered_first(qtbot: QtBot) -> None:
    page, _ = make(qtbot, Board(["probe: 70.5, ambient: 21.4"], ("probe", "ambient")))
    page.refresh()
    assert page.second is not None and page.form.lines.channel.value() == ""
    page.second._where.choose("room")
    assert page.second._which.currentText() == "ambient, 21.4 °C now"


def test_dropping_it_asks_nothing(qtbot: QtBot) -> None:
    in_use = InUse(SecondWish(Place.BATH, "T2"))
    page, sent = make(qtbot, Board(), in_use, "serial:/dev/ttyUSB0?baud=9600&channel=T1&bath=T2")
    assert page.second is not None and page.second._says.text() == "Bath 88.4 °C, steady"
    page.second._where.choose("")
    assert sent == [None]
    in_use.wish = None
    page.refresh()
    assert not page.second._says.isVisible() and not page.second._which.isVisible()
    press(page, "Read from it")
    assert sent[1:] == ["serial:/dev/ttyUSB0?baud=9600&channel=T1"]


def test_what_is_in_use_is_shown_and_not_offered_again(qtbot: QtBot) -> None:
    in_use = InUse(SecondWish(Place.BATH, "T2", "", "thin one"))
    page, _ = make(qtbot, Board(), in_use, "serial:/dev/ttyUSB0?baud=9600&channel=T1&bath=T2")
    assert page.second is not None
    assert (page.second.place, page.second.channel) == (Place.BATH, "T2")
    assert page.second._name.currentText() == "thin one" and not page.second._use.isEnabled()
    page.second._name.setEditText("thick one")
    assert page.second._use.isEnabled()


# --- one more register, one more question ------------------------------------------------------------------

MODBUS = "modbus:/dev/ttyUSB0?baud=9600&unit=1&function=4&register=4&type=int16"
SCPI = "scpi:/dev/ttyUSB0?baud=9600&query=MEAS%3ATEMP%3F"


def test_another_register_of_a_modbus_device_is_the_second_probe(qtbot: QtBot) -> None:
    page, sent = make(qtbot, Board(channels=()), None, MODBUS)
    assert page.second is not None
    page.second._where.choose("room")
    assert [page.second._which.itemText(i) for i in range(page.second._which.count())] == [
        "another register of the same device", "another thermometer…",
    ]  # fmt: skip
    field = page.second._asked.fields["modbus"]
    assert field.isVisible() and not page.second._asked.fields["scpi"].isVisible()
    field.setText("6")
    press(page, "Read it too")
    assert sent == [f"{MODBUS}&room=6", SecondWish(Place.ROOM, "6")]


def test_another_question_to_a_bench_meter_is_the_second_probe(qtbot: QtBot) -> None:
    page, sent = make(qtbot, Board(channels=()), None, SCPI)
    assert page.second is not None
    page.second._where.choose("bath")
    page.second._asked.fields["scpi"].setText("MEAS:TEMP? (@102)")
    press(page, "Read it too")
    assert sent == [
        SCPI + "&bath=MEAS%3ATEMP%3F%20%28%40102%29", SecondWish(Place.BATH, "MEAS:TEMP? (@102)"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("address", "text", "said"),
    [
        (MODBUS, "", "Register of the second probe: write a whole number from 0 to 65535."),
        (MODBUS, "70000", "Register of the second probe: write a whole number from 0 to 65535."),
        (MODBUS, "4", "Register 4 holds the melt's temperature: write the second probe's own one."),
        # A float32 in register 4 fills 4 and 5; the last that one may begin in is 65534.
        (MODBUS.replace("int16", "float32"), "5", "Register 5 holds the melt's temperature"),
        (MODBUS.replace("int16", "float32"), "65535", "write a whole number from 0 to 65534."),
        (SCPI, "TEMP", "Question of the second probe: write one with a question mark in it."),
        (SCPI, "MEAS:TEMP?", "The second probe's question is the first one's"),
    ],
)
def test_what_cannot_be_asked_for_is_said_and_nothing_is_read(
    qtbot: QtBot, address: str, text: str, said: str
) -> None:
    page, sent = make(qtbot, Board(channels=()), None, address)
    assert page.second is not None
    page.second._where.choose("bath")
    page.second._asked.fields["scpi" if address == SCPI else "modbus"].setText(text)
    press(page, "Read it too")
    assert said in page.second._problem.text() and page.second._problem.isVisible()
    assert sent == []
    page.second._where.choose("")
    assert not page.second._problem.isVisible()


def test_the_melt_is_not_read_with_a_register_for_both(qtbot: QtBot) -> None:
    page, sent = make(qtbot, Board(channels=()), None, MODBUS)
    assert page.second is not None
    page.second._where.choose("bath")
    page.second._asked.fields["modbus"].setText("4")
    press(page, "Read from it")
    assert sent == [] and page.form._problem.text().startswith("Register 4 holds the melt's temperature")
    # One that is still to be written keeps nobody from reading the melt.
    page.second._asked.fields["modbus"].setText("")
    press(page, "Read from it")
    assert sent == [MODBUS]


def test_a_register_in_use_is_shown_and_not_taken_for_a_name(qtbot: QtBot) -> None:
    in_use = InUse(SecondWish(Place.BATH, "6"))
    page, sent = make(qtbot, Board(channels=()), in_use, f"{MODBUS}&bath=6")
    assert page.second is not None and page.second._asked.fields["modbus"].text() == "6"
    assert page.second.wish == in_use.wish and not page.second._use.isEnabled()
    page.form.kinds.kind.choose("serial")
    assert page.second._which.count() == 1 and not page.second._asked.fields["modbus"].isVisible()
    page.form.kinds.kind.choose("modbus")
    page.second._which.choose("asked")
    assert page.second._asked.fields["modbus"].isVisible()
    page.second._asked.fields["modbus"].setText("8")
    press(page, "Read it too")
    assert sent == [f"{MODBUS}&bath=8", SecondWish(Place.BATH, "8")]


# --- a thermometer of its own -----------------------------------------------------------------------------


def test_another_thermometer_is_read_too(qtbot: QtBot) -> None:
    page, sent = make(qtbot, Board(["70.5"], ("",)))
    assert page.second is not None
    page.second._where.choose("bath")
    page.second.form._place.choose(OTHER.path)
    page.second.form.kinds.baud.choose("115200")
    press(page, "Read it too")
    assert sent == [SecondWish(Place.BATH, "", "serial:/dev/ttyACM0?baud=115200", "")]


def test_one_port_is_not_read_twice(qtbot: QtBot) -> None:
    page, sent = make(qtbot, Board(["70.5"], ("",)))
    assert page.second is not None
    page.second._where.choose("bath")
    page.second.form._place.choose(FIRST.path)
    press(page, "Read it too")
    assert sent == []
    said = page.second.form._problem.text()
    assert page.second.form._problem.isVisible() and said.startswith(
        "This one is read as the probe in the melt"
    )
    page.second.form._listen.click()
    assert not page.second.form.listening.is_on


def test_the_port_of_the_second_probe_is_not_taken_for_the_melt(qtbot: QtBot) -> None:
    in_use = InUse(SecondWish(Place.BATH, "", f"serial:{OTHER.path}?baud=9600"))
    page, sent = make(qtbot, Board(["70.5"], ("",)), in_use)
    page.form._place.choose(OTHER.path)
    press(page, "Read from it")
    assert sent == [] and "read as the second probe" in page.form._problem.text()
    assert page.second is not None and page.second.form.isVisible()


def test_only_one_button_is_the_main_one(qtbot: QtBot) -> None:
    in_use = InUse(SecondWish(Place.BATH, "", f"serial:{OTHER.path}?baud=9600"))
    page, _ = make(qtbot, Board(), in_use)
    assert [b.text() for b in page.findChildren(QPushButton) if b.property("role") == "main"] == [
        "Read from it"
    ]


# --- a newcomer -------------------------------------------------------------------------------------------


@pytest.fixture
def labelled() -> Iterator[PtyDevice]:
    """A board that prints two labelled probes ten times a second: the bath stands still, the melt climbs."""
    with printing_board("bath: 88.40 C, melt: {n:.2f} C\r\n") as device:
        yield device


def test_two_labelled_probes_need_two_presses_of_the_main_button(labelled: PtyDevice, qtbot: QtBot) -> None:
    page, sent = make(qtbot, None, None, "", [PortInfo(labelled.path, "A board")])
    press(page, "Listen")
    try:
        qtbot.waitUntil(lambda: page.form._found.text().startswith("It sends 2 probes"), timeout=8000)
    finally:
        page.watch(False)
    assert "melt, 60." in page.form._found.text() and page.form._use.hasFocus()
    assert page.second is not None and page.second._which.currentText() == "bath, 88.4 °C now"
    press(page, "Read from it")
    assert sent == [
        f"serial:{labelled.path}?baud=9600&channel=melt&bath=bath", SecondWish(Place.BATH, "bath"),
    ]  # fmt: skip


def test_listening_begins_at_the_speed_that_is_known(labelled: PtyDevice, qtbot: QtBot) -> None:
    address = f"serial:{labelled.path}?baud=57600"
    page, _ = make(qtbot, None, None, address, [PortInfo(labelled.path)])
    tried: list[int] = []
    page.form.listening.tries.connect(tried.append)
    press(page, "Listen")
    qtbot.waitUntil(lambda: bool(tried))
    page.watch(False)
    assert tried[0] == 57600


@pytest.mark.parametrize("scale", [100, 200])
def test_nothing_is_wider_than_the_page(qtbot: QtBot, scale: int) -> None:
    in_use = InUse(SecondWish(Place.BATH, "", f"serial:{OTHER.path}?baud=9600"))
    page, _ = make(qtbot, Board(), in_use)
    theme = Theme(LIGHT, scale / 100.0)
    page.setFont(theme.font(16))
    page.setStyleSheet(style_sheet(theme))
    page.resize(*SMALLEST)
    (scroll,) = page.findChildren(QScrollArea)
    qtbot.waitUntil(lambda: scroll.widget().minimumSizeHint().width() <= scroll.viewport().width())


def test_temperatures_are_offered_in_her_degrees(qtbot: QtBot) -> None:
    board = Board()
    page = ThermometerPage(
        "serial:/dev/ttyUSB0",
        lambda: board,
        lambda: None,
        lambda internal: [FIRST],
        list,
        None,
        Shown("F"),  # type: ignore[arg-type,return-value]
    )
    qtbot.addWidget(page)
    # 70.5 * 1.8 + 32 = 158.9.
    assert page.form.lines.channel.itemText(1) == "T1, 158.9 °F now"
    assert replace(board).channels == ("T1", "T2")

"""How a thermometer speaks: by itself in lines, or when it is asked, and then where its temperature lies."""

from PySide6.QtCore import Signal
from PySide6.QtGui import QIntValidator
from PySide6.QtWidgets import QLineEdit, QVBoxLayout, QWidget

from candlebench.addresses import Address
from candlebench.thermometers.address_values import USUAL_BAUD
from candlebench.thermometers.finding import COMMON_BAUDS
from candlebench.thermometers.modbus_point import ORDERS
from candlebench.thermometers.wire_address import NMEA_BAUD, USUAL_QUESTION
from candlebench.ui.thermometer_places import FILE, NETWORK, host_of
from candlebench.ui.thermometer_rows import Row, Rows, choice
from candlebench.words import tr

KINDS = (
    ("serial", tr("by itself, in lines (most boards)")),
    ("modbus", tr("when asked: Modbus (industrial)")),
    ("scpi", tr("when asked: SCPI (bench meters)")),
    ("nmea", tr("by itself: NMEA 0183 (marine)")),
)
FUNCTIONS = (("4", tr("input register (function 4)")), ("3", tr("holding register (function 3)")))
# In the order of `modbus_point.TYPES`.
NUMBERS = (
    ("int16", tr("whole number (int16)")),
    ("uint16", tr("whole number, never below zero (uint16)")),
    ("float32", tr("number with a point (float32)")),
)


class KindForm(QWidget):
    """Below the field for its place: only what kind and place need. `changed`: another kind was chosen.

    Parameters
    ----------
    address : Address
        What is shown at first.
    place, channel : QWidget
        The fields for its place, and for the one of its probes that is meant.
    channel_name : str
    """

    changed = Signal()

    def __init__(self, address: Address, place: QWidget, channel: QWidget, channel_name: str) -> None:
        super().__init__()
        query = address.query
        self._place = ""
        self.rows = rows = Rows()
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.addWidget(rows)
        self.host = QLineEdit(host_of(address))
        self.host.setPlaceholderText("192.168.1.20:502")
        kind = "serial" if address.scheme in ("tcp", "file") else address.scheme
        self.kind = choice("", list(KINDS), kind)
        usual = str(NMEA_BAUD if kind == "nmea" else USUAL_BAUD)
        self.baud = choice("", [(str(b), str(b)) for b in COMMON_BAUDS], query.get("baud") or usual)
        self.question = QLineEdit((query.get("query") if kind == "scpi" else "") or USUAL_QUESTION)
        asked = query if kind == "modbus" else {}
        self.unit = whole_field(asked.get("unit") or "1", 0, 255)
        self.function = choice("", list(FUNCTIONS), asked.get("function") or "4")
        self.register = whole_field(asked.get("register") or "0", 0, 0xFFFF)
        self.type = choice("", list(NUMBERS), asked.get("type") or NUMBERS[0][0])
        self.order = choice("", [(order, order) for order in ORDERS], asked.get("order") or ORDERS[0])
        rows.row(tr("Thermometer"), place)
        self._host_row = rows.row(tr("Name and port"), self.host, tr("its name or number, a colon, its port"))
        self._kind_row = rows.row(tr("How it speaks"), self.kind)
        self._baud_row = rows.row(tr("Speed, baud"), self.baud, tr("“Listen” finds it"))
        self._question_row = rows.row(
            tr("Question"), self.question, tr("READ?, FETC? or MEAS:TEMP?, as its handbook says")
        )
        self._modbus_rows: tuple[Row, ...] = (
            rows.row(tr("Device number"), self.unit, tr("1 unless it was changed")),
            rows.row(tr("Temperature in"), self.function),
            rows.row(
                tr("Register"),
                self.register,
                tr("counted from 0: one less than in a list that begins with 1, 30001 or 40001"),
            ),
            rows.row(tr("Kept as"), self.type),
        )
        self._order_row = rows.row(
            tr("Order of bytes"), self.order, tr("ABCD first; another if numbers are wild")
        )
        self.channel_row = rows.row(channel_name, channel)
        self.channel_row.show(False)
        self.kind.currentIndexChanged.connect(self._kind_chosen)
        self.type.currentIndexChanged.connect(self._fit)
        self._fit()

    @property
    def scheme(self) -> str:
        """'serial' for lines over anything, 'modbus', 'scpi' or 'nmea'."""
        return str(self.kind.value())

    @property
    def can_listen(self) -> bool:
        """Whether it speaks by itself, at a speed that can be found by listening."""
        return self.scheme == "serial" and not self._place.startswith(FILE) and self._place != NETWORK

    @property
    def registers_each(self) -> int:
        """How many registers one temperature fills."""
        return 2 if self.type.value() == "float32" else 1

    @property
    def highest_register(self) -> int:
        """The last one that a temperature may begin in."""
        return 0x10000 - self.registers_each

    def use_place(self, place: str) -> None:
        """Ask what a device at this place needs."""
        self._place = place
        self._fit()

    def query(self) -> dict[str, str]:
        """What belongs behind the `?`, but for how its numbers are read."""
        if self._place.startswith(FILE):
            return {}
        said = {} if self._place == NETWORK else {"baud": str(self.baud.value())}
        if self.scheme == "scpi":
            said["query"] = self.question.text().strip()
        if self.scheme == "modbus":
            said |= {
                "unit": self.unit.text().strip(),
                "function": str(self.function.value()),
                "register": self.register.text().strip(),
                "type": str(self.type.value()),
            }
            if self.type.value() == "float32":
                said["order"] = str(self.order.value())
        return said

    def problem(self) -> str:
        """'' when what is written can be used, else one sentence: the field's own name and what to write."""
        if self._place == NETWORK and not _is_host(self.host.text().strip()):
            return tr("Name and port: write both with a colon between, like 192.168.1.20:502.")
        if self._place.startswith(FILE):
            return ""
        if self.scheme == "scpi" and "?" not in self.question.text():
            return tr("Question: write one with a question mark in it, like READ?.")
        if self.scheme != "modbus":
            return ""
        for name, field, low, high in (
            (tr("Device number"), self.unit, 0, 255),
            (tr("Register"), self.register, 0, self.highest_register),
        ):
            if not is_whole(field.text().strip(), low, high):
                return tr("{name}: write a whole number from {low} to {high}.").format(
                    name=name, low=low, high=high
                )
        return ""

    def _kind_chosen(self) -> None:
        # The other kinds of speech have no speed of their own: what was chosen stays.
        was, usual = (USUAL_BAUD, NMEA_BAUD) if self.scheme == "nmea" else (NMEA_BAUD, USUAL_BAUD)
        if self.baud.value() == str(was):
            self.baud.choose(str(usual))
        self._fit()
        self.changed.emit()

    def _fit(self) -> None:
        is_file, is_far = self._place.startswith(FILE), self._place == NETWORK
        self._host_row.show(is_far)
        self._kind_row.show(not is_file)
        self._baud_row.show(not is_file and not is_far)
        self._baud_row.note.setVisible(self.can_listen)
        self._question_row.show(self.scheme == "scpi" and not is_file)
        asked = self.scheme == "modbus" and not is_file
        for row in self._modbus_rows:
            row.show(asked)
        self._order_row.show(asked and self.type.value() == "float32")


def _is_host(text: str) -> bool:
    """Whether it is a name or number, a colon and a port."""
    host, _, port = text.rpartition(":")
    return bool(host) and port.isascii() and port.isdigit() and 0 < int(port[:9]) <= 0xFFFF


def is_whole(text: str, lowest: int, highest: int) -> bool:
    """Whether it is a whole number within limits."""
    return text.isascii() and text.isdigit() and lowest <= int(text[:9]) <= highest


def whole_field(text: str, lowest: int, highest: int) -> QLineEdit:
    """A field for a whole number."""
    field = QLineEdit(text)
    field.setValidator(QIntValidator(lowest, highest, field))
    return field

"""What a thermometer sends, line by line, beside how that was read; and what she says about its numbers."""

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHeaderView, QPushButton, QTableWidget, QTableWidgetItem, QVBoxLayout, QWidget

from candlebench.core.units import Shown
from candlebench.thermometers.line_settings import LineSettings
from candlebench.thermometers.recent_lines import RecentLine
from candlebench.ui.page_frame import left, role_label
from candlebench.ui.thermometer_channels import channel_temps
from candlebench.ui.thermometer_rows import Rows, choice
from candlebench.words import tr

SCALES = (
    ("", tr("as sent")),
    ("0.1", tr("tenths (235 is 23.5)")),
    ("0.01", tr("hundredths (2350 is 23.5)")),
    ("0.001", tr("thousandths (23500 is 23.5)")),
)
UNITS = (("", tr("as it says")), ("C", "°C"), ("F", "°F"), ("K", "K"))
SHOWN_LINES = 12
_WITH_CHANNELS = ("serial", "tcp", "nmea")
# An NMEA sentence states its unit and counts in whole degrees.
_WITH_UNITS = ("serial", "tcp", "scpi", "modbus", "file")


class Lines(QWidget):
    """The newest lines first. `taken` when she says that they are to be read as the fields say.

    `channel`, the field for one of several probes, is laid out by whoever owns the form.

    Parameters
    ----------
    take : str
        What stands on the button.
    shown : Shown
        In which degrees temperatures are said.
    """

    taken = Signal()

    def __init__(self, take: str, shown: Shown) -> None:
        super().__init__()
        self._shown = shown
        self._scheme = "serial"
        self.table = _table()
        self.channel = choice("", [("", tr("the only one"))], "")
        self.unit = choice("", list(UNITS), "")
        self.scale = choice("", list(SCALES), "")
        rows = Rows()
        self._unit_row = rows.row(tr("Numbers without a unit are"), self.unit)
        self._scale_row = rows.row(tr("Numbers are sent"), self.scale)
        button = QPushButton(take)
        button.clicked.connect(self.taken)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(10)
        for part in (role_label(tr("What the thermometer says"), "section"), self.table, rows, left(button)):
            box.addWidget(part)

    def fill(self, scheme: str, query: dict[str, str]) -> None:
        """Show what was said about a thermometer of this kind; names of other probes are forgotten."""
        self._scheme = scheme
        channel = query.get("channel", "")
        self.channel.offer([("", tr("the only one")), *([(channel, channel)] if channel else [])])
        self.channel.choose(channel)
        self.unit.choose(query.get("degrees" if scheme == "modbus" else "unit", "").upper())
        scale = query.get("scale", "")
        if not self.scale.choose(scale):
            self.scale.addItem(tr("times {factor}").format(factor=scale), scale)
            self.scale.choose(scale)
        self._unit_row.show(scheme in _WITH_UNITS)
        self._scale_row.show(scheme in _WITH_UNITS)

    @property
    def has_channels(self) -> bool:
        """Whether there is one of several probes to be chosen."""
        return self._scheme in _WITH_CHANNELS and (self.channel.count() > 2 or bool(self.channel.value()))

    def query(self) -> dict[str, str]:
        """What belongs behind the `?` of the address about the numbers."""
        said = {}
        if self._scheme in _WITH_CHANNELS:
            said["channel"] = str(self.channel.value() or "")
        if self._scheme in _WITH_UNITS:
            said["degrees" if self._scheme == "modbus" else "unit"] = str(self.unit.value() or "")
            said["scale"] = str(self.scale.value() or "")
        return {key: value for key, value in said.items() if value}

    def show_lines(self, lines: Sequence[RecentLine], channels: Sequence[str]) -> None:
        """Show lines, given with the newest last, and offer the probes that were seen in them."""
        newest = list(reversed(lines[-SHOWN_LINES:]))
        self.table.setRowCount(len(newest))
        for row, line in enumerate(newest):
            for column, text in enumerate((line.text, line.read_as)):
                item = self.table.item(row, column)
                if item is None:
                    self.table.setItem(row, column, QTableWidgetItem(text))
                elif item.text() != text:
                    item.setText(text)
        self._offer(lines, channels)

    def temps_c(self, lines: Sequence[RecentLine], channels: Sequence[str]) -> dict[str, float]:
        """What each of several probes says now, in °C, as far as it is in the lines."""
        if self._scheme not in _WITH_CHANNELS or len(channels) < 2:
            return {}
        scale = str(self.scale.value() or "")
        settings = LineSettings(None, str(self.unit.value() or "") or None, float(scale) if scale else None)
        return channel_temps(lines, self._scheme, settings, channels)

    def _offer(self, lines: Sequence[RecentLine], channels: Sequence[str]) -> None:
        """Offer the probes that were seen, each with what it says now, so that she knows it by that."""
        if self.channel.view().isVisible():
            # A list that is open must not change under her hand.
            return
        temps_c = self.temps_c(lines, channels)
        self.channel.setItemText(0, tr("choose one") if len(channels) > 1 else tr("the only one"))
        for name in channels:
            if name and self.channel.findData(name) < 0:
                self.channel.addItem(name, name)
            place = self.channel.findData(name)
            if name in temps_c and place > 0:
                self.channel.setItemText(place, channel_words(name, temps_c[name], self._shown))


def channel_words(name: str, temp_c: float, shown: Shown) -> str:
    """'T2, 71.3 °C now'."""
    temp = f"{shown.number(temp_c):.1f} {shown.sign}"
    return tr("{name}, {temp} now").format(name=name, temp=temp)


def _table() -> QTableWidget:
    table = QTableWidget(0, 2)
    table.setHorizontalHeaderLabels([tr("What it sends"), tr("How that was read")])
    table.verticalHeader().hide()
    # Rows as high as their text, whatever its size, and a long line on several.
    table.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
    table.horizontalHeader().setDefaultAlignment(Qt.AlignmentFlag.AlignLeft)
    table.setEditTriggers(QTableWidget.EditTrigger.NoEditTriggers)
    table.setSelectionMode(QTableWidget.SelectionMode.NoSelection)
    for column in range(2):
        table.horizontalHeader().setSectionResizeMode(column, QHeaderView.ResizeMode.Stretch)
    table.setMinimumHeight(240)
    table.setAccessibleName(tr("Raw lines and how they were read"))
    return table

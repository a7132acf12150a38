"""What a thermometer sends, line by line, beside how that was read; and what she says about its numbers."""

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QHeaderView, QPushButton, QTableWidget, QTableWidgetItem, QVBoxLayout

from candlebench.thermometers.recent_lines import RecentLine
from candlebench.ui.page_frame import left, role_label
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


class LinesCard(QFrame):
    """The newest lines first. `taken` when she says that they are to be read as the fields say."""

    taken = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("card")
        self._scheme = "serial"
        self.table = _table()
        self.channel = choice("", [("", tr("the only one"))], "")
        self.unit = choice("", list(UNITS), "")
        self.scale = choice("", list(SCALES), "")
        rows = Rows()
        self._channel_row = rows.row(
            tr("Probe in the melt"), self.channel, tr("choose one when it sends several")
        )
        self._unit_row = rows.row(tr("Numbers without a unit are"), self.unit)
        self._scale_row = rows.row(tr("Numbers are sent"), self.scale)
        take = QPushButton(tr("Read them this way"))
        take.clicked.connect(self.taken)
        box = QVBoxLayout(self)
        box.setContentsMargins(24, 18, 24, 18)
        box.setSpacing(10)
        for part in (role_label(tr("What the thermometer says"), "section"), self.table, rows, left(take)):
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
        self._channel_row.show(scheme in _WITH_CHANNELS)
        self._unit_row.show(scheme in _WITH_UNITS)
        self._scale_row.show(scheme in _WITH_UNITS)

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
        for channel in channels:
            if channel and self.channel.findData(channel) < 0:
                self.channel.addItem(channel, channel)


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

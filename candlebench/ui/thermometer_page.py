"""The thermometer: plugged in, typed or practise; which port; what it says and how that was read."""

from collections.abc import Callable
from dataclasses import replace

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QHeaderView,
    QPushButton,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from candlebench.addresses import Address, parse_address, write_address
from candlebench.core.errors import FixableError
from candlebench.thermometers.serial_port import PortInfo, SerialSource, list_ports
from candlebench.thermometers.source import ThermometerSource
from candlebench.ui.fields import Form
from candlebench.ui.page_frame import card, framed_page, left, role_label
from candlebench.words import tr

# Usual speeds of boards and meters, the commonest first.
BAUDS = (9600, 115200, 19200, 38400, 57600, 2400, 4800, 1200)
SCALES = ((None, "as sent"), (0.1, "tenths (235 is 23.5)"), (0.01, "hundredths"), (0.001, "thousandths"))
SHOWN_LINES = 12
REFRESH_MS = 500


def port_words(port: PortInfo) -> str:
    """'/dev/ttyUSB0, USB serial, Maker, number 1234'."""
    parts = [port.path, port.name, port.maker]
    if port.serial_number:
        parts.append(tr("number {number}").format(number=port.serial_number))
    return ", ".join(p for p in parts if p)


class ThermometerPage(QWidget):
    """Chooses a source. `chosen` carries its address; `way_chosen` 'plugged in', 'typed' or 'practise'."""

    chosen = Signal(str)
    way_chosen = Signal(str)

    def __init__(
        self,
        address: str,
        source: Callable[[], ThermometerSource | None],
        back: Callable[[], None],
        lister: Callable[[bool], list[PortInfo]] = list_ports,
    ) -> None:
        super().__init__()
        self._source, self._lister = source, lister
        try:
            self._address = parse_address(address)
        except FixableError:
            self._address = Address("serial", "", {})
        if self._address.scheme != "serial":
            self._address = Address("serial", "", {})
        body = QWidget()
        box = QVBoxLayout(body)
        box.setContentsMargins(24, 8, 24, 24)
        box.setSpacing(16)
        box.addWidget(self._ways())
        box.addWidget(self._port_card())
        box.addWidget(self._lines_card())
        box.addStretch(1)
        framed_page(self, tr("Thermometer"), body, back)
        self._timer = QTimer(self)
        self._timer.setInterval(REFRESH_MS)
        self._timer.timeout.connect(self.refresh)
        self.refresh_ports()

    def _ways(self) -> QWidget:
        typed = QPushButton(tr("I type the numbers"))
        typed.clicked.connect(lambda: self.way_chosen.emit("typed"))
        practise = QPushButton(tr("Practise"))
        practise.clicked.connect(lambda: self.way_chosen.emit("practise"))
        row = left(typed, practise)
        words = tr("Numbers can be typed at any time, also while a thermometer is plugged in.")
        return card(role_label(tr("Without a cable"), "section"), role_label(words, "muted"), row)

    def _port_card(self) -> QWidget:
        form = Form()
        self._ports = QComboBox()
        self._ports.setMinimumWidth(420)
        self._ports.setAccessibleName(tr("Port"))
        again = QPushButton(tr("Look again"))
        again.clicked.connect(self.refresh_ports)
        self._internal = QPushButton(tr("Also the computer's own ports"))
        self._internal.setCheckable(True)
        self._internal.toggled.connect(self.refresh_ports)
        self._bauds = QComboBox()
        for baud in BAUDS:
            self._bauds.addItem(f"{baud}", baud)
        self._bauds.setCurrentText(self._address.query.get("baud", str(BAUDS[0])))
        form.row(tr("Port"), self._ports)
        form.row(
            tr("Speed, baud"), self._bauds, tr("as its maker or its sketch says; most boards 9600 or 115200")
        )
        use = QPushButton(tr("Read from this port"))
        use.setProperty("role", "main")
        use.clicked.connect(self._use_port)
        self._use = use
        row = left(use, again, self._internal)
        self._problem = role_label("", "problem")
        self._problem.hide()
        return card(role_label(tr("With a cable"), "section"), form, self._problem, row)

    def _lines_card(self) -> QWidget:
        self._lines = QTableWidget(0, 2)
        self._lines.setHorizontalHeaderLabels([tr("What it sends"), tr("How that was read")])
        self._lines.verticalHeader().hide()
        self._lines.setEditTriggers(QTableWidget.EditTrigger.NoEditTriggers)
        self._lines.setSelectionMode(QTableWidget.SelectionMode.NoSelection)
        header = self._lines.horizontalHeader()
        header.setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        header.setSectionResizeMode(1, QHeaderView.ResizeMode.Stretch)
        self._lines.setMinimumHeight(300)
        self._lines.setAccessibleName(tr("Raw lines and how they were read"))
        form = Form()
        self._channel = QComboBox()
        self._channel.setMinimumWidth(260)
        self._channel.setAccessibleName(tr("Probe in the melt"))
        self._unit = QComboBox()
        for value, words in ((None, tr("as it says")), ("C", "°C"), ("F", "°F"), ("K", "K")):
            self._unit.addItem(words, value)
        self._scale = QComboBox()
        for factor, words in SCALES:
            self._scale.addItem(tr(words), factor)
        form.row(tr("Probe in the melt"), self._channel, tr("when it sends several"))
        form.row(tr("Numbers without a unit are"), self._unit)
        form.row(tr("Numbers are sent"), self._scale)
        self._fill_from_address()
        take = QPushButton(tr("Read them this way"))
        take.clicked.connect(self._use_settings)
        row = left(take)
        return card(role_label(tr("What the thermometer says"), "section"), self._lines, form, row)

    def _fill_from_address(self) -> None:
        query = self._address.query
        self._channel.addItem(tr("the only one"), "")
        if channel := query.get("channel"):
            self._channel.addItem(channel, channel)
            self._channel.setCurrentIndex(1)
        self._unit.setCurrentIndex(max(0, self._unit.findData(query.get("unit"))))
        scale = query.get("scale")
        self._scale.setCurrentIndex(max(0, self._scale.findData(float(scale)) if scale else 0))

    def watch(self, watching: bool) -> None:
        """Refresh the raw lines while the page is shown."""
        if watching:
            self.refresh_ports()
            self.refresh()
            self._timer.start()
        else:
            self._timer.stop()

    def say(self, sentence: str) -> None:
        """Show what is wrong with the choice."""
        self._problem.setText(sentence)
        self._problem.setVisible(bool(sentence))

    def refresh_ports(self) -> None:
        """List what is plugged in now."""
        present = self._ports.currentData() or self._address.rest
        self._ports.clear()
        for port in self._lister(self._internal.isChecked()):
            self._ports.addItem(port_words(port), port.path)
        known = self._ports.findData(present)
        if known < 0 and self._address.rest:
            self._ports.addItem(
                tr("{path} (not plugged in)").format(path=self._address.rest), self._address.rest
            )
            known = self._ports.count() - 1
        self._ports.setCurrentIndex(max(0, known))
        found = self._ports.count() > 0
        self._use.setEnabled(found)
        self._ports.setEnabled(found)
        if not found:
            self.say(tr("No thermometer is plugged in: plug it in, then “Look again”."))
        else:
            self.say("")

    def refresh(self) -> None:
        """Show the newest raw lines and the channels seen."""
        source = self._source()
        if not isinstance(source, SerialSource):
            return
        lines = source.recent_lines()[-SHOWN_LINES:]
        self._lines.setRowCount(len(lines))
        for row, line in enumerate(reversed(lines)):
            for column, text in enumerate((line.text, line.read_as)):
                item = self._lines.item(row, column)
                if item is None:
                    self._lines.setItem(row, column, QTableWidgetItem(text))
                elif item.text() != text:
                    item.setText(text)
        for channel in source.channels:
            if channel and self._channel.findData(channel) < 0:
                self._channel.addItem(channel, channel)

    def _use_port(self) -> None:
        path = self._ports.currentData()
        if path:
            query = {**self._address.query, "baud": str(self._bauds.currentData())}
            self._address = replace(self._address, rest=path, query=query)
            self.chosen.emit(write_address("serial", path, query))

    def _use_settings(self) -> None:
        scale = self._scale.currentData()
        query = {
            "baud": self._address.query.get("baud", str(self._bauds.currentData())),
            "channel": self._channel.currentData() or "",
            "unit": self._unit.currentData() or "",
            "scale": f"{scale:g}" if scale else "",
        }
        self._address = replace(self._address, query={k: v for k, v in query.items() if v})
        if self._address.rest:
            self.chosen.emit(write_address("serial", self._address.rest, self._address.query))

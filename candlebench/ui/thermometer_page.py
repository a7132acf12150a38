"""The thermometer: plugged in, typed or practise; where it is; what it says; and a second probe."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QPushButton, QScrollArea, QVBoxLayout, QWidget

from candlebench.core.units import Shown
from candlebench.thermometers.finding import sensor_files
from candlebench.thermometers.serial_port import PortInfo, list_ports
from candlebench.thermometers.source import ThermometerSource
from candlebench.ui.page_frame import card, framed_page, left, role_label
from candlebench.ui.thermometer_beside import BesideCard
from candlebench.ui.thermometer_form import ThermometerForm
from candlebench.ui.thermometer_parts import FormWords, LetGo, Plugged, Second
from candlebench.words import tr

REFRESH_MS = 500
# What is plugged in is looked at less often: each look asks the system about every port.
PORTS_EVERY = 4


class ThermometerPage(QWidget):
    """Chooses a source. `chosen` carries its address; `way_chosen` 'plugged in', 'typed' or 'practise'.

    `second_chosen` carries a `SecondWish`, or None when there is to be no second probe.

    Parameters
    ----------
    address : str
        The thermometer that was used last; may be empty.
    source : callable
        Returns the source that is running, or None.
    back : callable
        The way back.
    lister, sensors : callable
        What is plugged in, with or without the computer's own ports; thermometers of the kernel.
    let_go : callable or None
        Lets go of the running source's port; what it returns takes the port again. Without it a port that is
        being read cannot be listened to.
    shown : Shown
        In which degrees temperatures are said.
    """

    chosen = Signal(str)
    way_chosen = Signal(str)
    second_chosen = Signal(object)

    def __init__(
        self,
        address: str,
        source: Callable[[], ThermometerSource | None],
        back: Callable[[], None],
        lister: Callable[[bool], list[PortInfo]] = list_ports,
        sensors: Callable[[], list[Path]] = sensor_files,
        let_go: LetGo | None = None,
        shown: Shown | None = None,
    ) -> None:
        super().__init__()
        self.plugged = Plugged(lister, sensors)
        self._shown = shown or Shown()
        self.second: BesideCard | None = None
        self.form = ThermometerForm(
            address, source, self.plugged, self._shown, FormWords(), let_go, self._taken, self._also
        )
        self.form.chosen.connect(self._chosen)
        self.form.to_do.connect(self._look_at)
        self.tools = left()
        self.tools.hide()
        self._lines_card = card(self.form.lines)
        body = QWidget()
        self._box = QVBoxLayout(body)
        self._box.setContentsMargins(24, 8, 24, 24)
        self._box.setSpacing(16)
        self._box.addWidget(card(role_label(tr("With a cable"), "section"), self.form, self.tools))
        # A second probe goes between them.
        self._box.addWidget(self._lines_card)
        self._box.addWidget(self._ways())
        self._box.addStretch(1)
        framed_page(self, tr("Thermometer"), body, back)
        self._scroll = self.findChild(QScrollArea)
        self._ticks = 0
        self._timer = QTimer(self)
        self._timer.setInterval(REFRESH_MS)
        self._timer.timeout.connect(self._tick)
        self.refresh()

    def _ways(self) -> QWidget:
        typed = QPushButton(tr("I type the numbers"))
        typed.clicked.connect(lambda: self.way_chosen.emit("typed"))
        practise = QPushButton(tr("Practise"))
        practise.clicked.connect(lambda: self.way_chosen.emit("practise"))
        words = tr("Numbers can be typed at any time, also while a thermometer is plugged in.")
        row = left(typed, practise)
        return card(role_label(tr("Without a cable"), "section"), role_label(words, "muted"), row)

    def add_tool(self, button: QPushButton) -> None:
        """Add a button for what else can be done with the thermometer, below its own."""
        row = self.tools.layout()
        assert row is not None
        row.insertWidget(row.count() - 1, button)  # type: ignore[attr-defined]
        self.tools.show()

    def add_second(self, second: Second) -> None:
        """Offer a second probe."""
        self.second = BesideCard(self.form, second, self.plugged, self._shown)
        self.second.chosen.connect(self.second_chosen)
        self.second.form.to_do.connect(self._look_at)
        self._box.insertWidget(1, card(self.second))

    # --- what is there ------------------------------------------------------------------------------------

    def watch(self, watching: bool) -> None:
        """Follow what is plugged in and what it sends while the page is shown."""
        if watching:
            self.form.refresh_ports()
            self.refresh()
            self._timer.start()
            return
        self._timer.stop()
        self.form.stop()
        if self.second is not None:
            self.second.stop()

    def take_focus(self) -> None:
        """The keyboard begins with what is to be done next."""
        self.form.take_focus()

    def say(self, sentence: str) -> None:
        """Show what is wrong with the choice."""
        self.form.say(sentence)

    def refresh(self) -> None:
        """Show the newest raw lines and the channels seen."""
        self.form.refresh()
        self._lines_card.setVisible(not self.form.lines.isHidden())
        if self.second is not None:
            self.second.refresh()

    def _tick(self) -> None:
        self._ticks += 1
        if self._ticks % PORTS_EVERY == 0:
            if not self.form.is_list_open:
                self.form.refresh_ports()
            if self.second is not None:
                self.second.refresh_ports()
        self.refresh()

    def _look_at(self, to_do: QWidget) -> None:
        self.refresh()
        to_do.setFocus()
        # Once the layout has made room for what was found.
        QTimer.singleShot(0, self, lambda: self._scroll.ensureWidgetVisible(to_do))

    # --- choosing -----------------------------------------------------------------------------------------

    def _taken(self, address: str) -> str:
        return "" if self.second is None else self.second.taken_by_second(address)

    def _also(self) -> dict[str, str]:
        return {} if self.second is None else self.second.query()

    def _chosen(self, address: str) -> None:
        self.chosen.emit(address)
        if self.second is not None and self.second.wish is not None:
            self.second_chosen.emit(self.second.wish)
        self.refresh()

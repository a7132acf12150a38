"""The thermometer: plugged in, typed or practise; where it is; what it says and how that was read."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QCheckBox, QPushButton, QScrollArea, QVBoxLayout, QWidget

from candlebench.addresses import LIVE, Address, open_source, parse_address, write_address
from candlebench.core.errors import FixableError
from candlebench.core.units import Shown
from candlebench.thermometers.finding import Heard, best, sensor_files
from candlebench.thermometers.sensor_names import sits_inside
from candlebench.thermometers.serial_port import PortInfo, list_ports, same_path
from candlebench.thermometers.source import ThermometerSource
from candlebench.ui.page_frame import card, framed_page, left, role_label
from candlebench.ui.thermometer_kinds import KindForm
from candlebench.ui.thermometer_lines import LinesCard
from candlebench.ui.thermometer_listening import Listening, heard_words
from candlebench.ui.thermometer_places import NETWORK, NOWHERE, offered, place_of, scheme_and_rest
from candlebench.ui.thermometer_rows import choice
from candlebench.words import tr

REFRESH_MS = 500
# What is plugged in is looked at less often: each look asks the system about every port.
PORTS_EVERY = 4
LetGo = Callable[[], Callable[[], None]]


class ThermometerPage(QWidget):
    """Chooses a source. `chosen` carries its address; `way_chosen` 'plugged in', 'typed' or 'practise'.

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
        self._source, self._lister, self._sensors = source, lister, sensors
        self._let_go, self._shown = let_go, shown or Shown()
        self._address = _known(address)
        self._listed: object = None
        self._heard: list[Heard] = []
        self._take_again: Callable[[], None] | None = None
        self.listening = Listening(self)
        self.listening.tries.connect(self._say_tries)
        self.listening.heard.connect(self._take_heard)
        self.listening.failed.connect(self.say)
        self.listening.ended.connect(self._listened)
        body = QWidget()
        box = QVBoxLayout(body)
        box.setContentsMargins(24, 8, 24, 24)
        box.setSpacing(16)
        self.lines = LinesCard()
        self.lines.fill(self._address.scheme, self._address.query)
        self.lines.taken.connect(self._choose)
        box.addWidget(self._cable_card())
        box.addWidget(self.lines)
        box.addWidget(self._ways())
        box.addStretch(1)
        framed_page(self, tr("Thermometer"), body, back)
        self._scroll = self.findChild(QScrollArea)
        self._ticks = 0
        self._timer = QTimer(self)
        self._timer.setInterval(REFRESH_MS)
        self._timer.timeout.connect(self._tick)
        self.refresh_ports()
        self.refresh()

    def _ways(self) -> QWidget:
        typed = QPushButton(tr("I type the numbers"))
        typed.clicked.connect(lambda: self.way_chosen.emit("typed"))
        practise = QPushButton(tr("Practise"))
        practise.clicked.connect(lambda: self.way_chosen.emit("practise"))
        words = tr("Numbers can be typed at any time, also while a thermometer is plugged in.")
        row = left(typed, practise)
        return card(role_label(tr("Without a cable"), "section"), role_label(words, "muted"), row)

    def _cable_card(self) -> QWidget:
        self._place = choice("", [(NOWHERE, "")], NOWHERE)
        self._internal = QCheckBox(tr("Show the computer's own ports and sensors too"))
        self._internal.toggled.connect(self.refresh_ports)
        self.kinds = KindForm(self._address, self._place)
        self._place.currentIndexChanged.connect(self._place_chosen)
        self.kinds.changed.connect(self._kind_chosen)
        self._problem = role_label("", "problem")
        self._problem.hide()
        self._found = role_label("", "lead")
        self._found.hide()
        self._listen = QPushButton(tr("Listen"))
        self._listen.clicked.connect(self._listen_or_stop)
        self._use = QPushButton(tr("Read from it"))
        self._use.clicked.connect(self._choose)
        return card(
            role_label(tr("With a cable"), "section"),
            self.kinds,
            self._internal,
            self._problem,
            self._found,
            left(self._listen, self._use),
        )

    # --- what is there ------------------------------------------------------------------------------------

    def watch(self, watching: bool) -> None:
        """Follow what is plugged in and what it sends while the page is shown."""
        if watching:
            self.refresh_ports()
            self.refresh()
            self._timer.start()
        else:
            self._timer.stop()
            self._stop_listening()

    def take_focus(self) -> None:
        """The keyboard begins with what is to be done next."""
        (self._listen if self._listen.isVisible() and self._listen.isEnabled() else self._place).setFocus()

    def say(self, sentence: str) -> None:
        """Show what is wrong with the choice."""
        self._problem.setText(sentence)
        self._problem.setVisible(bool(sentence))

    def refresh_ports(self) -> None:
        """List what is plugged in now; what is chosen stays."""
        asked = self._internal.isChecked()
        ports = list(self._lister(asked))
        sensors = [path for path in self._sensors() if asked or not sits_inside(path)]
        present = str(self._place.value() or place_of(self._address))
        listed = (ports, sensors, present)
        if listed == self._listed:
            return
        self._listed = listed
        choices, chosen = offered(ports, sensors, present)
        blocked = self._place.blockSignals(True)
        self._place.offer(list(choices))
        self._place.choose(chosen)
        self._place.blockSignals(blocked)
        nothing = chosen == NOWHERE
        self.say(tr("No thermometer is plugged in: plug it in, and it appears here.") if nothing else "")
        self.kinds.use_place(chosen)
        self._fit_buttons()

    def refresh(self) -> None:
        """Show the newest raw lines and the channels seen: those listened to, else of what is read."""
        source = self._source()
        if self._heard:
            last = self._heard[-1]
            self.lines.show_lines(last.lines, last.channels)
        elif source is not None and hasattr(source, "recent_lines"):
            self.lines.show_lines(source.recent_lines(), getattr(source, "channels", ()))
        self.lines.setVisible(bool(self._heard) or hasattr(source, "recent_lines"))

    def _tick(self) -> None:
        self._ticks += 1
        # A list that is open must not change under her hand.
        if self._ticks % PORTS_EVERY == 0 and not self._place.view().isVisible():
            self.refresh_ports()
        self.refresh()

    def _place_chosen(self) -> None:
        self._stop_listening()
        place = str(self._place.value() or NOWHERE)
        self._listed = None
        self._forget_heard()
        self.say("")
        self.kinds.use_place(place)
        # What was said about one thermometer's numbers would be false of another's.
        same = place == place_of(self._address)
        self.lines.fill(self._scheme(), self._address.query if same else {})
        self._fit_buttons()

    def _kind_chosen(self) -> None:
        self._stop_listening()
        self._forget_heard()
        same = self._scheme() == self._address.scheme
        self.lines.fill(self._scheme(), self._address.query if same else {})
        self._fit_buttons()

    def _scheme(self) -> str:
        place = str(self._place.value() or NOWHERE)
        return scheme_and_rest(self.kinds.scheme, place, self.kinds.host.text().strip())[0]

    def _fit_buttons(self) -> None:
        """The main button is what to do next: listen to an unknown thermometer, else read from it."""
        place = self._place.value()
        on = self.listening.is_on
        self._listen.setText(tr("Stop listening") if on else tr("Listen"))
        self._listen.setVisible(self.kinds.can_listen)
        self._listen.setEnabled(bool(place))
        self._use.setEnabled(bool(place) and not on)
        known = place == place_of(self._address) or best(self._heard) is not None
        listens_first = self.kinds.can_listen and not known
        _set_main(self._listen, listens_first)
        _set_main(self._use, not listens_first)

    # --- listening ----------------------------------------------------------------------------------------

    def _listen_or_stop(self) -> None:
        path = str(self._place.value() or "")
        if self.listening.is_on:
            self._stop_listening()
            self._say_found(tr("Stopped listening."))
        elif path:
            self.say("")
            self._forget_heard()
            source = self._source()
            if source is not None and same_path(source.label, path):
                if self._let_go is None:
                    self.say(tr("This port is being read now: what it sends is shown below."))
                    return
                self._take_again = self._let_go()
            self.listening.start(path)
        self._fit_buttons()

    def _stop_listening(self) -> None:
        self.listening.stop()
        take_again, self._take_again = self._take_again, None
        if take_again is not None:
            take_again()

    def _say_tries(self, baud: int) -> None:
        self._say_found(tr("Listening at {baud} baud…").format(baud=baud))

    def _take_heard(self, heard: Heard) -> None:
        self._heard.append(heard)
        self.refresh()

    def _listened(self) -> None:
        self._stop_listening()
        found = best(self._heard)
        if found is not None:
            self.kinds.baud.choose(str(found.baud))
        self._say_found(heard_words(self._heard, self._shown) if self._problem.isHidden() else "")
        self._fit_buttons()
        if found is not None:
            to_do = self._use if found.is_understood else self.lines.channel
            to_do.setFocus()
            # Once the layout has made room for what was found.
            QTimer.singleShot(0, self, lambda: self._scroll.ensureWidgetVisible(to_do))

    def _say_found(self, sentence: str) -> None:
        self._found.setText(sentence)
        self._found.setVisible(bool(sentence))
        # The button has the focus when something was found: a reader says this with it.
        self._use.setAccessibleDescription(sentence)

    def _forget_heard(self) -> None:
        self._heard = []
        self._say_found("")
        self.refresh()

    # --- choosing -----------------------------------------------------------------------------------------

    def _choose(self) -> None:
        """Read from this thermometer, in this way."""
        place = str(self._place.value() or NOWHERE)
        if place == NOWHERE:
            return
        self._stop_listening()
        host = self.kinds.host.text().strip()
        if place == NETWORK and not host:
            self.say(tr("Write where it is in the network, like 192.168.1.20:502."))
            self.kinds.host.setFocus()
            return
        scheme, rest = scheme_and_rest(self.kinds.scheme, place, host)
        kept = {
            k: v for k, v in self._address.query.items() if k == "every" and scheme == self._address.scheme
        }
        address = write_address(scheme, rest, {**self.kinds.query(), **kept, **self.lines.query()})
        try:
            # Checks what was written; nothing is opened before its events are asked for.
            open_source(address)
        except FixableError as error:
            self.say(str(error))
            return
        self.say("")
        self._address = parse_address(address)
        self._listed = None
        self._forget_heard()
        self._fit_buttons()
        self.chosen.emit(address)
        self.refresh()


def _known(address: str) -> Address:
    """The address taken apart; an empty serial one for what is no thermometer on a wire."""
    try:
        known = parse_address(address)
    except FixableError:
        return Address("serial", "", {})
    return known if known.scheme in LIVE and known.scheme != "typed" else Address("serial", "", {})


def _set_main(button: QPushButton, wanted: bool) -> None:
    role = "main" if wanted else "plain"
    if button.property("role") != role:
        button.setProperty("role", role)
        button.style().unpolish(button)
        button.style().polish(button)

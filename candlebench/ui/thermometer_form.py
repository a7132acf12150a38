"""One thermometer with a cable: where it is, how it speaks, what it says and how that was read."""

from collections.abc import Callable, Mapping

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QCheckBox, QPushButton, QVBoxLayout, QWidget

from candlebench.addresses import LIVE, Address, open_source, parse_address, same_place, write_address
from candlebench.core.errors import FixableError
from candlebench.core.units import Shown
from candlebench.thermometers.finding import Heard, best
from candlebench.thermometers.sensor_names import sits_inside
from candlebench.thermometers.serial_port import same_path
from candlebench.thermometers.source import ThermometerSource
from candlebench.ui.page_frame import left, role_label
from candlebench.ui.thermometer_kinds import KindForm
from candlebench.ui.thermometer_lines import Lines
from candlebench.ui.thermometer_listening import Listening, heard_words
from candlebench.ui.thermometer_parts import FormWords, LetGo, Plugged
from candlebench.ui.thermometer_places import NOWHERE, offered, place_of, scheme_and_rest
from candlebench.ui.thermometer_rows import choice
from candlebench.words import tr


class ThermometerForm(QWidget):
    """Chooses a thermometer with a cable.

    `chosen` carries its address; `heard` comes when listening has ended, `to_do` carries the widget that is
    to be used next. `lines` is laid out by whoever owns the form.

    Parameters
    ----------
    address : str
        The thermometer that was used last; may be empty.
    source : callable
        Returns the source that is running, or None.
    plugged : Plugged
    shown : Shown
        In which degrees temperatures are said.
    words : FormWords
    let_go : callable or None
        Without it a port that is being read cannot be listened to.
    taken : callable
        Given an address, returns one sentence when its wire is read as another probe already, else ''.
    also : callable
        Returns what else belongs behind the `?` of the address.
    """

    chosen = Signal(str)
    heard = Signal()
    to_do = Signal(object)

    def __init__(
        self,
        address: str,
        source: Callable[[], ThermometerSource | None],
        plugged: Plugged,
        shown: Shown,
        words: FormWords,
        let_go: LetGo | None,
        taken: Callable[[str], str] = lambda address: "",
        also: Callable[[], Mapping[str, str]] = dict,
    ) -> None:
        super().__init__()
        self._source, self._plugged, self._taken, self._also = source, plugged, taken, also
        self._let_go, self._shown, self._words = let_go, shown, words
        self._address = _known(address)
        self._listed: object = None
        self._heard: list[Heard] = []
        self._leads = True
        self._take_again: Callable[[], None] | None = None
        self.listening = Listening(self)
        self.listening.tries.connect(self._say_tries)
        self.listening.heard.connect(self._take_heard)
        self.listening.failed.connect(self.say)
        self.listening.ended.connect(self._listened)
        self.lines = Lines(words.read_so, shown)
        self.lines.fill(self._address.scheme, self._address.query)
        self.lines.taken.connect(self.choose)
        self._lay_out()
        self.refresh_ports()
        self.refresh()

    def _lay_out(self) -> None:
        self._place = choice("", [(NOWHERE, "")], NOWHERE)
        self._internal = QCheckBox(tr("Show the computer's own ports and sensors too"))
        self._internal.toggled.connect(self.refresh_ports)
        self.kinds = KindForm(self._address, self._place, self.lines.channel, self._words.channel)
        self._place.currentIndexChanged.connect(self._place_chosen)
        self.kinds.changed.connect(self._kind_chosen)
        self._problem = role_label("", "problem")
        self._problem.hide()
        self._found = role_label("", "lead")
        self._found.hide()
        self._listen = QPushButton(tr("Listen"))
        self._listen.clicked.connect(self._listen_or_stop)
        self._use = QPushButton(self._words.read)
        self._use.clicked.connect(self.choose)
        self.buttons = left(self._listen, self._use)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(10)
        for part in (self.kinds, self._internal, self._problem, self._found, self.buttons):
            box.addWidget(part)

    # --- what is there ------------------------------------------------------------------------------------

    @property
    def address(self) -> Address:
        """The thermometer that was used last, or is read now."""
        return self._address

    @property
    def channels(self) -> tuple[str, ...]:
        """Names of the probes that it sends."""
        if self._heard:
            return self._heard[-1].channels
        return tuple(getattr(self._source(), "channels", ()))

    @property
    def scheme(self) -> str:
        """How the chosen thermometer speaks, as an address says it."""
        place = str(self._place.value() or NOWHERE)
        return scheme_and_rest(self.kinds.scheme, place, self.kinds.host.text().strip())[0]

    def named_channels(self) -> list[tuple[str, str]]:
        """Its probes, each with its words; none when it sends only one."""
        names = [name for name in self.channels if name]
        field = self.lines.channel
        places = [(name, field.findData(name)) for name in names]
        return [(name, field.itemText(at) if at >= 0 else name) for name, at in places if len(names) > 1]

    def reads(self, address: str) -> bool:
        """Whether it is read now, and from the same place as this address."""
        own = write_address(self._address.scheme, self._address.rest, {})
        return hasattr(self._source(), "recent_lines") and same_place(own, address)

    def lead(self, wanted: bool) -> None:
        """Whether the page's one main button is among this form's."""
        self._leads = wanted
        self._fit_buttons()

    def stop(self) -> None:
        """Listen no more."""
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
        ports = list(self._plugged.ports(asked))
        sensors = [path for path in self._plugged.sensors() if asked or not sits_inside(path)]
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
        self.kinds.channel_row.show(self.lines.has_channels)

    @property
    def is_list_open(self) -> bool:
        """Whether the list of places is open: it must not change under her hand."""
        return self._place.view().isVisible()

    def _place_chosen(self) -> None:
        self._stop_listening()
        place = str(self._place.value() or NOWHERE)
        self._listed = None
        self._forget_heard()
        self.say("")
        self.kinds.use_place(place)
        # What was said about one thermometer's numbers would be false of another's.
        same = place == place_of(self._address)
        self.lines.fill(self.scheme, self._address.query if same else {})
        self._fit_buttons()

    def _kind_chosen(self) -> None:
        self._stop_listening()
        self._forget_heard()
        same = self.scheme == self._address.scheme
        self.lines.fill(self.scheme, self._address.query if same else {})
        self._fit_buttons()

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
        _set_main(self._listen, self._leads and listens_first)
        _set_main(self._use, self._leads and not listens_first)

    # --- listening ----------------------------------------------------------------------------------------

    def _listen_or_stop(self) -> None:
        path = str(self._place.value() or "")
        if self.listening.is_on:
            self._stop_listening()
            self._say_found(tr("Stopped listening."))
        elif path:
            self.say(self._taken(self._chosen_address()))
            if not self._problem.isHidden():
                return
            self._forget_heard()
            source = self._source()
            if source is not None and same_path(source.label, path):
                if self._let_go is None:
                    self.say(tr("This port is being read now: what it sends is shown below."))
                    return
                self._take_again = self._let_go()
            # A port that was read is most likely right at the speed it was read at.
            self.listening.start(path, int(str(self.kinds.baud.value())))
        self._fit_buttons()

    def _stop_listening(self) -> None:
        self.listening.stop()
        take_again, self._take_again = self._take_again, None
        if take_again is not None:
            take_again()

    def _say_tries(self, baud: int) -> None:
        words = tr("Listening at {baud} baud…").format(baud=baud)
        if self._take_again is not None:
            words = tr("{listening} {unread}").format(listening=words, unread=self._words.unread)
        self._say_found(words)

    def _take_heard(self, heard: Heard) -> None:
        self._heard.append(heard)
        self.refresh()

    def _listened(self) -> None:
        self._stop_listening()
        found = best(self._heard)
        if found is not None:
            self.kinds.baud.choose(str(found.baud))
        likely = "" if found is None or found.is_understood else self._words.likely(found.channels)
        if likely:
            self.lines.channel.choose(likely)
        chosen = self.lines.channel.currentText() if likely else ""
        words = heard_words(self._heard, self._shown, self._words.read, chosen)
        self._say_found(words if self._problem.isHidden() else "")
        self._fit_buttons()
        self.heard.emit()
        if found is not None:
            self.to_do.emit(self._use if found.is_understood or likely else self.lines.channel)

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

    def choose(self) -> None:
        """Read from this thermometer, in this way."""
        place = str(self._place.value() or NOWHERE)
        if place == NOWHERE:
            return
        self._stop_listening()
        address = self._chosen_address()
        problem = self.kinds.problem() or self._taken(address)
        try:
            if not problem:
                # Checks what was written; nothing is opened before its events are asked for.
                open_source(address)
        except FixableError as error:
            problem = str(error)
        self.say(problem)
        if problem:
            return
        self._address = parse_address(address)
        self._listed = None
        self._forget_heard()
        self._fit_buttons()
        self.chosen.emit(address)
        self.refresh()

    def _chosen_address(self) -> str:
        """The thermometer as the fields say."""
        place = str(self._place.value() or NOWHERE)
        scheme, rest = scheme_and_rest(self.kinds.scheme, place, self.kinds.host.text().strip())
        kept = {
            k: v for k, v in self._address.query.items() if k == "every" and scheme == self._address.scheme
        }
        query = {**self.kinds.query(), **kept, **self.lines.query(), **self._also()}
        return write_address(scheme, rest, query)


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

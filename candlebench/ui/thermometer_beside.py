"""A second probe: where it hangs, and which it is: one more of the thermometer, or one of its own."""

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QComboBox, QPushButton, QVBoxLayout, QWidget

from candlebench.addresses import same_place
from candlebench.core.place import Place
from candlebench.core.units import Shown
from candlebench.thermometers.label_words import is_secondary
from candlebench.ui.page_frame import left, role_label
from candlebench.ui.thermometer_asked import OFFERED, SecondAsked
from candlebench.ui.thermometer_channels import by_name
from candlebench.ui.thermometer_form import ThermometerForm
from candlebench.ui.thermometer_parts import FormWords, Plugged, Second, SecondWish
from candlebench.ui.thermometer_rows import Rows, choice
from candlebench.words import tr

WHERE = (
    ("", tr("no second probe")),
    (Place.BATH.value, tr("in the water bath")),
    (Place.ROOM.value, tr("in the room")),
)
# Values of the second choice: a probe of the first thermometer by its name, one more that the first one is
# asked for, or a thermometer of its own.
CHANNEL, ASKED, ANOTHER = "channel:", "asked", "another"
LONGEST_NAME = 40


class BesideCard(QWidget):
    """Chooses a second probe. `chosen` carries a `SecondWish`, or None when there is to be none.

    Parameters
    ----------
    first : ThermometerForm
        The thermometer of the probe in the melt.
    second : Second
        What is so now.
    plugged : Plugged
    shown : Shown
    """

    chosen = Signal(object)

    def __init__(self, first: ThermometerForm, second: Second, plugged: Plugged, shown: Shown) -> None:
        super().__init__()
        self._first, self._second = first, second
        wish = second.wish()
        self._where = choice("", list(WHERE), wish.place.value if wish else "")
        self._which = choice("", [(ANOTHER, "")], _which_of(wish))
        self._name = _name_field(second.names, wish.probe if wish else "")
        words = FormWords(
            channel=tr("Second probe"),
            read=tr("Read it too"),
            unread=tr("The second probe is not read meanwhile."),
            likely=lambda channels: by_name(channels).beside,
        )
        self.form = ThermometerForm(
            wish.source if wish else "", second.source, plugged, shown, words, second.let_go, self._taken
        )
        self.form.lead(False)
        self.form.chosen.connect(self._own_chosen)
        self._use = QPushButton(words.read)
        self._use.clicked.connect(self._channel_chosen)
        self._use_row = left(self._use)
        self._says = role_label("", "lead")
        self._problem = role_label("", "problem")
        self._problem.hide()
        self._lay_out(wish.channel if wish else "")
        self._where.currentIndexChanged.connect(self._where_chosen)
        self._which.currentIndexChanged.connect(self._fit)
        self._name.editTextChanged.connect(self._fit)
        for field in self._asked.fields.values():
            field.textChanged.connect(self._fit)
        first.heard.connect(self._first_heard)
        first.kinds.changed.connect(self._first_changed)
        self.refresh()
        self._fit()

    def _lay_out(self, channel: str) -> None:
        self._lined = rows = Rows()
        rows.row(tr("It hangs"), self._where)
        which = rows.row(tr("Which one"), self._which)
        self._asked = SecondAsked(rows, self._first.kinds, self._first.address.scheme, channel)
        self._rows = (which, rows.row(tr("Its name"), self._name))
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(10)
        about = tr(
            "In the water bath it tells sooner what the wax will do. In the room it is read instead of typed."
        )
        for part in (
            role_label(tr("A second probe"), "section"),
            role_label(about, "muted"),
            rows,
            self.form,
            self.form.lines,
            self._problem,
            self._use_row,
            self._says,
        ):
            box.addWidget(part)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._line_up()

    def _line_up(self) -> None:
        """Its fields stand under those of the form that they belong to."""
        grids = (self._lined, self.form.kinds.rows if self._is_own else self._first.kinds.rows)
        widest = max(grid.label_px() for grid in grids)
        for grid in grids:
            grid.line_up(widest)

    # --- what is there ------------------------------------------------------------------------------------

    @property
    def place(self) -> Place | None:
        """Where it hangs as chosen; None for no second probe."""
        value = str(self._where.value() or "")
        return Place(value) if value else None

    @property
    def channel(self) -> str:
        """The probe of the first thermometer that is chosen, '' when none is."""
        if self._asks:
            return self._asked.text(self._first.scheme)
        which = str(self._which.value() or "")
        return which.removeprefix(CHANNEL) if self.place and which.startswith(CHANNEL) else ""

    def query(self) -> dict[str, str]:
        """What belongs behind the `?` of the first thermometer's address."""
        return {self.place.value: self.channel} if self.place and self.channel else {}

    @property
    def wish(self) -> SecondWish | None:
        """What is chosen, when it is a probe of the first thermometer."""
        if self.place is None or not self.channel:
            return None
        return SecondWish(self.place, self.channel, "", self._name.currentText().strip())

    def refresh(self) -> None:
        """Offer the probes of the first thermometer, and say what the second one says now."""
        if not self._which.view().isVisible():
            self._offer()
        if self._is_own:
            self.form.refresh()
        self._fit_parts()

    def refresh_ports(self) -> None:
        """List what is plugged in now."""
        if self._is_own and not self.form.is_list_open:
            self.form.refresh_ports()

    def stop(self) -> None:
        """Listen no more."""
        self.form.stop()

    def taken_by_second(self, address: str) -> str:
        """One sentence when this wire is read as the second probe, or what is asked for it cannot be."""
        if self.channel and self._asks and (problem := self._asked.problem(self._first.scheme)):
            return problem
        wish = self._second.wish()
        if wish is None or not wish.source or not same_place(wish.source, address):
            return ""
        return tr(
            "This one is read as the second probe: choose “no second probe” below, or another one here."
        )

    def _taken(self, address: str) -> str:
        if not self._first.reads(address):
            return ""
        return tr(
            "This one is read as the probe in the melt already: plug the second thermometer into another "
            "port, or choose one more probe of the first above."
        )

    @property
    def _asks(self) -> bool:
        """Whether the second probe is chosen as one more that the first thermometer is asked for."""
        return self.place is not None and self._which.value() == ASKED and self._first.scheme in OFFERED

    @property
    def _is_own(self) -> bool:
        return self.place is not None and self._which.value() == ANOTHER

    def _offer(self) -> None:
        named, present = self._first.named_channels(), self._which.value()
        in_melt = self._in_melt([name for name, _ in named])
        offered = [(CHANNEL + name, words) for name, words in named if name != in_melt]
        wish = self._second.wish()
        named_in_use = "" if wish is None or self._first.address.scheme in OFFERED else wish.channel
        if self._first.scheme in OFFERED:
            offered = [(ASKED, OFFERED[self._first.scheme])]
        elif named_in_use and all(value != CHANNEL + named_in_use for value, _ in offered):
            offered.append((CHANNEL + named_in_use, named_in_use))
        choices: list[tuple[object, str]] = [*offered, (ANOTHER, tr("another thermometer…"))]
        if choices != [
            (self._which.itemData(i), self._which.itemText(i)) for i in range(self._which.count())
        ]:
            self._which.offer(choices)
            # Until she has said that there is one, the board's next probe stands first.
            if self.place is None or not self._which.choose(present):
                self._which.setCurrentIndex(0)

    def _in_melt(self, names: Sequence[str]) -> str:
        """The probe in the melt: as she chose it, else the only one that is none by its name in the room."""
        chosen = str(self._first.lines.channel.value() or "")
        likely = [name for name in names if not is_secondary(name)]
        return chosen or (likely[0] if len(likely) == 1 else "")

    # --- choosing -----------------------------------------------------------------------------------------

    def _first_heard(self) -> None:
        """The first thermometer was listened to: its other probe is offered where its name says it hangs."""
        self.refresh()
        guess = by_name(self._first.channels)
        if guess.place is not None and self.place is None and self._second.wish() is None:
            self._where.choose(guess.place.value)
            self._which.choose(CHANNEL + guess.beside)
        self._fit()

    def _first_changed(self) -> None:
        """The first thermometer is said to speak in another way: what it can be asked for changes."""
        self.refresh()
        self._fit()

    def _where_chosen(self) -> None:
        if self.place is None:
            self.form.stop()
            if self._second.wish() is not None:
                self.chosen.emit(None)
        self._fit()

    def _channel_chosen(self) -> None:
        """Both probes are read over the first one's wire: it is read anew, and this one comes with it."""
        problem = self._asked.problem(self._first.scheme) if self._asks else ""
        self._say(problem)
        if not problem:
            self._first.choose()
        self._fit()

    def _say(self, sentence: str) -> None:
        self._problem.setText(sentence)
        self._problem.setVisible(bool(sentence))

    def _own_chosen(self, address: str) -> None:
        if self.place is not None:
            self.chosen.emit(SecondWish(self.place, "", address, self._name.currentText().strip()))
        self._fit()

    def _fit(self) -> None:
        if self._is_own:
            self.form.refresh_ports()
            self.form.refresh()
        self._fit_parts()

    def _fit_parts(self) -> None:
        wished = self.place is not None
        for row in self._rows:
            row.show(wished)
        self._asked.show(self._first.scheme if self._asks else "")
        if not self._asks:
            self._say("")
        self.form.setVisible(self._is_own)
        self._line_up()
        if not self._is_own:
            self.form.lines.hide()
        self._use_row.setVisible(bool(self.channel) or self._asks)
        in_use = self._second.wish()
        self._use.setEnabled(self.wish != in_use or not self.channel)
        says = self._second.says() if in_use is not None else ""
        self._says.setText(says)
        self._says.setVisible(bool(says))


def _which_of(wish: SecondWish | None) -> str:
    return CHANNEL + wish.channel if wish is not None and wish.channel else ANOTHER


def _name_field(names: Sequence[str], present: str) -> QComboBox:
    """To write a name in, or to choose one that is known."""
    field = QComboBox()
    field.setEditable(True)
    field.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
    field.addItems([*names])
    field.setEditText(present)
    line = field.lineEdit()
    if line is not None:
        line.setMaxLength(LONGEST_NAME)
        line.setPlaceholderText(tr("without a name"))
    return field

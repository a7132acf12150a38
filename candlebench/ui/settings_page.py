"""Settings: units, room, altitude, windows and limits of each wax, sound, text size, light or dark."""

from collections.abc import Callable
from dataclasses import fields, replace

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QCheckBox, QComboBox, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from candlebench.core.materials.water import local_boiling_c
from candlebench.core.materials.wax import Wax
from candlebench.core.setup import Limits
from candlebench.core.units import Shown
from candlebench.records.settings import ALTITUDE_M, ROOM_C, Settings
from candlebench.ui.fields import Form, NumberField
from candlebench.ui.page_frame import card, framed_page, left, role_label
from candlebench.ui.theme import TEXT_SIZES
from candlebench.words import tr

LOWEST_LIMIT_C, HIGHEST_LIMIT_C = 20.0, 150.0


def limit_words() -> dict[str, str]:
    """The limits' names for people."""
    return {
        "melted_c": tr("All is melted at"),
        "oil_low_c": tr("Oil window from"),
        "oil_high_c": tr("Oil window to"),
        "pour_low_c": tr("Pour window from"),
        "pour_high_c": tr("Pour window to"),
        "warn_c": tr("First warning"),
        "strong_c": tr("Strong warning"),
        "stop_c": tr("Stop heating"),
    }


class SettingsPage(QWidget):
    """Edits a `Settings`; emits the new one. `test_sound` asks for the sound."""

    changed = Signal(object)
    test_sound = Signal()

    def __init__(self, settings: Settings, waxes: dict[str, Wax], back: Callable[[], None]) -> None:
        super().__init__()
        self._settings, self._waxes = settings, waxes
        self._shown = Shown(settings.unit)
        self._fields: dict[str, NumberField] = {}
        self._notes: dict[str, QLabel] = {}
        body = QWidget()
        box = QVBoxLayout(body)
        box.setContentsMargins(24, 8, 24, 24)
        box.setSpacing(16)
        box.addWidget(self._looks())
        box.addWidget(self._place())
        box.addWidget(self._limits())
        box.addWidget(self._sound())
        box.addStretch(1)
        framed_page(self, tr("Settings"), body, back)

    def _looks(self) -> QWidget:
        form = Form()
        self._unit = _choice([("C", tr("°C, Celsius")), ("F", tr("°F, Fahrenheit"))], self._settings.unit)
        self._theme = _choice(
            [("system", tr("as the system")), ("light", tr("light")), ("dark", tr("dark"))],
            self._settings.theme,
        )
        self._text = _choice([(str(p), f"{p} %") for p in TEXT_SIZES], str(self._settings.text_percent))
        form.row(tr("Temperatures in"), self._unit)
        form.row(tr("Light or dark"), self._theme)
        form.row(tr("Text size"), self._text, tr("also Ctrl and + or −"))
        for box in (self._unit, self._theme, self._text):
            box.currentIndexChanged.connect(self._take)
        return card(role_label(tr("Looks"), "section"), form)

    def _place(self) -> QWidget:
        form, shown = Form(), self._shown
        self._room = NumberField(
            tr("Room"), shown.sign, shown.number(ROOM_C[0]), shown.number(ROOM_C[1]), True
        )
        self._room.show_number(None if self._settings.room_c is None else shown.number(self._settings.room_c))
        self._altitude = NumberField(tr("Height above the sea"), "m", *ALTITUDE_M)
        self._altitude.show_number(self._settings.altitude_m)
        remark = tr("{unit}; empty when not known. It narrows the forecast.").format(unit=shown.sign)
        form.row(tr("Room temperature"), self._room, remark)
        self._boils = form.row(tr("Height above the sea"), self._altitude, self._boiling_words())
        self._problem = role_label("", "problem")
        self._problem.hide()
        for field in (self._room, self._altitude):
            field.editingFinished.connect(self._take)
        return card(role_label(tr("Where you work"), "section"), form, self._problem)

    def _boiling_words(self) -> str:
        boils = self._shown.temp(round(local_boiling_c(self._settings.altitude_m), 1))
        return tr("m; water boils at {temp} there").format(temp=boils)

    def _limits(self) -> QWidget:
        form = Form()
        self._wax = _choice([(w.name, w.shown_name) for w in self._waxes.values()], self._settings.wax)
        self._wax.currentIndexChanged.connect(self._wax_changed)
        form.row(tr("Wax"), self._wax, tr("proposals; your own lot and results come first"))
        shown = self._shown
        for name, words in limit_words().items():
            field = NumberField(
                words, shown.sign, shown.number(LOWEST_LIMIT_C), shown.number(HIGHEST_LIMIT_C)
            )
            field.editingFinished.connect(self._take)
            self._fields[name] = field
            self._notes[name] = form.row(words, field)
        self._limit_problem = role_label("", "problem")
        self._limit_problem.hide()
        again = QPushButton(tr("Back to the proposals"))
        again.clicked.connect(self._propose)
        row = left(again)
        self._show_limits()
        return card(role_label(tr("Windows and limits"), "section"), form, self._limit_problem, row)

    def _sound(self) -> QWidget:
        self._sound_on = QCheckBox(tr("Play a sound with cues and warnings"))
        self._sound_on.setChecked(self._settings.sound)
        self._sound_on.toggled.connect(self._take)
        test = QPushButton(tr("Test the sound"))
        test.clicked.connect(self.test_sound)
        self._tested = role_label("", "muted")
        row = QWidget()
        box = QHBoxLayout(row)
        box.setContentsMargins(0, 0, 0, 0)
        box.addWidget(test)
        box.addSpacing(12)
        box.addWidget(self._tested, 1)
        return card(role_label(tr("Sound"), "section"), self._sound_on, row)

    def say_tested(self, sentence: str) -> None:
        """Show how the sound test went."""
        self._tested.setText(sentence)

    def _present_limits(self) -> Limits:
        wax = self._waxes[self._wax.currentData()]
        return replace(wax.limits, **self._settings.limits.get(wax.name, {}))

    def _show_limits(self) -> None:
        limits, wax = self._present_limits(), self._waxes[self._wax.currentData()]
        own = self._settings.limits.get(wax.name, {})
        for name, field in self._fields.items():
            field.show_number(self._shown.number(getattr(limits, name)))
            figure = wax.figures.get(name)
            proposed = self._shown.temp(figure.value) if figure else ""
            if name in own:
                words = tr("{unit}; yours, proposed is {temp}").format(unit=self._shown.sign, temp=proposed)
            elif figure is not None and figure.to_test:
                words = tr("{unit}; no figure is known: start here and test").format(unit=self._shown.sign)
            else:
                words = tr("{unit}; proposal").format(unit=self._shown.sign)
            self._notes[name].setText(words)
            self._notes[name].setToolTip(f"{figure.row}: {figure.source}" if figure else "")

    def _wax_changed(self) -> None:
        self._settings = replace(self._settings, wax=self._wax.currentData())
        self._show_limits()
        self.changed.emit(self._settings)

    def _propose(self) -> None:
        kept = {name: own for name, own in self._settings.limits.items() if name != self._wax.currentData()}
        self._settings = replace(self._settings, limits=kept)
        self._show_limits()
        self.changed.emit(self._settings)

    def _take(self) -> None:
        """Take what stands in the fields; what cannot be used is said and left alone."""
        settings, shown = self._settings, self._shown
        unit = self._unit.currentData()
        room = self._room.number()
        problem = self._room.problem() or self._altitude.problem()
        self._problem.setText(problem)
        self._problem.setVisible(bool(problem))
        settings = replace(
            settings,
            unit=unit,
            theme=self._theme.currentData(),
            text_percent=int(self._text.currentData()),
            sound=self._sound_on.isChecked(),
        )
        if not self._room.problem():
            settings = replace(settings, room_c=None if room is None else round(shown.back(room), 2))
        altitude_m = self._altitude.number()
        if altitude_m is not None:
            settings = replace(settings, altitude_m=altitude_m)
        settings = self._with_limits(settings)
        if settings == self._settings:
            return
        unit_changed = unit != self._settings.unit
        self._settings = settings
        if unit_changed:
            self._change_unit()
        self._boils.setText(self._boiling_words())
        self._show_notes_only()
        self.changed.emit(settings)

    def _with_limits(self, settings: Settings) -> Settings:
        wax = self._waxes[self._wax.currentData()]
        limits, own = wax.limits, dict(settings.limits.get(wax.name, {}))
        present = self._present_limits()
        wished: dict[str, float] = {}
        for name, field in self._fields.items():
            number = field.number()
            if number is None:
                return self._refuse_limits(settings, field.problem())
            # What the field shows is rounded: an untouched one keeps its exact value.
            exact = getattr(present, name)
            same = abs(number - self._shown.number(exact)) < 0.051
            wished[name] = exact if same else round(self._shown.back(number), 2)
        problem = limits_problem(Limits(**wished))
        if problem:
            return self._refuse_limits(settings, problem)
        self._limit_problem.hide()
        own = {f.name: wished[f.name] for f in fields(Limits) if wished[f.name] != getattr(limits, f.name)}
        kept = {name: each for name, each in settings.limits.items() if name != wax.name}
        return replace(settings, limits={**kept, wax.name: own} if own else kept)

    def _refuse_limits(self, settings: Settings, problem: str) -> Settings:
        self._limit_problem.setText(problem)
        self._limit_problem.show()
        return settings

    def _show_notes_only(self) -> None:
        if not self._limit_problem.isVisibleTo(self):
            self._show_limits()

    def _change_unit(self) -> None:
        """Show every number in the other unit."""
        self._shown = Shown(self._settings.unit)
        shown = self._shown
        self._room.use_range(shown.sign, shown.number(ROOM_C[0]), shown.number(ROOM_C[1]))
        for field in self._fields.values():
            field.use_range(shown.sign, shown.number(LOWEST_LIMIT_C), shown.number(HIGHEST_LIMIT_C))
        self._room.show_number(None if self._settings.room_c is None else shown.number(self._settings.room_c))


def limits_problem(limits: Limits) -> str:
    """'' when the windows and limits can be used together, else one sentence with what to do."""
    if limits.oil_low_c >= limits.oil_high_c:
        return tr("The oil window must begin below its end: make “from” the smaller number.")
    if limits.pour_low_c >= limits.pour_high_c:
        return tr("The pour window must begin below its end: make “from” the smaller number.")
    if not limits.warn_c <= limits.strong_c <= limits.stop_c:
        return tr("First warning, strong warning and stop must rise in that order.")
    if limits.oil_high_c > limits.strong_c:
        return tr("The oil window must end below the strong warning.")
    return ""


def _choice(options: list[tuple[str, str]], present: str) -> QComboBox:
    box = QComboBox()
    for value, words in options:
        box.addItem(words, value)
    place = box.findData(present)
    box.setCurrentIndex(max(0, place))
    box.setMaximumWidth(260)
    return box

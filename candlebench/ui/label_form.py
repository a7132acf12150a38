"""What stands on the labels: size, sheet, language, and every text to be edited."""

from collections.abc import Mapping
from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QComboBox,
    QGridLayout,
    QLabel,
    QLineEdit,
    QVBoxLayout,
    QWidget,
)

from candlebench.core.label_languages import LabelLanguage
from candlebench.core.labels import (
    MOST_LABELS,
    SIZE_MM,
    SIZES,
    LabelContent,
    LabelSize,
    Part,
    Shape,
    content_of,
    warning_texts,
)
from candlebench.core.plan.planning import Plan
from candlebench.core.plan.tables import Tables
from candlebench.ui.fields import NumberField
from candlebench.ui.label_notes import hazard_words, language_words, net_mass_words, notes_card
from candlebench.ui.label_sheet import size_words
from candlebench.ui.label_topics import TopicsCard
from candlebench.ui.page_frame import card, left, role_label
from candlebench.ui.theme import Theme
from candlebench.words import tr

_USUAL_SIZE = 4


class LabelForm(QWidget):
    """Fields for all of a label; `changed` says that one of them did.

    Parameters
    ----------
    plan : Plan or None
        What it proposes; empty fields without one.
    tables : Tables
    languages : mapping of str to LabelLanguage
    problems : tuple of str
        Sentences about language files that cannot be used.
    own_folder : Path
        Where she puts her own.
    sheet : str
        'a4' or 'letter', to begin with.
    maker : str
        Who makes the candles, as it was written last.
    """

    changed = Signal()

    def __init__(
        self,
        plan: Plan | None,
        tables: Tables,
        languages: Mapping[str, LabelLanguage],
        problems: tuple[str, ...],
        own_folder: Path,
        sheet: str,
        maker: str = "",
    ) -> None:
        super().__init__()
        self._plan, self._tables, self._languages = plan, tables, languages
        self._problems, self._own_folder = problems, own_folder
        self._proposed: dict[QLineEdit, str] = {}
        self.topics = TopicsCard()
        self.texts: dict[str, QLineEdit] = {}
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 10, 0)
        box.setSpacing(16)
        box.addWidget(self._sheet_card(sheet))
        box.addWidget(self._name_card())
        box.addWidget(self.topics)
        box.addWidget(notes_card(self._own_folder))
        box.addStretch(1)
        self.texts["maker"].setText(maker)
        self.texts["maker"].setCursorPosition(0)
        self._take_size()
        self._propose()
        self._connect()

    # --- what stands there --------------------------------------------------------------------------------

    @property
    def language(self) -> LabelLanguage:
        return self._languages[self._language.currentData()]

    @property
    def part(self) -> Part:
        return Part(self._part.currentData())

    @property
    def sheet(self) -> str:
        return str(self._sheet.currentData())

    def label_size(self) -> LabelSize | None:
        """The size; None while a field of it is wrong."""
        width, height = self.width_mm.number(), self.height_mm.number()
        chosen = self.sizes.currentData()
        if isinstance(chosen, LabelSize):
            return chosen
        if chosen is Shape.ROUND:
            height = width
        return None if width is None or height is None else LabelSize(chosen, width, height)

    def count(self) -> int | None:
        """How many labels; None while the field is wrong."""
        number = self._count.number()
        return None if number is None or number != int(number) else int(number)

    def problem(self) -> str:
        """'' when all fields can be used, else one sentence with what to do."""
        fields = {Shape.ROUND: [self.width_mm], Shape.RECTANGLE: [self.width_mm, self.height_mm]}.get(
            self.sizes.currentData(), []
        )
        fields = [self._count, *fields]
        found = next((field.problem() for field in fields if field.problem()), "")
        if not found and self.count() is None:
            found = tr("How many: write a whole number.")
        return found

    def content(self) -> LabelContent:
        """What the label bears, after the choice of its part."""
        words = self.language.texts
        batch, date = self.texts["batch"].text().strip(), self.texts["date"].text().strip()
        lines = [
            self.texts["maker"].text().strip(),
            words["batch"].format(batch=batch) if batch else "",
            words["made"].format(date=date) if date else "",
        ]
        return LabelContent(
            name=self.texts["name"].text().strip(),
            net_mass=self.texts["net_mass"].text().strip(),
            heading=self.topics.heading.text().strip(),
            warnings=self.topics.chosen(),
            statements=tuple(filter(None, [self.texts["statements"].text().strip()])),
            lines=tuple(filter(None, lines)),
            pictures=self.topics.pictures.isChecked(),
        ).part(self.part)

    def use(self, theme: Theme) -> None:
        """Take a theme: what is painted here does not follow the style sheet."""
        self.topics.use(theme)

    # --- cards --------------------------------------------------------------------------------------------

    def _sheet_card(self, sheet: str) -> QWidget:
        self.sizes = QComboBox()
        for size in SIZES:
            self.sizes.addItem(size_words(size), size)
        self.sizes.addItem(tr("own size, round"), Shape.ROUND)
        self.sizes.addItem(tr("own size, rectangle"), Shape.RECTANGLE)
        self.sizes.setCurrentIndex(_USUAL_SIZE)
        self._part = _choice(
            [
                (Part.ALL.value, tr("everything")),
                (Part.NAME.value, tr("name and contents only")),
                (Part.WARNINGS.value, tr("warnings only")),
            ]
        )
        self._sheet = _choice([("a4", tr("A4")), ("letter", tr("Letter"))])
        self._sheet.setCurrentIndex(self._sheet.findData(sheet))
        self._count = NumberField(tr("How many"), "", 1, MOST_LABELS)
        self._count.setText(str(self._plan.request.count if self._plan is not None else 1))
        self._language = _choice([(each.code, each.name) for each in self._languages.values()])
        grid = _grid()
        # The choices are short: they stand beside their names, and what is left stays empty.
        grid.setColumnStretch(1, 0)
        grid.setColumnStretch(2, 1)
        _row(grid, 0, tr("Size"), self.sizes)
        self._own_label = _row(grid, 1, tr("Own size"), self._own_size())
        _row(grid, 2, tr("On it"), self._part)
        _row(grid, 3, tr("Sheet"), self._sheet)
        _row(grid, 4, tr("How many"), self._count)
        _row(grid, 5, tr("Language"), self._language)
        self._language_note = role_label("", "warning")
        self._language_problem = role_label(" ".join(self._problems), "problem")
        self._language_problem.setVisible(bool(self._problems))
        return card(
            role_label(tr("Size and sheet"), "section"),
            _with(grid),
            self._language_note,
            self._language_problem,
        )

    def _own_size(self) -> QWidget:
        low, high = SIZE_MM
        self.width_mm = NumberField(tr("Width"), tr("mm"), low, high)
        self.height_mm = NumberField(tr("Height"), tr("mm"), low, high)
        self._times = role_label(tr("×"), "lead", wrap=False)
        self._own = left(
            self.width_mm, self._times, self.height_mm, role_label(tr("mm"), "muted", wrap=False)
        )
        return self._own

    def _name_card(self) -> QWidget:
        rows = {
            "name": (tr("Name"), tr("what you call the candle")),
            "net_mass": (tr("Net mass"), tr("weigh a finished candle")),
            "statements": (tr("Contains"), tr("from the oils of the plan")),
            "maker": (tr("Maker"), tr("name, address, telephone")),
            "batch": (tr("Batch"), ""),
            "date": (tr("Date made"), ""),
        }
        grid = _grid()
        for line, (key, (name, hint)) in enumerate(rows.items()):
            field = self._text_field(key, name)
            field.setPlaceholderText(hint)
            field.setToolTip(hint)
            _row(grid, line, name, field)
        self._skin_note = role_label("", "warning")
        self._mass_note = role_label(net_mass_words(self._plan), "muted")
        self._mass_note.setVisible(bool(self._mass_note.text()))
        heading = role_label(tr("Name and contents"), "section")
        return card(heading, _with(grid), self._mass_note, self._skin_note)

    def _text_field(self, key: str, name: str) -> QLineEdit:
        field = QLineEdit()
        field.setAccessibleName(name)
        self.texts[key] = field
        return field

    # --- what it proposes ---------------------------------------------------------------------------------

    def _connect(self) -> None:
        self.sizes.currentIndexChanged.connect(self._take_size)
        self._language.currentIndexChanged.connect(self._propose)
        for box in (self.sizes, self._language, self._part, self._sheet):
            box.currentIndexChanged.connect(self._say)
        for field in (*self.texts.values(), self.width_mm, self.height_mm, self._count):
            field.textChanged.connect(self._say)
        self.topics.changed.connect(self._say)

    def _say(self) -> None:
        self.changed.emit()

    def _take_size(self) -> None:
        """A chosen size fills the fields; an own one leaves them to be written in."""
        chosen = self.sizes.currentData()
        own = not isinstance(chosen, LabelSize)
        if not own:
            self.width_mm.show_number(chosen.width_mm)
            self.height_mm.show_number(chosen.height_mm)
        self._own_label.setVisible(own)
        self._own.setVisible(own)
        for part in (self._times, self.height_mm):
            part.setVisible(chosen is Shape.RECTANGLE)

    def _propose(self) -> None:
        """Fill in the words of the language; what she has written herself stays."""
        language, words = self.language, warning_texts(self.language, self._tables)
        wished = {**words, "heading": language.texts["heading"]}
        if self._plan is not None:
            content = content_of(self._plan, language, self._tables)
            wished |= {
                "name": content.name,
                "net_mass": content.net_mass,
                "statements": " ".join(content.statements),
            }
        fields = {**self.texts, **self.topics.texts, "heading": self.topics.heading}
        for key, text in wished.items():
            field = fields[key]
            if field.text() == self._proposed.get(field, ""):
                field.setText(text)
                field.setCursorPosition(0)
            self._proposed[field] = text
        self._language_note.setText(language_words(language))
        self._language_note.setVisible(bool(self._language_note.text()))
        self._skin_note.setText(hazard_words(self._plan))
        self._skin_note.setVisible(bool(self._skin_note.text()))


def _choice(options: list[tuple[str, str]]) -> QComboBox:
    box = QComboBox()
    for value, words in options:
        box.addItem(words, value)
    return box


def _row(grid: QGridLayout, line: int, name: str, field: QWidget) -> QLabel:
    label = role_label(name, "lead", wrap=False)
    label.setBuddy(field)
    grid.addWidget(label, line, 0)
    grid.addWidget(field, line, 1)
    return label


def _grid() -> QGridLayout:
    grid = QGridLayout()
    grid.setContentsMargins(0, 0, 0, 0)
    grid.setHorizontalSpacing(12)
    grid.setVerticalSpacing(8)
    grid.setColumnStretch(1, 1)
    return grid


def _with(grid: QGridLayout) -> QWidget:
    widget = QWidget()
    widget.setLayout(grid)
    return widget

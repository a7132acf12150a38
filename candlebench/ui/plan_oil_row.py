"""One oil of a plan: which, how many parts of the blend, and what its data sheet and its price say."""

from dataclasses import dataclass

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QPushButton, QVBoxLayout, QWidget

from candlebench.core.cupboard import OilBottle
from candlebench.core.materials.oil import EssentialOil, described_oil
from candlebench.core.plan.oil_part import OilLine
from candlebench.core.plan.request import OilPart
from candlebench.core.plan.rows import to_row
from candlebench.core.units import Shown
from candlebench.ui.plan_choice import PlanChoice
from candlebench.ui.plan_field import PlanField, SteadyLabel, cell
from candlebench.ui.theme import Theme
from candlebench.words import tr


@dataclass(frozen=True, slots=True)
class Choice:
    """What an oil is chosen from: `kind` is 'none', 'table', 'bottle' or 'sheet' (its data sheet only)."""

    kind: str
    name: str = ""


NO_OIL = Choice("none")
BY_SHEET = Choice("sheet")


class OilRow(QWidget):
    """Emits `edited`, and `unwanted` when it is to go."""

    edited = Signal()
    unwanted = Signal()

    def __init__(
        self, choices: list[tuple[Choice, str]], bottles: dict[str, OilBottle], shown: Shown
    ) -> None:
        super().__init__()
        self._shown = shown
        # A kind of the table under a name that no bottle has any more: kept as it was.
        self._kept: EssentialOil | None = None
        self._large = False
        self.oil = PlanChoice(tr("Oil"))
        self.offer(choices, bottles)
        self.parts = PlanField(tr("Parts of the blend"), tr("parts"))
        self.parts.show_number(1.0)
        self.weigh = SteadyLabel("muted")
        self.weigh.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        self.sheet = _link(tr("data sheet"))
        self.sheet.setCheckable(True)
        self.remove = _link(tr("remove"))
        self.name = QLineEdit()
        self.name.setAccessibleName(tr("Name of the oil"))
        self.name.setPlaceholderText(tr("my oil"))
        self.density = PlanField(tr("Density"), "g/mL", 0.001, empty=tr("table"))
        self.flash = PlanField(tr("Flash point"), shown.sign, empty=tr("table"))
        self.price = PlanField(tr("Price of one mL"), "", 0.01, empty=tr("–"))
        self._lay_out()
        self._connect()
        self._chosen()

    def offer(self, choices: list[tuple[Choice, str]], bottles: dict[str, OilBottle]) -> None:
        """Offer these oils, the bottles of the cupboard by their names."""
        self._bottles = bottles
        self.oil.offer(list(choices))

    def _lay_out(self) -> None:
        first = QHBoxLayout()
        first.setSpacing(10)
        first.addWidget(self.oil, 7)
        first.addWidget(self.parts, 4)
        second = QHBoxLayout()
        second.setSpacing(6)
        second.addWidget(self.weigh, 1)
        second.addWidget(self.sheet)
        second.addWidget(self.remove)
        third = QHBoxLayout()
        third.setSpacing(10)
        third.addWidget(cell(tr("Density"), self.density), 1)
        third.addWidget(cell(tr("Flash point"), self.flash), 1)
        third.addWidget(cell(tr("1 mL costs"), self.price), 1)
        self._name_cell = cell(tr("Name"), self.name)
        self._sheet = QWidget()
        sheet = QVBoxLayout(self._sheet)
        sheet.setContentsMargins(0, 2, 0, 6)
        sheet.setSpacing(8)
        sheet.addWidget(self._name_cell)
        sheet.addLayout(third)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(2)
        box.addLayout(first)
        box.addLayout(second)
        box.addWidget(self._sheet)
        self._sheet.hide()

    def _connect(self) -> None:
        for field in (self.parts, self.density, self.flash, self.price):
            field.textEdited.connect(self.edited)
        self.name.textEdited.connect(self.edited)
        self.name.returnPressed.connect(self.name.focusNextChild)
        self.oil.currentIndexChanged.connect(self._choose)
        self.sheet.toggled.connect(self._sheet.setVisible)
        self.remove.clicked.connect(self.unwanted)

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        self._large = theme.large
        for part in (self.parts, self.density, self.flash, self.price, self.weigh):
            part.use(theme)

    def order(self) -> tuple[QWidget, ...]:
        """Its fields in the order of the Tab key."""
        return (
            self.oil,
            self.parts,
            self.name,
            self.density,
            self.flash,
            self.price,
            self.sheet,
            self.remove,
        )

    # --- what is chosen -----------------------------------------------------------------------------------

    @property
    def choice(self) -> Choice:
        chosen = self.oil.value()
        return chosen if isinstance(chosen, Choice) else NO_OIL

    def _choose(self) -> None:
        self._kept = None
        for field in (self.density, self.flash, self.price):
            field.show_number(None)
        bottle = self._bottles.get(self.choice.name) if self.choice.kind == "bottle" else None
        if bottle is not None and bottle.price is not None:
            self.price.show_number(bottle.price.each)
        self._chosen()
        self.edited.emit()

    def _chosen(self) -> None:
        by_sheet = self.choice == BY_SHEET
        for field in (self.density, self.flash):
            field.setPlaceholderText(tr("needed") if by_sheet else tr("table"))
        self._name_cell.setVisible(by_sheet)
        if by_sheet:
            self.sheet.setChecked(True)
        none = self.choice == NO_OIL
        self.sheet.setEnabled(not none)
        self.sheet.setAccessibleName(tr("Data sheet and price of {oil}").format(oil=self.oil.currentText()))
        self.remove.setAccessibleName(tr("Remove {oil}").format(oil=self.oil.currentText()))

    def essential_oil(self) -> EssentialOil | None:
        """The oil that is chosen, with the typed figures; None when there is none.

        Raises
        ------
        FixableError
            A figure is impossible or missing.
        """
        choice, density = self.choice, self.density.number()
        flash = self.flash.number()
        flash_c = None if flash is None else self._shown.back(flash)
        match choice.kind:
            case "none":
                return None
            case "sheet":
                return described_oil(self.name.text().strip() or tr("my oil"), "", density, flash_c)
            case "bottle":
                bottle = self._bottles[choice.name]
                return described_oil(
                    bottle.name,
                    bottle.oil,
                    bottle.density_g_per_ml if density is None else density,
                    bottle.flash_c if flash_c is None else flash_c,
                )
        name = self._kept.name if self._kept is not None else choice.name
        return described_oil(name, choice.name, density, flash_c)

    def problems(self) -> list[str]:
        """What could not be read of its numbers."""
        fields = (self.parts, self.density, self.flash, self.price)
        return [field.problem() for field in fields if field.problem()]

    def show_part(self, part: OilPart, price: float | None) -> None:
        """Show an oil of a request."""
        oil = part.oil
        kept = to_row(part)["oil"]
        density, flash_c = kept.get("density_g_per_ml"), kept.get("flash_c")
        bottle = self._bottles.get(oil.name)
        if bottle is not None:
            choice = Choice("bottle", bottle.name)
            density = None if density == bottle.density_g_per_ml else density
            flash_c = None if flash_c == bottle.flash_c else flash_c
        else:
            choice = Choice("table", oil.table_name) if oil.table_name else BY_SHEET
        blocked = self.oil.blockSignals(True)
        self.oil.choose(choice)
        self.oil.blockSignals(blocked)
        self._kept = oil if bottle is None and oil.table_name and oil.name != oil.table_name else None
        self.name.setText(oil.name if choice == BY_SHEET else "")
        self.density.show_number(density)
        self.flash.show_number(None if flash_c is None else self._shown.number(flash_c))
        self.price.show_number(price)
        self.parts.show_number(part.parts)
        self.sheet.setChecked(choice == BY_SHEET or density is not None or flash_c is not None)
        self._chosen()

    def show_line(self, line: OilLine | None) -> None:
        """Show what to weigh in of it; nothing when no plan can be made."""
        if line is None:
            self.weigh.say("")
            return
        # Large text drops the word, not the amounts.
        text = tr("{grams}, {volume}") if self._large else tr("weigh {grams}, {volume}")
        self.weigh.say(text.format(grams=line.weigh_g.shown, volume=line.volume_ml.shown))

    def mark(self, fault: str) -> None:
        """Mark the field that is wrong: the one that cannot be read, or the one the sentence is about."""
        fields = (self.parts, self.density, self.flash, self.price)
        unread = [field for field in fields if field.problem()]
        parts_wrong = (self.parts.number() or 0.0) <= 0.0
        for field in fields:
            field.mark(fault if fault and field in unread else "")
        if fault and not unread:
            if parts_wrong:
                self.parts.mark(fault)
            elif self.choice == BY_SHEET and self.density.number() is None:
                self.density.mark(fault)
            else:
                self.oil.mark(fault)
                return
        self.oil.mark("")


def _link(words: str) -> QPushButton:
    button = QPushButton(words)
    button.setProperty("role", "link")
    button.setCursor(Qt.CursorShape.PointingHandCursor)
    return button

"""What this melt is made of: name, wax, weights, oil, room. Corrections count from then on."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QCheckBox, QComboBox, QLineEdit, QPushButton, QVBoxLayout, QWidget

from candlebench.core.materials.wax import Wax
from candlebench.core.setup import MeltSetup, Oil
from candlebench.core.units import Shown
from candlebench.records.settings import MASS_G, ROOM_C
from candlebench.ui.fields import Form, NumberField
from candlebench.ui.page_frame import card, framed_page, left, role_label
from candlebench.words import tr

MOST_ML = 100_000.0
FLASH_C = (30.0, 250.0)
# design.md: 6 % of the wax is the usual limit for beeswax; above it is said, not forbidden.
USUAL_SHARE = 0.06
LONGEST_NAME = 40


class DetailsPage(QWidget):
    """Edits a `MeltSetup`; emits the new one without its limits, which the workshop works out.

    `names` holds the names of lots, jugs and probes that are known already, to choose from.
    """

    changed = Signal(object)

    def __init__(
        self,
        setup: MeltSetup,
        waxes: dict[str, Wax],
        shown: Shown,
        back: Callable[[], None],
        names: Mapping[str, Sequence[str]] | None = None,
    ) -> None:
        super().__init__()
        self._setup, self._shown = setup, shown
        oil = setup.oil or Oil("")
        form = Form()
        self._title = QLineEdit(setup.title)
        self._title.setMaxLength(80)
        self._title.setMinimumWidth(300)
        self._title.setAccessibleName(tr("Name of this melt"))
        self._wax = _as_wide_as_the_others(QComboBox())
        for wax in waxes.values():
            self._wax.addItem(wax.shown_name, wax.name)
        self._wax.setCurrentIndex(max(0, self._wax.findData(setup.wax)))
        self._wax_g = NumberField(tr("Wax"), "g", *MASS_G, optional=True)
        self._wax_g.show_number(setup.wax_g)
        self._plain = QCheckBox(tr("Plain, without oil"))
        self._plain.setChecked(setup.oil is None)
        self._oil_name = QLineEdit(oil.name)
        self._oil_name.setMaxLength(60)
        self._oil_name.setAccessibleName(tr("Oil"))
        self._oil_g = NumberField(tr("Weight of the oil"), "g", *MASS_G, optional=True)
        self._oil_g.show_number(oil.mass_g)
        self._oil_ml = NumberField(tr("Volume of the oil"), "mL", 0.0, MOST_ML, optional=True)
        self._oil_ml.show_number(oil.volume_ml)
        low, high = (shown.number(t) for t in FLASH_C)
        self._flash = NumberField(tr("Flash point of the scented wax"), shown.sign, low, high, optional=True)
        self._flash.show_number(None if oil.scented_flash_c is None else shown.number(oil.scented_flash_c))
        low, high = (shown.number(t) for t in ROOM_C)
        self._room = NumberField(tr("Room"), shown.sign, low, high, optional=True)
        self._room.show_number(None if setup.room_c is None else shown.number(setup.room_c))
        form.row(tr("Name"), self._title)
        form.row(tr("Wax"), self._wax)
        form.row(tr("Weight of the wax"), self._wax_g, tr("g; empty when not weighed"))
        form.row("", self._plain)
        form.row(tr("Oil"), self._oil_name, tr("lavender, orange …"))
        self._share = form.row(tr("Weight of the oil"), self._oil_g, "")
        form.row(tr("Volume of the oil"), self._oil_ml, tr("mL, for measuring; weigh if you can"))
        form.row(
            tr("Flash point"),
            self._flash,
            tr(
                "{unit} of the scented wax, an estimate (± 10 °C); empty when not known. "
                "It closes the oil window earlier."
            ).format(unit=shown.sign),
        )
        form.row(tr("Room"), self._room, tr("{unit}; empty when not known").format(unit=shown.sign))
        self._lot, self._jug, self._probe = self._name_fields(names or {})
        form.row(tr("Lot of wax"), self._lot)
        form.row(tr("Jug"), self._jug)
        form.row(tr("Probe"), self._probe)
        names_note = role_label(
            tr("With a name, each melt teaches the next one with the same lot, jug or probe."), "muted"
        )
        self._problem = role_label("", "problem")
        self._problem.hide()
        use = QPushButton(tr("Use for this melt"))
        use.setProperty("role", "main")
        use.clicked.connect(self._take)
        row = left(use)
        for field in (self._wax_g, self._oil_g):
            field.textChanged.connect(self._show_share)
        self._plain.toggled.connect(self._show_plain)
        self._show_plain(self._plain.isChecked())
        self._show_share()
        body = QWidget()
        outer = QVBoxLayout(body)
        outer.setContentsMargins(24, 8, 24, 24)
        outer.addWidget(card(form, names_note, self._problem, row))
        outer.addStretch(1)
        framed_page(self, tr("This melt"), body, back)

    def take_focus(self) -> None:
        """Let typing begin at the name."""
        self._title.setFocus()
        self._title.selectAll()

    def _name_fields(self, names: Mapping[str, Sequence[str]]) -> tuple[QComboBox, ...]:
        """Fields to write a name in, or to choose one that is known."""
        fields = []
        for kind, present, spoken in (
            ("lot", self._setup.lot, tr("Lot of wax")),
            ("jug", self._setup.jug, tr("Jug")),
            ("probe", self._setup.probe, tr("Probe")),
        ):
            field = _as_wide_as_the_others(QComboBox())
            field.setEditable(True)
            field.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
            for name in names.get(kind, ()):
                field.addItem(name)
            field.setEditText(present)
            field.setAccessibleName(spoken)
            line = field.lineEdit()
            if line is not None:
                line.setMaxLength(LONGEST_NAME)
                line.setPlaceholderText(tr("without a name"))
            fields.append(field)
        return tuple(fields)

    def _show_plain(self, plain: bool) -> None:
        for field in (self._oil_name, self._oil_g, self._oil_ml, self._flash):
            field.setEnabled(not plain)

    def _show_share(self) -> None:
        wax_g, oil_g = self._wax_g.number(), self._oil_g.number()
        words = tr("g; empty when not weighed yet")
        if wax_g and oil_g:
            share = oil_g / wax_g
            words = tr("g; {share:.1f} % of the wax").format(share=100 * share)
            if share > USUAL_SHARE + 0.005:
                words += tr(", more than the usual 6 %: scent may sweat out and it flashes sooner")
        self._share.setText(words)

    def _take(self) -> None:
        numbers = (self._wax_g, self._room, self._oil_g, self._oil_ml, self._flash)
        problem = next((f.problem() for f in numbers if f.isEnabled() and f.problem()), "")
        self._problem.setText(problem)
        self._problem.setVisible(bool(problem))
        if problem:
            return
        flash, room = self._flash.number(), self._room.number()
        oil = None
        if not self._plain.isChecked():
            oil = Oil(
                self._oil_name.text().strip(),
                self._oil_g.number() or None,
                self._oil_ml.number() or None,
                None if flash is None else self._shown.back(flash),
            )
        self.changed.emit(
            replace(
                self._setup,
                title=self._title.text().strip() or self._setup.title,
                wax=self._wax.currentData(),
                wax_g=self._wax_g.number() or None,
                oil=oil,
                room_c=None if room is None else round(self._shown.back(room), 2),
                lot=self._lot.currentText().strip(),
                jug=self._jug.currentText().strip(),
                probe=self._probe.currentText().strip(),
            )
        )


def _as_wide_as_the_others(field: QComboBox) -> QComboBox:
    """However long the names in it are, so that the remarks keep their place in large text."""
    field.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
    field.setMinimumContentsLength(8)
    return field

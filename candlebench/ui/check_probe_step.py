"""The first step of a check: which probe, of what kind, and how high the kitchen lies."""

from collections.abc import Callable, Sequence
from uuid import UUID

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QVBoxLayout, QWidget

from candlebench.core.errors import FixableError
from candlebench.core.trust.classes import UNNAMED_CLASS, load_classes
from candlebench.core.trust.finding import spread_words
from candlebench.core.trust.points import COVERAGE, HIGHEST_HPA, LOWEST_HPA
from candlebench.records.settings import ALTITUDE_M
from candlebench.ui.check_course import Air, Course
from candlebench.ui.check_history import HistoryCard, trust_words
from candlebench.ui.check_parts import set_words
from candlebench.ui.check_shop import CheckShop
from candlebench.ui.details_page import LONGEST_NAME
from candlebench.ui.fields import NumberField
from candlebench.ui.page_frame import card, role_label
from candlebench.ui.thermometer_rows import Rows, choice
from candlebench.words import tr

HERE, REPORT = "here", "report"


class ProbeStep(QWidget):
    """Fills the course's name, kind and air. `begun` says that they are good and the check may go on."""

    renamed = Signal()

    def __init__(self, course: Course, shop: CheckShop, names: Sequence[str]) -> None:
        super().__init__()
        self._course, self._shop = course, shop
        self.name = _name_field(names, shop.usual_name())
        kinds: list[tuple[object, str]] = [("", tr("not known"))]
        kinds += [(each.name, each.shown_name) for each in load_classes().values()]
        self._kind = choice(tr("Kind"), kinds, UNNAMED_CLASS)
        self._altitude = NumberField(tr("Height above the sea"), "m", *ALTITUDE_M)
        self._altitude.show_number(shop.altitude_m)
        self._pressure = NumberField(tr("Air pressure"), "hPa", LOWEST_HPA, HIGHEST_HPA, optional=True)
        self._how = choice(
            tr("Where the pressure is from"),
            [(HERE, tr("a barometer in this place")), (REPORT, tr("a weather report, for sea level"))],
            HERE,
        )
        for field in (self._altitude, self._pressure):
            # As wide as the others.
            field.setMaximumWidth(16777215)
        rows = Rows()
        rows.row(tr("Probe"), self.name, tr("Any name that you will know it by again."))
        self._kind_row = rows.row(tr("Kind"), self._kind, " ")
        rows.row(tr("Height above the sea, m"), self._altitude)
        rows.row(tr("Air pressure, hPa"), self._pressure, tr("May stay empty; with it the check is surer."))
        self._how_row = rows.row(tr("It is from"), self._how)
        self._boils = role_label("", "lead")
        self._problem = role_label("", "problem")
        self._problem.hide()
        self.history = HistoryCard(shop.shown, self._leave_out, self._use_again)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(16)
        box.addWidget(card(rows, self._boils, self._problem))
        box.addWidget(self.history)
        box.addStretch(1)
        self.name.currentTextChanged.connect(self.refresh)
        self._kind.currentIndexChanged.connect(self._show_kind)
        for field in (self._altitude, self._pressure):
            field.textChanged.connect(self._show_boiling)
        self._how.currentIndexChanged.connect(self._show_boiling)
        self._show_kind()
        self._show_boiling()
        self.refresh()

    def fill(self, course: Course) -> None:
        """Show what was filled in before."""
        self.name.setEditText(course.name)
        self._kind.choose(course.class_name)
        self._altitude.show_number(course.air.altitude_m)
        self._pressure.show_number(course.air.pressure_hpa)
        self._how.choose(REPORT if course.air.by_report else HERE)

    @property
    def probe_name(self) -> str:
        """What stands in the field of the name."""
        return " ".join(self.name.currentText().split())

    def refresh(self) -> None:
        """Show what is known of the probe that is named now."""
        name = self.probe_name
        self._course.name = name
        set_words(self._problem, "")
        try:
            history = self._shop.history(name) if name else ()
            correction, plunge = self._shop.correction(name), self._shop.plunge(name)
            known = self._shop.known_probe(name) if plunge is not None else None
            faults = list(self._shop.faults())
        except FixableError as error:
            set_words(self._problem, str(error))
            self.history.hide()
            return
        self.history.setVisible(bool(name))
        said, cautions = trust_words(correction, plunge, known, self._shop.today, self._shop.shown)
        self.history.show_probe(name, said, cautions + faults, history)
        self.renamed.emit()

    def ready(self) -> bool:
        """Whether the name, height and pressure can be; if not, the sentence is shown at its field."""
        problem, field = self._problem_and_field()
        set_words(self._problem, problem)
        if field is not None:
            field.setFocus()
            return False
        self._course.name = self.probe_name
        self._shop.use_altitude(self._course.air.altitude_m)
        return True

    def _problem_and_field(self) -> tuple[str, QWidget | None]:
        if not self.probe_name:
            return tr("Give the probe a name first, so that its check is found again."), self.name
        for field in (self._altitude, self._pressure):
            if field.problem():
                return field.problem(), field
        try:
            self._course.use_air(self._air())
        except FixableError as error:
            return str(error), self._pressure
        return "", None

    def _air(self) -> Air:
        altitude_m = self._altitude.number()
        assert altitude_m is not None
        return Air(altitude_m, self._pressure.number(), self._how.currentData() == REPORT)

    def _show_kind(self) -> None:
        name = str(self._kind.currentData() or "")
        self._course.class_name = name
        text = tr("Nothing is said about what it may be off.")
        if name:
            shown, known = self._shop.shown, load_classes()[name]
            text = tr("May be off by {low} in ice and {high} in boiling water.").format(
                low=f"{shown.difference(known.tolerance_k(0.0)):.1f} {shown.sign}",
                high=f"{shown.difference(known.tolerance_k(100.0)):.1f} {shown.sign}",
            )
        self._kind_row.note.setText(text)

    def _show_boiling(self) -> None:
        self._how_row.show(bool(self._pressure.text().strip()))
        text = ""
        if not self._altitude.problem() and not self._pressure.problem():
            try:
                point, shown = self._air().boiling(), self._shop.shown
                text = tr("Water boils here at {temp}, give or take {spread}.").format(
                    temp=f"{shown.number(point.true_c):.1f} {shown.sign}",
                    spread=spread_words(COVERAGE * point.sd_k, shown),
                )
                set_words(self._problem, "")
            except FixableError as error:
                set_words(self._problem, str(error))
        self._boils.setText(text)
        self._boils.setVisible(bool(text))

    def _leave_out(self, uuid: UUID) -> None:
        self._change(lambda: self._shop.leave_out(self.probe_name, uuid))

    def _use_again(self, uuid: UUID) -> None:
        self._change(lambda: self._shop.use_again(self.probe_name, uuid))

    def _change(self, change: Callable[[], None]) -> None:
        try:
            change()
        except FixableError as error:
            set_words(self._problem, str(error))
            return
        self.refresh()
        self.name.setFocus()


def _name_field(names: Sequence[str], present: str) -> QComboBox:
    """A field to write a name in, or to choose one that is known."""
    field = QComboBox()
    field.setEditable(True)
    field.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
    for name in names:
        field.addItem(name)
    field.setEditText(present or (names[0] if names else ""))
    line = field.lineEdit()
    if line is not None:
        line.setMaxLength(LONGEST_NAME)
        line.setPlaceholderText(tr("with the red cable, kitchen probe …"))
    return field

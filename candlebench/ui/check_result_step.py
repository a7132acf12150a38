"""What a check comes to: what is true where it shows so much, how sure that is, and whether to use it."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QBoxLayout, QFrame, QGridLayout, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from candlebench.core.correction import Correction
from candlebench.core.errors import FixableError
from candlebench.core.trust.check import ProbeCheck
from candlebench.core.trust.classes import Verdict
from candlebench.core.trust.finding import Finding, finding, spread_words
from candlebench.core.trust.line import uncertainty_k
from candlebench.core.trust.points import PointKind
from candlebench.core.units import Shown
from candlebench.ui.check_course import Course
from candlebench.ui.check_error_plot import ErrorPlot, error_picture
from candlebench.ui.check_parts import announce, set_words
from candlebench.ui.check_shop import CheckShop
from candlebench.ui.page_frame import role_label
from candlebench.ui.plan_rows import Sign
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr

VALUE_PX = 28


class ResultStep(QFrame):
    """Shows the finding of the course's check. `changed` says that it was kept."""

    changed = Signal()

    def __init__(self, course: Course, shop: CheckShop) -> None:
        super().__init__()
        self.setObjectName("card")
        self._course, self._shop = course, shop
        self._theme = Theme(LIGHT)
        self._kept: tuple[ProbeCheck, str] | None = None
        # In force before this one; the drift is told from there.
        self._earlier: Correction | None = None
        self._compared: tuple[ProbeCheck, str] | None = None
        self._heading = role_label("", "question")
        self._lead = role_label("", "lead")
        self._table = QGridLayout()
        self._table.setHorizontalSpacing(24)
        self._table.setVerticalSpacing(4)
        self.plot = ErrorPlot()
        self._sign = Sign("")
        self._verdict = role_label("", "lead")
        self._mostly, self._drift = role_label("", "muted"), role_label("", "lead")
        self._cautions = role_label("", "warning")
        self._problem = role_label("", "problem")
        self._problem.hide()
        self._said = role_label("", "lead")
        holder = QWidget()
        holder.setLayout(self._table)
        self._table.setContentsMargins(0, 0, 0, 0)
        self._middle = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._middle.setSpacing(32)
        self._middle.addWidget(holder, 0, Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft)
        self._middle.addWidget(self.plot, 1, Qt.AlignmentFlag.AlignTop)
        verdict = QHBoxLayout()
        verdict.setSpacing(10)
        verdict.addWidget(self._sign, 0, Qt.AlignmentFlag.AlignTop)
        verdict.addWidget(self._verdict, 1)
        box = QVBoxLayout(self)
        box.setContentsMargins(24, 18, 24, 18)
        box.setSpacing(10)
        box.addWidget(self._heading)
        box.addWidget(self._said)
        box.addWidget(self._lead)
        box.addSpacing(4)
        box.addLayout(self._middle)
        box.addLayout(verdict)
        for part in (self._drift, self._mostly, self._cautions, self._problem):
            box.addWidget(part)
        box.addStretch(1)

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        self._theme = theme
        self.plot.use(theme, self._course.shown)
        self._sign.use(theme)
        self.refresh()

    def lie_flat(self, flat: bool) -> None:
        """Put the drawing below the table, or beside it."""
        wanted = QBoxLayout.Direction.TopToBottom if flat else QBoxLayout.Direction.LeftToRight
        self._middle.setDirection(wanted)

    # --- showing ------------------------------------------------------------------------------------------

    @property
    def check(self) -> ProbeCheck | None:
        """The check as it stands."""
        return self._course.check(self._shop.today.isoformat())

    @property
    def is_kept(self) -> bool:
        """Whether the check, as it stands, is in the records."""
        return self._kept is not None and self._kept == (self.check, self._course.name)

    def refresh(self) -> None:
        """Work out what the check comes to."""
        check = self.check
        for part in (self.plot, self._sign, self._verdict, self._drift, self._mostly, self._cautions):
            part.setVisible(check is not None)
        self._empty_table()
        set_words(self._problem, "")
        if not self.is_kept:
            set_words(self._said, "")
        if check is None:
            self._heading.setText(tr("Nothing was read yet"))
            self._lead.setText(tr("Hold the probe in ice or in boiling water first; one of them is enough."))
            return
        try:
            if self._compared != (check, self._course.name):
                self._compared = (check, self._course.name)
                self._earlier = self._shop.correction(self._course.name)
            found = finding(check, self._shop.today, self._course.shown, self._earlier)
        except FixableError as error:
            set_words(self._problem, str(error))
            return
        self._show(check, found)

    def _show(self, check: ProbeCheck, found: Finding) -> None:
        shown = self._course.shown
        self._heading.setText(_headline(found, shown))
        self._lead.setText(found.headline)
        self.setAccessibleName(self._heading.text())
        self._fill_table(check, found, shown)
        self.plot.show_picture(error_picture(check, found))
        verdicts = {each.verdict for each in found.verdicts}
        kind = "ask" if Verdict.UNDECIDED in verdicts else "good"
        self._sign.show_kind("warning" if Verdict.OUTSIDE in verdicts else kind)
        self._sign.setVisible(bool(found.class_text))
        set_words(self._verdict, found.class_text)
        set_words(self._mostly, found.mostly)
        set_words(self._drift, found.drift)
        set_words(self._cautions, "\n".join(found.cautions))

    def _fill_table(self, check: ProbeCheck, found: Finding, shown: Shown) -> None:
        rows = [(_point_word(each.point.kind), each.reading.read_c, True) for each in check.points]
        rows += [("", at.read_c, False) for at in found.true_at]
        rows.sort(key=lambda row: row[1])
        for column, words in enumerate((tr("it shows"), tr("it is"), tr("give or take"), "")):
            self._table.addWidget(role_label(words, "label", wrap=False), 0, column)
        for at, (where, read_c, checked) in enumerate(rows, start=1):
            true_c = found.correction.true_c(read_c)
            strong = not checked
            cells = (
                self._value(f"{shown.number(read_c):.1f}", False),
                self._value(f"{shown.number(true_c):.1f}".replace("-0.0", "0.0"), strong),
                role_label(f"± {spread_words(uncertainty_k(check, read_c), shown)}", "lead", wrap=False),
                role_label(where or tr("in a melt"), "muted", wrap=False),
            )
            for column, cell in enumerate(cells):
                self._table.addWidget(cell, at, column, Qt.AlignmentFlag.AlignBaseline)

    def _value(self, number: str, strong: bool) -> QLabel:
        label = QLabel(number)
        label.setStyleSheet(
            f"font-size: {self._theme.px(VALUE_PX, 1.4)}px; font-weight: {700 if strong else 400};"
        )
        return label

    def _empty_table(self) -> None:
        while item := self._table.takeAt(0):
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()

    # --- keeping ------------------------------------------------------------------------------------------

    def keep(self, used: bool) -> None:
        """Keep the check; use its correction from now on, or not."""
        check = self.check
        if check is None or self.is_kept:
            return
        try:
            follows = self._shop.keep(self._course.name, check, used)
        except FixableError as error:
            set_words(self._problem, str(error))
            return
        self._kept = (check, self._course.name)
        text = tr("Kept. Melts with “{probe}” are corrected by it from now on.")
        if follows:
            text = tr("Kept. Melts with “{probe}” are corrected by it from now on, the running one too.")
        if not used:
            text = tr("Kept in the records of “{probe}”; nothing is corrected by it.")
        set_words(self._said, text.format(probe=self._course.name))
        announce(self, self._said.text())
        self.changed.emit()


def _headline(found: Finding, shown: Shown) -> str:
    """What it comes to where the wax is poured, in one glance."""
    at = found.true_at[0]
    off_k = at.read_c - at.true_c
    if abs(shown.difference(off_k)) < 0.05:
        return tr("It reads right about {temp}").format(temp=shown.temp(at.read_c))
    text = tr("About {temp} it reads {error} too high")
    if off_k < 0.0:
        text = tr("About {temp} it reads {error} too low")
    return text.format(temp=shown.temp(at.read_c), error=shown.drop(abs(off_k)))


def _point_word(kind: PointKind) -> str:
    return {
        PointKind.ICE: tr("melting ice"),
        PointKind.BOILING: tr("boiling water"),
        PointKind.BESIDE: tr("beside the other one"),
    }[kind]

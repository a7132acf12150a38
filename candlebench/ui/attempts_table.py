"""Attempts at the same thing, one a row, this one first."""

from PySide6.QtCore import QDateTime, QLocale, Qt
from PySide6.QtWidgets import QFrame, QGridLayout, QLabel

from candlebench.core.debrief.attempt import Attempt
from candlebench.core.debrief.phrases import minutes, percents
from candlebench.core.units import Shown
from candlebench.ui.page_frame import role_label
from candlebench.words import tr


def headings(shown: Shown) -> tuple[str, ...]:
    """The columns' names."""
    return (
        tr("Attempt"),
        tr("Oil, {unit}").format(unit=shown.sign),
        tr("Pour, {unit}").format(unit=shown.sign),
        tr("Highest"),
        tr("Too hot"),
        tr("Scent kept"),
    )


def cells(attempt: Attempt, shown: Shown, present: bool) -> tuple[str, ...]:
    """One attempt as short texts: '+3.1' is too hot by that much, '−1.0' too cool."""
    kept = attempt.scent_kept
    return (
        tr("This one") if present else when(attempt.began_wall_s),
        _signed(attempt.oil_off_c, shown),
        _signed(attempt.pour_off_c, shown),
        "–" if attempt.highest_c is None else shown.temp(round(attempt.highest_c, 1)),
        minutes(attempt.too_hot_s),
        "–" if kept is None else tr("~{kept} %").format(kept=percents(kept)[0]),
    )


def when(wall_s: float, pattern: str = "d MMM HH:mm") -> str:
    """'9 Nov 14:20' in the person's own language."""
    return QLocale().toString(QDateTime.fromSecsSinceEpoch(int(wall_s)), pattern)


def _signed(off_c: float | None, shown: Shown) -> str:
    if off_c is None:
        return "–"
    if off_c == 0.0:
        return tr("inside")
    sign = "+" if off_c > 0.0 else "−"
    return f"{sign}{shown.difference(abs(off_c)):.1f}"


class AttemptsTable(QFrame):
    """The table."""

    def __init__(self, now: Attempt, earlier: tuple[Attempt, ...], shown: Shown) -> None:
        super().__init__()
        self.setObjectName("card")
        grid = QGridLayout(self)
        grid.setContentsMargins(20, 10, 20, 12)
        grid.setHorizontalSpacing(14)
        grid.setVerticalSpacing(3)
        grid.addWidget(role_label(tr("Attempts, and how far outside the windows"), "section"), 0, 0, 1, 6)
        if not earlier:
            words = tr("The first one: the next will be compared with it.")
            grid.addWidget(role_label(words, "muted"), 1, 0, 1, 6)
        for column, heading in enumerate(headings(shown)):
            self._put(grid, role_label(heading, "label", wrap=False), 2, column)
        for place, attempt in enumerate((now, *earlier), start=3):
            present = attempt is now
            for column, text in enumerate(cells(attempt, shown, present)):
                self._put(grid, role_label(text, "lead" if present else "muted", wrap=False), place, column)
        grid.setColumnStretch(0, 1)
        grid.setRowStretch(4 + len(earlier), 1)

    def _put(self, grid: QGridLayout, label: QLabel, row: int, column: int) -> None:
        side = Qt.AlignmentFlag.AlignLeft if column == 0 else Qt.AlignmentFlag.AlignRight
        grid.addWidget(label, row, column, side | Qt.AlignmentFlag.AlignVCenter)

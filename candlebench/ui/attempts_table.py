"""Attempts at the same thing, one a row, this one first."""

from PySide6.QtCore import QDateTime, QLocale, Qt
from PySide6.QtWidgets import QFrame, QGridLayout, QLabel

from candlebench.core.debrief.attempt import Attempt
from candlebench.core.debrief.phrases import NEARLY_ALL, how_long, percent
from candlebench.core.materials.scent import FACTOR
from candlebench.core.units import Shown
from candlebench.ui.page_frame import role_label
from candlebench.words import tr

OIL, POUR = 1, 2


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
    """One attempt as short texts: '3.1 too hot', '1.0 too cool', 'inside'."""
    return (
        tr("This one") if present else when(attempt.began_wall_s),
        _off(attempt.oil_off_c, shown),
        _off(attempt.pour_off_c, shown),
        "–" if attempt.highest_c is None else shown.temp(round(attempt.highest_c, 1)),
        how_long(attempt.too_hot_s),
        _kept(attempt.scent_kept),
    )


def when(wall_s: float, pattern: str = "d MMM HH:mm") -> str:
    """'9 Nov 14:20' in the person's own language."""
    return QLocale().toString(QDateTime.fromSecsSinceEpoch(int(wall_s)), pattern)


def _off(off_c: float | None, shown: Shown) -> str:
    if off_c is None:
        return "–"
    if off_c == 0.0:
        return tr("inside")
    text = tr("{off} too hot") if off_c > 0.0 else tr("{off} too cool")
    return text.format(off=f"{shown.difference(abs(off_c)):.1f}")


def _kept(share: float | None) -> str:
    if share is None:
        return "–"
    # The least that may be left, of an estimate good to a factor of two.
    if 1.0 - FACTOR * (1.0 - share) >= NEARLY_ALL:
        return tr(">99 %")
    return tr("~{kept} %").format(kept=percent(share))


class AttemptsTable(QFrame):
    """The table."""

    def __init__(self, now: Attempt, earlier: tuple[Attempt, ...], shown: Shown) -> None:
        super().__init__()
        self.setObjectName("card")
        grid = self._grid = QGridLayout(self)
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
                label = role_label(text, "lead" if present else "muted", wrap=False)
                label.setProperty("off", text if column in (OIL, POUR) else "")
                self._put(grid, label, place, column)
        self._offs = [label for label in self.findChildren(QLabel) if label.property("off")]
        grid.setColumnStretch(0, 1)
        grid.setRowStretch(4 + len(earlier), 1)

    def stack(self, stacked: bool) -> None:
        """Put the words of '9.0 too hot' below its number, or beside it."""
        self._grid.setHorizontalSpacing(8 if stacked else 14)
        for label in self._offs:
            text = str(label.property("off"))
            label.setText(text.replace(" ", "\n", 1) if stacked else text)

    def _put(self, grid: QGridLayout, label: QLabel, row: int, column: int) -> None:
        side = Qt.AlignmentFlag.AlignLeft if column == 0 else Qt.AlignmentFlag.AlignRight
        grid.addWidget(label, row, column, side | Qt.AlignmentFlag.AlignVCenter)

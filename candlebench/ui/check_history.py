"""What is known of one probe: the correction and the lag in force, and every check before with its drift."""

from collections.abc import Callable
from datetime import date
from uuid import UUID

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QGridLayout, QPushButton, QVBoxLayout

from candlebench.core.correction import Correction
from candlebench.core.known import KnownProbe
from candlebench.core.trust.finding import age_cautions, correction_text, drift_text, spread_words
from candlebench.core.trust.lag import wax_lag_text, with_plunge
from candlebench.core.trust.plunge import Plunge, plunge_text
from candlebench.core.units import Shown
from candlebench.records.probes import Kept
from candlebench.ui.page_frame import role_label
from candlebench.words import tr

# More are counted, not shown.
LATEST = 6
_SHORT_AT_C = (70.0, 85.0)


def short_words(correction: Correction, shown: Shown) -> str:
    """'70 is 70.6, 85 is 85.8, give or take 0.5 °C'."""
    low_c, high_c = _SHORT_AT_C
    return tr("{low} is {true_low}, {high} is {true_high}, give or take {spread}").format(
        low=shown.bare(low_c),
        true_low=f"{shown.number(correction.true_c(low_c)):.1f}",
        high=shown.bare(high_c),
        true_high=f"{shown.number(correction.true_c(high_c)):.1f}",
        spread=spread_words(correction.uncertainty_k, shown),
    )


def trust_words(
    correction: Correction | None, plunge: Plunge | None, known: KnownProbe | None, today: date, shown: Shown
) -> tuple[list[str], list[str]]:
    """Return how far a probe can be trusted, and what to be careful about; a sentence each."""
    said: list[str] = []
    cautions: list[str] = []
    if correction is None:
        said.append(tr("It has not been checked: melts take what it shows as it is."))
    else:
        text = tr("Checked {day}. {correction}")
        said.append(text.format(day=correction.checked_on, correction=correction_text(correction, shown)))
        cautions += age_cautions(correction, today)
    if plunge is not None:
        text = tr("Plunged {day}. {plunge} {wax}")
        wax = wax_lag_text(with_plunge(known, plunge))
        said.append(text.format(day=plunge.tested_on, plunge=plunge_text(plunge), wax=wax))
    return said, cautions


class HistoryCard(QFrame):
    """Shows one probe's history.

    Parameters
    ----------
    shown : Shown
    leave_out, use_again : callable
        Uses one check or plunge test no more, or again.
    """

    def __init__(
        self, shown: Shown, leave_out: Callable[[UUID], None], use_again: Callable[[UUID], None]
    ) -> None:
        super().__init__()
        self.setObjectName("card")
        self._shown, self._leave_out, self._use_again = shown, leave_out, use_again
        self._box = QVBoxLayout(self)
        self._box.setContentsMargins(24, 18, 24, 18)
        self._box.setSpacing(10)
        self._title = role_label("", "section")
        self._said = role_label("", "lead")
        self._cautions = role_label("", "warning")
        for label in (self._title, self._said, self._cautions):
            self._box.addWidget(label)
        self._rows = QGridLayout()
        self._rows.setHorizontalSpacing(16)
        self._rows.setVerticalSpacing(2)
        self._rows.setColumnStretch(1, 1)
        self._box.addLayout(self._rows)
        self._more = role_label("", "muted")
        self._box.addWidget(self._more)

    def show_probe(self, name: str, said: list[str], cautions: list[str], history: tuple[Kept, ...]) -> None:
        """Show what is known of a probe.

        Parameters
        ----------
        name : str
        said, cautions : list of str
            From `trust_words`.
        history : tuple of Kept
            Oldest first.
        """
        self._title.setText(tr("What is known of “{name}”").format(name=name))
        self._said.setText("\n".join(said))
        self._cautions.setText("\n".join(cautions))
        self._cautions.setVisible(bool(cautions))
        while item := self._rows.takeAt(0):
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        before: dict[UUID, Correction] = {}
        last: Correction | None = None
        for kept in history:
            if kept.correction is not None:
                if last is not None:
                    before[kept.uuid] = last
                if not kept.forgotten:
                    # What is not used is nothing to tell a drift by.
                    last = kept.correction
        for row, kept in enumerate(history[::-1][:LATEST]):
            self._row(row, kept, before.get(kept.uuid))
        earlier = len(history) - LATEST
        self._more.setText(tr("and {count} earlier").format(count=earlier))
        self._more.setVisible(earlier > 0)

    def _row(self, row: int, kept: Kept, before: Correction | None) -> None:
        middle = Qt.AlignmentFlag.AlignVCenter
        if isinstance(kept.what, Plunge):
            day, words = kept.what.tested_on, tr("Plunge: {text}").format(text=plunge_text(kept.what))
        else:
            assert kept.correction is not None
            day = kept.what.checked_on
            words = tr("{text}.").format(text=short_words(kept.correction, self._shown))
            if before is not None:
                words += " " + drift_text(before, kept.correction, self._shown)
        if kept.forgotten:
            words = tr("{words} Not used.").format(words=words)
        day_label, text_label = role_label(day, "muted", wrap=False), role_label(words, "muted")
        for label in (day_label, text_label):
            label.setContentsMargins(0, 4, 0, 4)
        self._rows.addWidget(day_label, row, 0, middle)
        self._rows.addWidget(text_label, row, 1, middle)
        button = QPushButton(tr("Use again") if kept.forgotten else tr("Leave out"))
        button.setProperty("role", "bar")
        button.setAccessibleDescription(day)
        change = self._use_again if kept.forgotten else self._leave_out
        button.clicked.connect(lambda: change(kept.uuid))
        self._rows.addWidget(button, row, 2, middle)

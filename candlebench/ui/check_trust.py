"""One probe in a line: how far it can be trusted, since when, how late it is, and the way to check it."""

from datetime import date

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from candlebench.core.trust.plunge import plunge_text
from candlebench.core.units import Shown
from candlebench.records.probes import Probes
from candlebench.ui.check_history import trust_words
from candlebench.ui.page_frame import role_label
from candlebench.words import tr


class TrustRow(QWidget):
    """`check_wanted` carries the probe's name.

    Parameters
    ----------
    name : str
    probes : Probes
        May raise FixableError when it cannot be read.
    today : date
    shown : Shown
    """

    check_wanted = Signal(str)

    def __init__(self, name: str, probes: Probes, today: date, shown: Shown) -> None:
        super().__init__()
        correction, plunge = probes.correction(name), probes.plunge(name)
        said, cautions = trust_words(correction, None, None, today, shown)
        if plunge is not None:
            # What it comes to in a melt stands in the sentence of what was learned.
            text = tr("Plunged {day}. {plunge}")
            said.append(text.format(day=plunge.tested_on, plunge=plunge_text(plunge)))
        texts = QVBoxLayout()
        texts.setSpacing(2)
        texts.addWidget(role_label(" ".join(said), "muted"))
        if cautions:
            texts.addWidget(role_label(" ".join(cautions), "warning"))
        button = QPushButton(tr("Check it") if correction is None else tr("Check it again"))
        button.setAccessibleDescription(name)
        button.clicked.connect(lambda: self.check_wanted.emit(name))
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(16)
        row.addLayout(texts, 1)
        row.addWidget(button, 0, Qt.AlignmentFlag.AlignVCenter)

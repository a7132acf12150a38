"""The warnings of a label: which, with what words, and whether with pictures."""

from collections.abc import Sequence

from PySide6.QtCore import QRectF, QSize, Signal
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QCheckBox, QFrame, QGridLayout, QLineEdit, QSizePolicy, QVBoxLayout, QWidget

from candlebench.core.labels import ADVICE, TOPICS, USUAL, WANTED, Advice
from candlebench.ui.page_frame import role_label
from candlebench.ui.safety_drawings import draw
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr


class TopicPicture(QWidget):
    """The drawing of one topic."""

    def __init__(self, topic: str) -> None:
        super().__init__()
        self._topic, self._theme = topic, Theme(LIGHT)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        self._theme = theme
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(self._theme.px(32, 1.4), self._theme.px(32, 1.4))

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        draw(painter, QRectF(self.rect()).adjusted(1, 1, -1, -1), self._topic, self._theme.color("text"))
        painter.end()


class TopicsCard(QFrame):
    """A check box, a drawing and a text for each topic, the wanted ones first; `changed` says that one did.

    Attributes
    ----------
    heading : QLineEdit
        The word above the warnings.
    texts : dict of str to QLineEdit
        By topic.
    checks : dict of str to QCheckBox
    pictures : QCheckBox
    """

    changed = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("card")
        self.heading = QLineEdit()
        self.heading.setAccessibleName(tr("Word above the warnings"))
        self.texts: dict[str, QLineEdit] = {}
        self.checks: dict[str, QCheckBox] = {}
        self.pictures = QCheckBox(tr("A picture with each warning"))
        self.pictures.setChecked(True)
        self._drawings: list[TopicPicture] = []
        box = QVBoxLayout(self)
        box.setContentsMargins(24, 18, 24, 18)
        box.setSpacing(10)
        parts = (
            role_label(tr("Warnings"), "section"),
            self._head(),
            self.pictures,
            role_label(tr("Wanted by EN 15494 (Europe) and ASTM F2058 (United States)"), "muted"),
            self._rows(WANTED),
            role_label(tr("Advice, as you like"), "muted"),
            self._rows(ADVICE),
        )
        for part in parts:
            box.addWidget(part)
        for field in (self.heading, *self.texts.values()):
            field.textChanged.connect(lambda _: self.changed.emit())
        for check in (self.pictures, *self.checks.values()):
            check.toggled.connect(lambda _: self.changed.emit())

    def chosen(self) -> tuple[Advice, ...]:
        """The warnings that are ticked and have words."""
        return tuple(
            Advice(topic, self.texts[topic].text().strip())
            for topic in TOPICS
            if self.checks[topic].isChecked() and self.texts[topic].text().strip()
        )

    def use(self, theme: Theme) -> None:
        """Take a theme: what is painted here does not follow the style sheet."""
        for drawing in self._drawings:
            drawing.use(theme)

    def _head(self) -> QWidget:
        label = role_label(tr("Word above them"), "lead", wrap=False)
        label.setBuddy(self.heading)
        head = QWidget()
        grid = _grid(head, 1)
        grid.addWidget(label, 0, 0)
        grid.addWidget(self.heading, 0, 1)
        return head

    def _rows(self, topics: Sequence[str]) -> QWidget:
        rows = QWidget()
        grid = _grid(rows, 2)
        for line, topic in enumerate(topics):
            check, drawing, field = QCheckBox(), TopicPicture(topic), QLineEdit()
            check.setChecked(topic in USUAL)
            check.setAccessibleName(tr("On the label"))
            field.setAccessibleName(tr("Warning"))
            # What is not on the label names itself by its own words, whatever the language.
            field.textChanged.connect(check.setAccessibleDescription)
            self.checks[topic], self.texts[topic] = check, field
            self._drawings.append(drawing)
            for column, part in enumerate((check, drawing, field)):
                grid.addWidget(part, line, column)
        return rows


def _grid(widget: QWidget, wide_column: int) -> QGridLayout:
    grid = QGridLayout(widget)
    grid.setContentsMargins(0, 0, 0, 0)
    grid.setHorizontalSpacing(12)
    grid.setVerticalSpacing(8)
    grid.setColumnStretch(wide_column, 1)
    return grid

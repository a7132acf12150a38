"""The last forecasts as marks on three rows: earlier than the band, inside it, later."""

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from candlebench.core.track_record import LAST, KeptForecast, Outcome
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr

_ROWS = (Outcome.EARLY, Outcome.INSIDE, Outcome.LATE)


def outcome_words(outcome: Outcome) -> str:
    """The row's name for people."""
    return {
        Outcome.EARLY: tr("came earlier"),
        Outcome.INSIDE: tr("inside the band"),
        Outcome.LATE: tr("came later"),
    }.get(outcome, "")


class RecordStrip(QWidget):
    """Draws at most twenty forecasts, the oldest at the left: a dot inside the band, a triangle outside."""

    def __init__(self) -> None:
        super().__init__()
        self._theme = Theme(LIGHT)
        self._last: tuple[KeptForecast, ...] = ()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(tr("The last forecasts"))

    def use(self, theme: Theme) -> None:
        """Take colours and sizes."""
        self._theme = theme
        self.updateGeometry()
        self.update()

    def show_forecasts(self, last: tuple[KeptForecast, ...]) -> None:
        """Show the settled forecasts, the oldest first."""
        self._last = last[-LAST:]
        counts = [
            tr("{count} {what}").format(
                count=sum(k.outcome is row for k in self._last), what=outcome_words(row)
            )
            for row in _ROWS
        ]
        self.setAccessibleDescription(", ".join(counts))
        self.setToolTip(", ".join(counts))
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(self._theme.px(420), 3 * self._row_px() + 2)

    def minimumSizeHint(self) -> QSize:
        return QSize(200, 3 * self._row_px() + 2)

    def _row_px(self) -> int:
        return self._theme.px(26)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        font = self._theme.font(14)
        painter.setFont(font)
        row = float(self._row_px())
        names = QFontMetricsF(font)
        left = max(names.horizontalAdvance(outcome_words(o)) for o in _ROWS) + self._theme.px(14)
        step = min(float(self._theme.px(30)), (self.width() - left) / LAST)
        band = QRectF(left, row, step * LAST, row)
        painter.fillRect(band, self._theme.color("accent_soft"))
        painter.setPen(QPen(self._theme.color("accent"), 1.0))
        painter.drawLine(band.topLeft(), band.topRight())
        painter.drawLine(band.bottomLeft(), band.bottomRight())
        painter.setPen(self._theme.color("muted"))
        for i, outcome in enumerate(_ROWS):
            place = QRectF(0.0, i * row, left, row)
            painter.drawText(place, Qt.AlignmentFlag.AlignVCenter, outcome_words(outcome))
        for i, kept in enumerate(self._last):
            self._mark(painter, kept, QPointF(left + (i + 0.5) * step, row), row)
        painter.end()

    def _mark(self, painter: QPainter, kept: KeptForecast, top: QPointF, row: float) -> None:
        half = 0.22 * row
        painter.setPen(Qt.PenStyle.NoPen)
        if kept.outcome is Outcome.INSIDE:
            painter.setBrush(self._theme.color("accent"))
            painter.drawEllipse(QPointF(top.x(), top.y() + 0.5 * row), half, half)
            return
        # Points away from the band.
        early = kept.outcome is Outcome.EARLY
        middle, way = top.y() + (-0.5 if early else 1.5) * row, -1.0 if early else 1.0
        painter.setBrush(self._theme.color("warning"))
        painter.drawPolygon(
            QPolygonF(
                [
                    QPointF(top.x() - 1.2 * half, middle - way * half),
                    QPointF(top.x() + 1.2 * half, middle - way * half),
                    QPointF(top.x(), middle + way * 1.2 * half),
                ]
            )
        )

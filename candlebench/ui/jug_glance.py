"""A look into the practice jug: how much of the wax is still in lumps, drawn and in a word."""

from enum import Enum
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPainterPath, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr

if TYPE_CHECKING:
    from candlebench.practice.truth import Truth

# Liquid shares from which the eye finds only a few lumps, and none. Design decision.
FEW_LUMPS, CLEAR = 0.90, 0.995
# A clear jug whose liquid share falls below this has a skin that one sees. Design decision.
SKIN = 0.97


class Look(Enum):
    """What is seen in the jug."""

    LUMPS = "lumps"
    FEW_LUMPS = "a few lumps"
    CLEAR = "clear"
    SKIN = "a skin"
    EMPTY = "empty"


def look_into(truth: "Truth | None", was_clear: bool) -> Look:
    """Return what is seen in the jug of a practice melt.

    Parameters
    ----------
    truth : Truth or None
        The melt's last moment; None before the first.
    was_clear : bool
        Whether all was melted before, so that what is solid now is a skin and no lump.
    """
    if truth is None:
        return Look.LUMPS
    if truth.jar_c is not None:
        return Look.EMPTY
    if truth.liquid_share >= CLEAR or (was_clear and truth.liquid_share >= SKIN):
        return Look.CLEAR
    if was_clear:
        return Look.SKIN
    return Look.FEW_LUMPS if truth.liquid_share >= FEW_LUMPS else Look.LUMPS


def look_word(look: Look) -> str:
    """The look's name for people."""
    return {
        Look.LUMPS: tr("lumps"),
        Look.FEW_LUMPS: tr("a few lumps"),
        Look.CLEAR: tr("clear"),
        Look.SKIN: tr("a skin"),
        Look.EMPTY: tr("empty"),
    }[look]


class JugGlance(QWidget):
    """A small jug with what is in it; its word beside it where there is room."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = Theme(LIGHT)
        self._look = Look.LUMPS
        self._wordy = self._lead = True
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(tr("In the jug"))
        self._tell()

    @property
    def look(self) -> Look:
        return self._look

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        self._theme = theme
        self.updateGeometry()
        self.update()

    def show_look(self, look: Look) -> None:
        """Show what is in the jug now."""
        if look is not self._look:
            self._look = look
            self._tell()
            self.update()

    def be_wordy(self, wanted: bool, lead: bool = True) -> None:
        """Write the word beside the jug, and "In the jug:" before it, or the jug alone."""
        if (wanted, lead) != (self._wordy, self._lead):
            self._wordy, self._lead = wanted, lead
            self.updateGeometry()
            self.update()

    def _tell(self) -> None:
        words = tr("In the jug: {look}").format(look=look_word(self._look))
        self.setAccessibleDescription(words)
        self.setToolTip(words)

    def _words(self, look: Look) -> str:
        if not self._wordy:
            return ""
        word = look_word(look)
        return tr("In the jug: {look}").format(look=word) if self._lead else word

    def sizeHint(self) -> QSize:
        theme = self._theme
        metrics = QFontMetricsF(theme.font(15, 400, 1.7))
        # As wide as it can become, so that nothing moves when the word changes.
        words = max(metrics.horizontalAdvance(self._words(look)) for look in Look)
        return QSize(round(self._jug_px() + (words + theme.px(8) if words else 0)) + 2, theme.px(26, 1.6))

    def _jug_px(self) -> float:
        return self._theme.px(24, 1.6)

    def paintEvent(self, event: QPaintEvent) -> None:
        theme = self._theme
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        high, wide = float(theme.px(22, 1.6)), self._jug_px()
        box = QRectF(1.0, (self.height() - high) / 2, wide * 0.72, high)
        self._paint_jug(painter, box, wide)
        painter.setPen(QPen(theme.color("text")))
        painter.setFont(theme.font(15, 400, 1.7))
        left = wide + theme.px(8)
        painter.drawText(
            QRectF(left, 0, self.width() - left, self.height()),
            Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft,
            self._words(self._look),
        )
        painter.end()

    def _paint_jug(self, painter: QPainter, box: QRectF, wide: float) -> None:
        theme = self._theme
        body = QPainterPath()
        body.addRoundedRect(box, 3, 3)
        painter.fillPath(body, theme.color("surface"))
        if self._look is not Look.EMPTY:
            wax = QRectF(box.left(), box.top() + box.height() * 0.3, box.width(), box.height() * 0.7)
            painter.save()
            painter.setClipPath(body)
            painter.fillRect(wax, theme.color("oil_fill", 0.55))
            self._paint_solid(painter, wax)
            painter.restore()
        pen = QPen(theme.color("text"), max(1.4, theme.px(1.5, 1.6)))
        painter.setPen(pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPath(body)
        reach = wide * 0.36
        handle = QRectF(box.right() - reach / 2, box.top() + box.height() * 0.25, reach, box.height() * 0.45)
        painter.drawArc(handle, -90 * 16, 180 * 16)

    def _paint_solid(self, painter: QPainter, wax: QRectF) -> None:
        theme = self._theme
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(theme.color("text"))
        if self._look is Look.SKIN:
            painter.drawRect(QRectF(wax.left(), wax.top(), wax.width(), wax.height() * 0.16))
            return
        many = ((0.26, 0.2), (0.7, 0.26), (0.46, 0.52), (0.2, 0.72), (0.76, 0.74))
        lumps = {Look.LUMPS: many, Look.FEW_LUMPS: many[:2]}.get(self._look, ())
        for x, y in lumps:
            at, size = QPointF(wax.left() + x * wax.width(), wax.top() + y * wax.height()), wax.width() * 0.14
            painter.drawPolygon(
                QPolygonF(
                    [
                        at + QPointF(-size, size * 0.4),
                        at + QPointF(-size * 0.3, -size),
                        at + QPointF(size, -size * 0.3),
                        at + QPointF(size * 0.5, size),
                    ]
                )
            )

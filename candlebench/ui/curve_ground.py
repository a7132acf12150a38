"""Behind the curve: grid, windows, limits, the fan of what is to come, and their names in the gutter."""

from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPen, QPolygonF

from candlebench.ui import shapes
from candlebench.ui.curve_scene import CurveScene
from candlebench.ui.plot_parts import spread, window_band
from candlebench.words import tr


def paint_ground(painter: QPainter, scene: CurveScene) -> None:
    """Paint everything that lies under the measured curve."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    _grid(painter, scene)
    painter.setClipRect(scene.frame.rect)
    _windows(painter, scene)
    _gaps(painter, scene)
    _limits(painter, scene)
    _fan(painter, scene)
    painter.restore()
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    _gutter(painter, scene)
    painter.restore()


def _grid(painter: QPainter, scene: CurveScene) -> None:
    frame = scene.frame
    painter.setPen(QPen(scene.theme.color("grid"), 1))
    step = 20.0 if scene.shown.unit == "F" else 10.0
    number = step * np.ceil(scene.shown.number(frame.low_c) / step)
    while scene.shown.back(number) < frame.high_c:
        y = round(frame.y(scene.shown.back(number))) + 0.5
        painter.drawLine(QPointF(frame.rect.left(), y), QPointF(frame.rect.right(), y))
        number += step


def _windows(painter: QPainter, scene: CurveScene) -> None:
    limits, theme = scene.state.setup.limits, scene.theme
    palette = theme.palette
    if limits.oil_high_c > limits.oil_low_c and scene.state.setup.oil is not None:
        _band(painter, scene, limits.oil_low_c, limits.oil_high_c, "oil", palette.oil_alpha, hatch=False)
    _band(painter, scene, limits.pour_low_c, limits.pour_high_c, "pour", palette.pour_alpha, hatch=True)


def _band(
    painter: QPainter, scene: CurveScene, low_c: float, high_c: float, name: str, alpha: float, hatch: bool
) -> None:
    frame, theme = scene.frame, scene.theme
    box = QRectF(frame.point(frame.low_s, high_c), frame.point(frame.high_s, low_c))
    window_band(painter, box, theme, name, alpha, hatch)


def _gaps(painter: QPainter, scene: CurveScene) -> None:
    """Times of which nothing is known: hatched the other way, with their word."""
    frame, theme = scene.frame, scene.theme
    for gap in scene.state.gaps:
        left, right = frame.x(gap.elapsed_s - gap.length_s), frame.x(gap.elapsed_s)
        box = QRectF(left, frame.rect.top(), right - left, frame.rect.height())
        painter.fillRect(box, theme.color("sunk", 0.6))
        painter.setPen(QPen(theme.color("muted")))
        painter.setFont(theme.font(14))
        if box.width() > 80:
            painter.drawText(box.adjusted(0, 6, 0, 0), Qt.AlignmentFlag.AlignHCenter, tr("not recorded"))


def _limits(painter: QPainter, scene: CurveScene) -> None:
    frame, theme, limits = scene.frame, scene.theme, scene.state.setup.limits
    if scene.hot:
        top = frame.rect.top()
        painter.fillRect(
            QRectF(frame.rect.left(), top, frame.rect.width(), frame.y(limits.strong_c) - top),
            theme.color("danger", 0.05),
        )
    lines = [(limits.warn_c, "warning", [6.0, 3.3]), (limits.strong_c, "danger", [2.0, 2.7])]
    if scene.hot:
        lines.append((limits.stop_c, "danger", []))
    for temp_c, color, dashes in lines:
        pen = QPen(theme.color(color), 1.5)
        if dashes:
            pen.setDashPattern(dashes)
            pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        painter.setPen(pen)
        y = frame.y(temp_c)
        painter.drawLine(QPointF(frame.rect.left(), y), QPointF(frame.rect.right(), y))


def _fan(painter: QPainter, scene: CurveScene) -> None:
    fan, theme, frame = scene.state.fan, scene.theme, scene.frame
    if fan is None or not len(fan.ahead_s):
        return
    good = np.isfinite(fan.low_c) & np.isfinite(fan.high_c) & np.isfinite(fan.median_c)
    if good.sum() < 2:
        return
    x = [frame.x(fan.made_at_s + s) for s in fan.ahead_s[good]]
    low = [QPointF(a, frame.y(c)) for a, c in zip(x, fan.low_c[good], strict=True)]
    high = [QPointF(a, frame.y(c)) for a, c in zip(x, fan.high_c[good], strict=True)]
    median = [QPointF(a, frame.y(c)) for a, c in zip(x, fan.median_c[good], strict=True)]
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(theme.color("accent", theme.palette.fan_alpha))
    painter.drawPolygon(QPolygonF([*high, *reversed(low)]))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(theme.color("accent", 0.7), 1))
    painter.drawPolyline(QPolygonF(low))
    painter.drawPolyline(QPolygonF(high))
    pen = QPen(theme.color("accent"), 4 if theme.scale >= 1.8 else 2.5)
    pen.setDashPattern([2.8, 2.0])
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    painter.setPen(pen)
    painter.drawPolyline(QPolygonF(median))


@dataclass(frozen=True, slots=True)
class _Name:
    """A name in the gutter: where it points and what it says."""

    y: float
    strong: str
    text: str
    color: str
    shape: str


def _names(scene: CurveScene) -> list[_Name]:
    limits, shown, large = scene.state.setup.limits, scene.shown, scene.theme.large
    frame = scene.frame
    names = []
    if scene.hot:
        stop = tr("{temp} stop").format(temp=shown.temp(round(limits.stop_c, 1)))
        names.append(_Name(frame.y(limits.stop_c), "", stop, "danger_text", "octagon"))
    darkens = tr("{temp} darkens") if large else tr("{temp} wax darkens")
    warning = tr("{temp} warning") if large else tr("{temp} first warning")
    names.append(
        _Name(
            frame.y(limits.strong_c),
            "",
            darkens.format(temp=shown.temp(limits.strong_c)),
            "danger_text",
            "diamond",
        )
    )
    names.append(
        _Name(
            frame.y(limits.warn_c),
            "",
            warning.format(temp=shown.temp(limits.warn_c)),
            "warning_text",
            "triangle",
        )
    )
    if scene.state.setup.oil is not None and limits.oil_high_c > limits.oil_low_c:
        word = tr("Oil") if large else tr("Oil window")
        span = shown.span(limits.oil_low_c, limits.oil_high_c)
        names.append(
            _Name(frame.y((limits.oil_low_c + limits.oil_high_c) / 2), word, span, "oil_text", "oil")
        )
    word = tr("Pour") if large else tr("Pour window")
    span = shown.span(limits.pour_low_c, limits.pour_high_c)
    names.append(
        _Name(frame.y((limits.pour_low_c + limits.pour_high_c) / 2), word, span, "pour_text", "pour")
    )
    return [n for n in names if frame.rect.top() - 20 < n.y < frame.rect.bottom() + 20]


def _gutter(painter: QPainter, scene: CurveScene) -> None:
    """Names stand beside the plot, never on it; they push each other apart rather than overlap."""
    theme, frame, limits = scene.theme, scene.frame, scene.state.setup.limits
    right = frame.rect.right()
    for name, low_c, high_c, offset in (
        ("oil", limits.oil_low_c, limits.oil_high_c, 5.0),
        ("pour", limits.pour_low_c, limits.pour_high_c, 12.0),
    ):
        if name == "oil" and (scene.state.setup.oil is None or high_c <= low_c):
            continue
        top, bottom = max(frame.rect.top(), frame.y(high_c)), min(frame.rect.bottom(), frame.y(low_c))
        if bottom > top:
            painter.fillRect(QRectF(right + offset, top, 4, bottom - top), theme.color(f"{name}_edge"))
    names = _names(scene)
    font, bold = theme.font(14, 400, 1.85), theme.font(14, 700, 1.85)
    height = QFontMetricsF(font).height() * 1.05
    places = spread([n.y for n in names], height, frame.rect.top(), frame.rect.bottom())
    left = right + theme.px(25, 1.4)
    for name, y in zip(names, places, strict=True):
        _shape(painter, scene, name.shape, QPointF(right + theme.px(11, 1.2), y))
        painter.setPen(QPen(theme.color(name.color)))
        x = left
        for text, used in ((name.strong, bold), (name.text, font)):
            if text:
                painter.setFont(used)
                painter.drawText(QPointF(x, y + height * 0.30), text)
                x += QFontMetricsF(used).horizontalAdvance(text + " ")
    painter.setFont(theme.font(14, 400, 1.85))
    painter.setPen(QPen(theme.color("muted")))
    if not theme.large:
        # At large text the names beside the plot carry the unit.
        unit = tr("elapsed, h:min:s") if frame.high_s >= 3600.0 else tr("elapsed, min:s")
        painter.drawText(QPointF(right + theme.px(26), frame.rect.bottom() + theme.px(21)), unit)
        width = QFontMetricsF(painter.font()).horizontalAdvance(scene.shown.sign)
        painter.drawText(QPointF(frame.rect.left() - 8 - width, frame.rect.top() - 9), scene.shown.sign)


def _shape(painter: QPainter, scene: CurveScene, shape: str, at: QPointF) -> None:
    theme = scene.theme
    size = theme.px(13, 1.85)
    if shape == "octagon":
        shapes.octagon(painter, at, size + 1, theme.color("danger"))
    elif shape == "diamond":
        shapes.diamond(painter, at, size + 1, theme.color("danger"))
    elif shape == "triangle":
        shapes.triangle(painter, at, size, theme.color("warning"))

"""The drawings of the safety topics."""

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QImage, QPainter

from candlebench.core.labels import TOPICS
from candlebench.ui.safety_drawings import DRAWINGS, draw


def drawn(topic: str, box: QRectF) -> QImage:
    image = QImage(140, 140, QImage.Format.Format_Grayscale8)
    image.fill(Qt.GlobalColor.white)
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    draw(painter, box, topic, QColor("black"))
    painter.end()
    return image


def dark(image: QImage) -> set[tuple[int, int]]:
    return {
        (x, y)
        for x in range(image.width())
        for y in range(image.height())
        if image.pixelColor(x, y).value() < 128
    }


def test_every_topic_has_a_drawing(qapp: object) -> None:
    assert set(DRAWINGS) == {"warning", *TOPICS}


def test_drawings_fill_their_square_and_stay_in_it(qapp: object) -> None:
    for topic in DRAWINGS:
        found = dark(drawn(topic, QRectF(20.0, 20.0, 100.0, 100.0)))
        # Half a pen of five units may stand over the outermost lines.
        assert all(19 <= x <= 121 and 19 <= y <= 121 for x, y in found), topic
        xs, ys = {x for x, _ in found}, {y for _, y in found}
        assert max(max(xs) - min(xs), max(ys) - min(ys)) > 78, topic


def test_no_two_drawings_are_alike(qapp: object) -> None:
    pictures = {topic: dark(drawn(topic, QRectF(20.0, 20.0, 100.0, 100.0))) for topic in DRAWINGS}
    for one, first in pictures.items():
        for other, second in pictures.items():
            if one < other:
                assert len(first & second) < 0.7 * len(first | second), (one, other)


def test_a_flat_box_keeps_the_drawing_square(qapp: object) -> None:
    xs = {x for x, _ in dark(drawn("surface", QRectF(0.0, 40.0, 140.0, 60.0)))}
    assert min(xs) >= 39 and max(xs) <= 101


def test_drawing_leaves_the_painter_as_it_was(qapp: object) -> None:
    image = QImage(50, 50, QImage.Format.Format_RGB32)
    painter = QPainter(image)
    pen, transform = painter.pen(), painter.transform()
    draw(painter, QRectF(0, 0, 50, 50), "fire", QColor("black"))
    assert painter.pen() == pen and painter.transform() == transform
    painter.end()

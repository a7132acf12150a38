"""Where things are on the debrief's curve: what is shown of the melt, and the room for its names."""

import math
from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QRectF
from PySide6.QtGui import QFontMetricsF

from candlebench.core.debrief.judge import Debrief
from candlebench.core.events import Stage
from candlebench.core.progress import stage_word
from candlebench.core.units import Shown, clock_face
from candlebench.ui.curve_scene import Frame
from candlebench.ui.debrief_beside import BesideCurve, beside_of
from candlebench.ui.debrief_gutter import gutter_width
from candlebench.ui.debrief_lanes import lanes_height
from candlebench.ui.paper_font import picture_font
from candlebench.ui.theme import Theme
from candlebench.words import tr

# Below this nothing is judged; the warming from room temperature would flatten the rest. Design decision.
UNDER_POUR_C = 14.0
# What is shown before the curve comes into view and after the last thing of interest.
MARGIN_S = 90.0
AFTER_POUR_S = 240.0
# The stop limit is drawn when it came this near.
STOP_NEAR_C = 6.0


@dataclass(frozen=True, slots=True)
class Picture:
    """All that the painters need."""

    debrief: Debrief
    frame: Frame
    theme: Theme
    shown: Shown
    whole: QRectF
    beside: BesideCurve | None = None

    @property
    def shows_stop(self) -> bool:
        """Whether the stop limit is in view."""
        return self.frame.shows(self.debrief.story.setup.limits.stop_c)


def picture_of(whole: QRectF, debrief: Debrief, theme: Theme, shown: Shown) -> Picture:
    """Lay out the picture in `whole`."""
    metrics = QFontMetricsF(picture_font(theme))
    left = metrics.horizontalAdvance("100") + 14
    bottom = metrics.height() + 10 + lanes_height(theme)
    rect = whole.adjusted(left, theme.px(24, 1.4), -gutter_width(debrief, shown, theme), -bottom)
    seconds = _seconds(debrief, _words_share(debrief, theme, shown, rect.width()))
    low_c, high_c = _degrees(debrief)
    beside = beside_of(debrief.story)
    if beside is not None:
        off_s = debrief.story.at(Stage.OFF_HEAT)
        high_c = max(high_c, beside.needs_c(debrief.story.in_jug_until_s if off_s is None else off_s))
    return Picture(debrief, Frame(rect, *seconds, low_c, high_c), theme, shown, whole, beside)


def mark_words(stage: Stage, temp_c: float, at_s: float, shown: Shown) -> str:
    """'poured 69.6 °C, 35:45'; '' for a stage that is drawn without words."""
    if stage not in (Stage.OFF_HEAT, Stage.OIL_IN, Stage.POURED):
        return ""
    return tr("{stage} {temp}, {clock}").format(
        stage=stage_word(stage), temp=shown.temp(round(temp_c, 1)), clock=clock_face(at_s)
    )


def _words_share(debrief: Debrief, theme: Theme, shown: Shown, width: float) -> float:
    """What share of the width the words beside the pour take; they stand to the right of it."""
    mark = debrief.story.mark(Stage.POURED)
    if mark is None or theme.large:
        return 0.05
    text = mark_words(Stage.POURED, mark.temp_c or 0.0, mark.at_s, shown)
    return min(0.5, (QFontMetricsF(picture_font(theme)).horizontalAdvance(text) + 24.0) / max(1.0, width))


def _seconds(debrief: Debrief, words_share: float) -> tuple[float, float]:
    """From just before the curve comes into view until what is of interest is over."""
    curve, story = debrief.judged, debrief.story
    if not len(curve):
        return 0.0, max(600.0, story.end_s)
    low_c, _ = _degrees(debrief)
    warm = np.flatnonzero(curve.temps_c >= low_c)
    from_s = max(0.0, float(curve.times_s[int(warm[0])]) - MARGIN_S if len(warm) else 0.0)
    chances = [debrief.pour.chance, *([debrief.oil.chance] if debrief.oil is not None else [])]
    closed_s = [chance.closed_s for chance in chances if chance.closed_s is not None]
    poured_s = story.at(Stage.POURED)
    if poured_s is None:
        to_s = max(*closed_s, story.end_s) if closed_s else story.end_s
    else:
        with_words_s = from_s + (poured_s - from_s) / (1.0 - words_share)
        to_s = max(*(s + MARGIN_S for s in closed_s), poured_s + AFTER_POUR_S, with_words_s)
    return from_s, max(to_s, from_s + 600.0)


def _degrees(debrief: Debrief) -> tuple[float, float]:
    limits, heat = debrief.story.setup.limits, debrief.heat
    low_c = 5.0 * math.floor((limits.pour_low_c - UNDER_POUR_C) / 5.0)
    highest_c = limits.strong_c if heat.highest_c is None else heat.highest_c
    high_c = max(limits.strong_c + 2.0, highest_c + 4.0)
    if highest_c >= limits.stop_c - STOP_NEAR_C:
        high_c = max(high_c, limits.stop_c + 2.0)
    return low_c, min(high_c, 140.0)

"""Fonts for paper: letters stay letters, so that the words of a PDF can be searched and read aloud."""

from PySide6.QtGui import QFont

from candlebench.ui.theme import Theme

# Lato joins "ti" and others into one glyph, which a PDF reader cannot turn back into letters.
_LIGATURES = (QFont.Tag("liga"), QFont.Tag("clig"))


def paper_font(theme: Theme, at_100: float, weight: int = 400, stops_at: float = 10.0) -> QFont:
    """Return the theme's font without ligatures; as `Theme.font`."""
    font = theme.font(at_100, weight, stops_at)
    for tag in _LIGATURES:
        font.setFeature(tag, 0)
    return font


def picture_font(theme: Theme) -> QFont:
    """Return the font of the words in a picture, the same on the screen and on paper."""
    return paper_font(theme, 14, stops_at=1.6)

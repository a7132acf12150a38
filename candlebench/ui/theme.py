"""Colours, sizes and the style sheet. The contrast of every pair was measured; tests keep it."""

from dataclasses import dataclass

from PySide6.QtGui import QColor, QFont, QFontDatabase, QPalette

from candlebench.resources_folder import resources_folder

# Per cent; the steps of Ctrl and + and −.
TEXT_SIZES = (80, 90, 100, 115, 130, 150, 175, 200)


@dataclass(frozen=True, slots=True)
class Palette:
    """The colours of one look, as #RRGGBB."""

    name: str
    background: str
    surface: str
    sunk: str
    line: str
    strong_line: str
    grid: str
    text: str
    muted: str
    accent: str
    on_accent: str
    accent_soft: str
    oil_fill: str
    oil_alpha: float
    oil_edge: str
    oil_text: str
    pour_fill: str
    pour_alpha: float
    pour_edge: str
    pour_text: str
    warning: str
    warning_text: str
    warning_soft: str
    danger: str
    danger_text: str
    danger_soft: str
    fan_alpha: float


LIGHT = Palette(
    "light",
    background="#F5F0E6",
    surface="#FFFDF8",
    sunk="#EBE3D3",
    line="#D9CDB8",
    strong_line="#8C7F6B",
    grid="#EDE5D7",
    text="#2A231A",
    muted="#65594A",
    accent="#1B5E5A",
    on_accent="#FFFFFF",
    accent_soft="#D9E8E4",
    oil_fill="#E2A72E",
    oil_alpha=0.26,
    oil_edge="#AD770B",
    oil_text="#7A5200",
    pour_fill="#5673B8",
    pour_alpha=0.20,
    pour_edge="#5673B8",
    pour_text="#33508F",
    warning="#B25E00",
    warning_text="#8A4700",
    warning_soft="#FCEFD6",
    danger="#A32A1E",
    danger_text="#A32A1E",
    danger_soft="#FBE4DE",
    fan_alpha=0.20,
)

DARK = Palette(
    "dark",
    background="#1B1713",
    surface="#26211B",
    sunk="#13100D",
    line="#453C31",
    strong_line="#8F826F",
    grid="#332C24",
    text="#F2EADC",
    muted="#B8AA95",
    accent="#82CBC2",
    on_accent="#10211F",
    accent_soft="#2B3F3B",
    oil_fill="#E8C96E",
    oil_alpha=0.22,
    oil_edge="#E8C96E",
    oil_text="#EBCB74",
    pour_fill="#8BA6E6",
    pour_alpha=0.22,
    pour_edge="#8BA6E6",
    pour_text="#A9BDF0",
    warning="#F0903A",
    warning_text="#F5A659",
    warning_soft="#3D2E17",
    danger="#FF8F78",
    danger_text="#FF9C87",
    danger_soft="#43231C",
    fan_alpha=0.24,
)


@dataclass(frozen=True, slots=True)
class Theme:
    """A palette at a text size; `scale` is 1 at 100 %."""

    palette: Palette
    scale: float = 1.0

    @property
    def large(self) -> bool:
        """Large text drops decoration, not facts."""
        return self.scale >= 1.4

    def px(self, at_100: float, stops_at: float = 10.0) -> int:
        """A size in pixels that grows with the text, up to `stops_at` times."""
        return round(at_100 * min(self.scale, stops_at))

    def font(self, at_100: float, weight: int = 400, stops_at: float = 10.0) -> QFont:
        """The program's font at a size in pixels and a weight of 400, 600 or 700."""
        font = QFont(families())
        font.setPixelSize(self.px(at_100, stops_at))
        font.setWeight(QFont.Weight(weight))
        return font

    def color(self, name: str, alpha: float = 1.0) -> QColor:
        """A colour of the palette by its field name."""
        color = QColor(getattr(self.palette, name))
        color.setAlphaF(alpha)
        return color


def families() -> list[str]:
    """Fonts in order of liking; all have digits of one width."""
    known = set(QFontDatabase.families())
    liked = [f for f in ("Lato", "Noto Sans", "DejaVu Sans") if f in known]
    return liked or [QFontDatabase.systemFont(QFontDatabase.SystemFont.GeneralFont).family()]


def qt_palette(palette: Palette) -> QPalette:
    """The colours of what Qt draws past the style sheet, such as the edge of an opened list."""
    roles = QPalette.ColorRole
    found = QPalette()
    for role, color in (
        (roles.Window, palette.surface),
        (roles.Base, palette.surface),
        (roles.Button, palette.surface),
        (roles.WindowText, palette.text),
        (roles.Text, palette.text),
        (roles.ButtonText, palette.text),
        (roles.Highlight, palette.accent),
        (roles.HighlightedText, palette.on_accent),
    ):
        found.setColor(role, QColor(color))
    return found


def style_sheet(theme: Theme) -> str:
    """The style sheet of the whole window."""
    p, px = theme.palette, theme.px
    icons = (resources_folder() / "icons").as_posix()
    family = ", ".join(f'"{name}"' for name in families())
    return f"""
    QWidget {{ background: {p.background}; color: {p.text}; font-family: {family}; }}
    QLabel, QCheckBox, QRadioButton {{ background: transparent; }}
    QLabel[role="title"] {{ font-size: {px(22, 1.36)}px; font-weight: 700; }}
    QLabel[role="section"] {{ font-size: {px(18)}px; font-weight: 700; }}
    QLabel[role="muted"] {{ color: {p.muted}; font-size: {px(15)}px; }}
    QLabel[role="lead"] {{ font-size: {px(17)}px; }}
    QLabel[role="question"] {{ font-size: {px(30, 1.4)}px; font-weight: 700; }}
    QLabel[role="source"] {{ color: {p.muted}; font-size: {px(14)}px; margin-bottom: 6px; }}
    QLabel[role="problem"] {{ color: {p.danger_text}; font-size: {px(15)}px; }}
    QLabel[role="label"] {{ color: {p.muted}; font-size: {px(14)}px; font-weight: 600; }}
    QLabel[role="warning"] {{ color: {p.warning_text}; font-size: {px(15)}px; }}
    QFrame#card {{ background: {p.surface}; border: 1px solid {p.line}; border-radius: 10px; }}
    QFrame#card QWidget {{ background: {p.surface}; }}
    QFrame#card QLabel, QFrame#card QCheckBox, QFrame#card QRadioButton {{ background: transparent; }}
    QFrame#card[level="warning"] {{ background: {p.warning_soft}; border: 2px solid {p.warning}; }}
    QFrame#card[level="danger"] {{ background: {p.danger_soft}; border: 2px solid {p.danger}; }}
    QWidget#bar {{ background: {p.sunk}; border-bottom: 1px solid {p.line}; }}
    QWidget#bar QWidget {{ background: transparent; }}
    QWidget#bar QMenu, QFrame#card QMenu, QWidget#strip QMenu, QMenu {{
        background: {p.surface}; color: {p.text}; font-size: {px(16, 1.75)}px;
        border: 1px solid {p.strong_line}; padding: 6px; menu-scrollable: 1; }}
    QPushButton {{
        background: {p.surface}; color: {p.text}; border: 1px solid {p.strong_line}; border-radius: 8px;
        padding: {px(6, 1.4)}px {px(16, 1.4)}px; font-size: {px(16)}px; min-height: {px(26)}px; }}
    QPushButton:hover {{ background: {p.accent_soft}; }}
    QPushButton:focus {{ border: 2px solid {p.accent}; }}
    QPushButton:disabled {{ color: {p.muted}; border-color: {p.line}; }}
    QPushButton[role="main"], QFrame#card QPushButton[role="main"] {{ background: {p.accent};
        color: {p.on_accent}; border: 1px solid {p.accent}; font-weight: 700; }}
    QFrame#card QPushButton[role="main"]:focus {{ border: 2px solid {p.text}; }}
    QFrame#card QPushButton[role="main"]:disabled {{ background: {p.surface}; color: {p.muted};
        border-color: {p.line}; }}
    QPushButton[role="bar"] {{ border: 1px solid transparent; background: transparent; padding: 4px 10px; }}
    QPushButton[role="bar"]:hover {{ border-color: {p.strong_line}; }}
    QPushButton[role="bar"]:focus {{ border: 2px solid {p.accent}; }}
    QPushButton::menu-indicator {{ width: 0px; }}
    QLineEdit, QDoubleSpinBox, QSpinBox, QComboBox, QPlainTextEdit, QTextEdit, QListWidget, QTableWidget {{
        background: {p.background}; color: {p.text}; border: 1px solid {p.strong_line}; border-radius: 6px;
        padding: 4px 10px; font-size: {px(16)}px; selection-background-color: {p.accent};
        selection-color: {p.on_accent}; }}
    QLineEdit, QDoubleSpinBox, QSpinBox, QComboBox {{ min-height: {px(30)}px; }}
    QFrame#card QLineEdit, QFrame#card QDoubleSpinBox, QFrame#card QSpinBox, QFrame#card QComboBox,
    QFrame#card QListWidget, QFrame#card QTableWidget, QFrame#card QPlainTextEdit
        {{ background: {p.background}; }}
    QLineEdit:focus, QDoubleSpinBox:focus, QSpinBox:focus, QComboBox:focus, QListWidget:focus,
    QTableWidget:focus, QPlainTextEdit:focus {{ border: 2px solid {p.accent}; }}
    QComboBox QAbstractItemView, QFrame#card QComboBox QAbstractItemView {{
        background: {p.surface}; color: {p.text}; font-size: {px(16)}px;
        selection-background-color: {p.accent}; selection-color: {p.on_accent}; }}
    QDoubleSpinBox::up-button, QDoubleSpinBox::down-button,
    QSpinBox::up-button, QSpinBox::down-button {{ width: 0px; border: none; }}
    QComboBox::drop-down {{ border: none; width: {px(28)}px; }}
    QComboBox::down-arrow {{ image: url("{icons}/down-{p.name}.svg");
        width: {px(16)}px; height: {px(16)}px; }}
    QHeaderView::section {{ background: {p.surface}; color: {p.muted}; border: none; padding: 4px 10px;
        font-size: {px(14)}px; }}
    QTableWidget {{ gridline-color: {p.line}; }}
    QMenu::item {{ padding: {px(6, 1.3)}px {px(22, 1.4)}px; border-radius: 6px; background: transparent; }}
    QMenu::item:selected {{ background: {p.accent}; color: {p.on_accent}; }}
    QMenu::item:disabled {{ color: {p.muted}; }}
    QMenu::separator {{ height: 1px; background: {p.line}; margin: 6px 10px; }}
    QScrollArea, QScrollArea > QWidget > QWidget {{ background: {p.background}; border: none; }}
    QScrollBar:vertical {{ background: {p.background}; width: 12px; }}
    QScrollBar::handle:vertical {{ background: {p.strong_line}; border-radius: 5px; min-height: 30px; }}
    QScrollBar::add-line, QScrollBar::sub-line {{ height: 0px; }}
    QCheckBox {{ font-size: {px(17)}px; spacing: 10px; }}
    QCheckBox, QRadioButton {{ border: 2px solid transparent; border-radius: 6px; padding: 1px; }}
    QCheckBox:focus, QRadioButton:focus {{ border: 2px solid {p.accent}; }}
    QCheckBox::indicator {{ width: {px(20)}px; height: {px(20)}px; background: {p.background};
        border: 1px solid {p.strong_line}; border-radius: 5px; }}
    QCheckBox::indicator:checked {{ background: {p.accent}; border-color: {p.accent};
        image: url("{icons}/tick-{p.name}.svg"); }}
    QToolTip {{ background: {p.surface}; color: {p.text}; border: 1px solid {p.strong_line}; padding: 6px;
        font-size: {px(15)}px; }}
    QMessageBox QLabel {{ font-size: {px(17)}px; }}
    * {{ outline: none; }}
    """

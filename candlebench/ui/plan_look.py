"""What the plan page adds to the window's style sheet: links, folds, rules, wrong fields, the big button."""

from candlebench.ui.theme import Theme


def plan_style(theme: Theme) -> str:
    """The style sheet of the page."""
    p, px = theme.palette, theme.px
    link = _in_cards_too("")
    return f"""
    QLabel[role="body"] {{ font-size: {px(16)}px; }}
    QScrollBar:vertical {{ width: 9px; }}
    QScrollBar::handle:vertical {{ border-radius: 4px; }}
    QFrame#rule {{ background: {p.line}; border: none; }}
    QLineEdit#planTitle {{ background: transparent; border: 1px solid transparent; padding: 2px 6px;
        font-size: {px(22, 1.36)}px; font-weight: 700; color: {p.text};
        placeholder-text-color: {p.text}; min-height: {px(30, 1.36)}px; }}
    QLineEdit#planTitle:hover {{ border-color: {p.strong_line}; border-radius: 6px; }}
    QLineEdit#planTitle:focus {{ border: 2px solid {p.accent}; background: {p.surface}; }}
    QFrame#card QLineEdit, QFrame#card QComboBox {{ padding: 4px 9px; }}
    QFrame#card QLineEdit[wrong="true"], QFrame#card QComboBox[wrong="true"] {{
        border: 2px solid {p.danger}; background: {p.danger_soft}; padding: 3px 8px; }}
    QFrame#card QLineEdit:focus, QFrame#card QComboBox:focus {{ border: 2px solid {p.accent};
        padding: 3px 8px; }}
    QFrame#card QLineEdit[wrong="true"]:focus, QFrame#card QComboBox[wrong="true"]:focus {{
        border: 2px solid {p.danger}; }}
    QFrame#card QLineEdit:disabled, QFrame#card QComboBox:disabled {{ color: {p.muted};
        border-color: {p.line}; }}
    {link} {{ background: transparent;
        border: 1px solid transparent; border-radius: 5px; color: {p.accent}; font-size: {px(14)}px;
        padding: 1px 5px; min-height: {px(20)}px; text-decoration: underline; }}
    {_in_cards_too(":hover")} {{ background: {p.accent_soft}; }}
    {_in_cards_too(":focus")} {{ border: 2px solid {p.accent}; padding: 0px 4px; }}
    {_in_cards_too(":disabled")} {{ color: transparent; }}
    QPushButton[role="fold"], QFrame#card QPushButton[role="fold"] {{ background: transparent;
        border: 1px solid transparent; border-radius: 6px; text-align: left; font-size: {px(17)}px;
        font-weight: 700; padding: 4px 8px; }}
    QFrame#card QPushButton[role="fold"]:hover {{ background: {p.accent_soft}; }}
    QFrame#card QPushButton[role="fold"]:focus {{ border: 2px solid {p.accent}; padding: 3px 7px; }}
    QPushButton[role="start"] {{ background: {p.accent}; color: {p.on_accent}; border: 1px solid {p.accent};
        font-size: {px(22, 1.7)}px; font-weight: 700; padding: 6px {px(24, 1.4)}px; }}
    QPushButton[role="start"]:focus {{ border: 3px solid {p.text}; }}
    QPushButton[role="start"]:disabled {{ background: {p.background}; color: {p.muted};
        border: 1px solid {p.line}; }}
    """


def _in_cards_too(state: str) -> str:
    """The selector of a link in a state; the window's style has a stronger one for buttons in cards."""
    link = f'QPushButton[role="link"]{state}'
    return f"{link}, QFrame#card {link}"

"""Safety, one key away: fire, burns, oils, children and pets. Each line says where it comes from."""

import tomllib
from collections.abc import Callable
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QVBoxLayout, QWidget

from candlebench.resources_folder import resources_folder
from candlebench.ui.page_frame import card, framed_page, role_label
from candlebench.words import tr


def safety_table() -> dict[str, Any]:
    """The cautions with their sources, as in `resources/data/safety.toml`."""
    return tomllib.loads((resources_folder() / "data" / "safety.toml").read_text(encoding="utf-8"))


class SafetyPage(QWidget):
    """The cautions, in cards."""

    def __init__(self, back: Callable[[], None], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        table = safety_table()
        body = QWidget()
        box = QVBoxLayout(body)
        box.setContentsMargins(24, 8, 24, 24)
        box.setSpacing(16)
        box.addWidget(card(role_label(tr(table["defer"]), "lead")))
        for section in table["section"]:
            parts = [role_label(tr(section["title"]), "section")]
            for row in section["rows"]:
                line = role_label(tr(row["text"]), "lead")
                source = role_label(tr("Source: {source}").format(source=tr(row["source"])), "source")
                line.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
                parts += [line, source]
            box.addWidget(card(*parts))
        box.addStretch(1)
        framed_page(self, tr("Safety"), body, back)

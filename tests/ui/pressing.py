"""Pressing a button by its words, and reading what stands on a page, as a person does."""

from PySide6.QtWidgets import QLabel, QPushButton, QWidget


def press(page: QWidget, text: str) -> None:
    """Press the button that is seen to say this."""
    next(b for b in page.findChildren(QPushButton) if b.text() == text and b.isVisibleTo(page)).click()


def words(page: QWidget) -> str:
    """Everything that stands on labels that are seen."""
    return "\n".join(label.text() for label in page.findChildren(QLabel) if label.isVisibleTo(page))

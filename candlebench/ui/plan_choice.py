"""A choice on the plan page: long names are cut and told in full, the wheel scrolls the page instead."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QPaintEvent, QWheelEvent
from PySide6.QtWidgets import QComboBox, QSizePolicy, QStyle, QStyleOptionComboBox, QStylePainter

from candlebench.ui.plan_field import mark_widget


class PlanChoice(QComboBox):
    """Choices with a value each; letters typed go to the next name that begins so, Enter goes on."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self.name = name
        self.fault = ""
        self.setAccessibleName(name)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(5)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.currentTextChanged.connect(self.setToolTip)

    def offer(self, choices: list[tuple[object, str]]) -> None:
        """Offer (value, words) pairs in place of those before; the present one stays if it is among them."""
        present = self.value()
        blocked = self.blockSignals(True)
        self.clear()
        for value, words in choices:
            self.addItem(words, value)
        self.choose(present)
        self.blockSignals(blocked)
        self.setToolTip(self.currentText())
        # The list is as wide as its longest name.
        widest = max((self.fontMetrics().horizontalAdvance(words) for _, words in choices), default=0)
        self.view().setMinimumWidth(widest + 48)

    def value(self) -> object:
        """The value that is chosen; None when there is none."""
        return self.currentData()

    def choose(self, value: object) -> bool:
        """Choose by value; false, and nothing changes, when it is not offered."""
        for index in range(self.count()):
            if self.itemData(index) == value:
                self.setCurrentIndex(index)
                return True
        return False

    def mark(self, fault: str) -> None:
        """Mark it as wrong, with what to do; '' takes the mark away."""
        if fault != self.fault:
            self.fault = fault
            mark_widget(self, fault)
            self.setToolTip(fault or self.currentText())

    def paintEvent(self, event: QPaintEvent) -> None:
        painter, option = QStylePainter(self), QStyleOptionComboBox()
        self.initStyleOption(option)
        field = self.style().subControlRect(
            QStyle.ComplexControl.CC_ComboBox, option, QStyle.SubControl.SC_ComboBoxEditField, self
        )
        option.currentText = self.fontMetrics().elidedText(  # type: ignore[attr-defined]
            self.currentText(), Qt.TextElideMode.ElideRight, field.width() - 4
        )
        painter.drawComplexControl(QStyle.ComplexControl.CC_ComboBox, option)
        painter.drawControl(QStyle.ControlElement.CE_ComboBoxLabel, option)
        painter.end()

    def wheelEvent(self, event: QWheelEvent) -> None:
        event.ignore()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.focusNextChild()
        else:
            super().keyPressEvent(event)

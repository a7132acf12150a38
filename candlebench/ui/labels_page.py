"""The labels: choose size and words on the left, see the label as it will be printed on the right, save."""

from collections.abc import Callable, Mapping
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QBoxLayout,
    QFrame,
    QHBoxLayout,
    QPushButton,
    QScrollArea,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from candlebench.core.errors import FixableError
from candlebench.core.label_languages import LabelLanguage
from candlebench.core.labels import Part, missing_topics, places_mm
from candlebench.core.plan.planning import Plan
from candlebench.core.plan.tables import Tables
from candlebench.ui.label_drawing import letter_widths
from candlebench.ui.label_form import LabelForm
from candlebench.ui.label_layout import LaidOut, lay_out
from candlebench.ui.label_notes import hazard_hint, hazard_short
from candlebench.ui.label_preview import LabelPreview, SheetPreview
from candlebench.ui.label_sheet import LabelJob, too_long_words
from candlebench.ui.page_frame import framed_page, role_label
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr, tr_count

# Narrower than this, at 100 % text, the preview stands above the fields.
SIDE_BY_SIDE_PX = 860
# Lower than this, at 100 % text, the small sheet is left out.
SHEET_FROM_PX = 560
# Above the fields the whole sentence about the law stands from this width on, at 100 % text.
WHOLE_SENTENCE_PX = 600


class LabelsPage(QWidget):
    """Makes labels.

    Parameters
    ----------
    plan : Plan or None
        What the labels are for; None begins with empty texts.
    tables : Tables
    languages : mapping of str to LabelLanguage
    problems : tuple of str
        Sentences about language files that cannot be used.
    own_folder : Path
        Where she puts her own.
    sheet : str
        'a4' or 'letter', to begin with.
    back : callable
    save : callable
        Takes a `LabelJob`, asks where and writes it.
    maker : str
        Who makes the candles, as it was written last.
    keep_maker : callable or None
        Takes who makes them when that was changed, to be offered the next time.
    """

    def __init__(
        self,
        plan: Plan | None,
        tables: Tables,
        languages: Mapping[str, LabelLanguage],
        problems: tuple[str, ...],
        own_folder: Path,
        sheet: str,
        back: Callable[[], None],
        save: Callable[[LabelJob], None],
        maker: str = "",
        keep_maker: Callable[[str], None] | None = None,
    ) -> None:
        super().__init__()
        self._theme, self._save_job = Theme(LIGHT), save
        self._widths = letter_widths()
        self.form = LabelForm(plan, tables, languages, problems, own_folder, sheet, maker)
        self._maker, self._keep_maker = maker, keep_maker
        self.form.texts["maker"].editingFinished.connect(self._take_maker)
        self._hazards = hazard_short(plan), hazard_hint(plan)
        self.form.changed.connect(self._show)
        scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setFrameShape(QFrame.Shape.NoFrame)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        scroll.setWidget(self.form)
        scroll.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Ignored)
        body = QWidget()
        self._columns = QBoxLayout(QBoxLayout.Direction.LeftToRight, body)
        self._columns.setContentsMargins(24, 2, 24, 16)
        self._columns.setSpacing(16)
        self._columns.addWidget(scroll, 11)
        self._columns.addWidget(self._preview_card(), 10)
        framed_page(self, tr("Labels"), body, back)
        self._show()

    def use(self, theme: Theme) -> None:
        """Take a theme: what is painted here does not follow the style sheet."""
        self._theme = theme
        for part in (self.form, self.preview, self.sheet):
            part.use(theme)
        self._arrange()

    def take_focus(self) -> None:
        """Where the keyboard begins."""
        self.form.sizes.setFocus()

    def job(self) -> LabelJob | None:
        """What would be printed; None while something stands against it."""
        size, count = self.form.label_size(), self.form.count()
        if self._trouble() or size is None or count is None:
            return None
        return LabelJob(self.form.content(), size, self.form.sheet, count)

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._arrange()
        super().resizeEvent(event)

    # --- parts --------------------------------------------------------------------------------------------

    def _preview_card(self) -> QWidget:
        frame = QFrame()
        frame.setObjectName("card")
        self._inside = QBoxLayout(QBoxLayout.Direction.TopToBottom, frame)
        self._inside.setContentsMargins(16, 12, 16, 14)
        self._inside.setSpacing(8)
        self.preview, self.sheet = LabelPreview(), SheetPreview()
        self.problem = role_label("", "problem")
        self.caption = role_label("", "muted")
        self.mind, self.hazard = role_label("", "warning"), role_label("", "warning")
        self.save = QPushButton(tr("Save as PDF…"))
        self.save.setProperty("role", "main")
        self.save.clicked.connect(self._save)
        words = QVBoxLayout()
        words.setSpacing(6)
        for part in (self.caption, self.problem, self.mind, self.hazard):
            words.addWidget(part)
        words.addStretch(1)
        words.addWidget(self.save, 0, Qt.AlignmentFlag.AlignLeft)
        row = QHBoxLayout()
        row.setSpacing(16)
        row.addWidget(self.sheet, 0, Qt.AlignmentFlag.AlignTop)
        row.addLayout(words, 1)
        self._inside.addWidget(self.preview, 1)
        self._inside.addLayout(row, 0)
        return frame

    def _arrange(self) -> None:
        wide = self.width() >= SIDE_BY_SIDE_PX * min(self._theme.scale, 1.5)
        way = QBoxLayout.Direction.LeftToRight if wide else QBoxLayout.Direction.BottomToTop
        if self._columns.direction() is not way:
            self._columns.setDirection(way)
            down, across = QBoxLayout.Direction.TopToBottom, QBoxLayout.Direction.LeftToRight
            self._inside.setDirection(down if wide else across)
            self._inside.setStretch(1, 0 if wide else 1)
        self._show_hazard()
        self.sheet.setVisible(wide and self.height() >= SHEET_FROM_PX * min(self._theme.scale, 1.3))

    # --- what is shown ------------------------------------------------------------------------------------

    def _laid(self) -> LaidOut | None:
        size = self.form.label_size()
        return None if size is None else lay_out(self.form.content(), size, self._widths)

    def _trouble(self) -> str:
        """'' when it can be printed, else one sentence with what to do."""
        size, laid = self.form.label_size(), self._laid()
        if self.form.problem() or size is None or laid is None:
            return self.form.problem()
        try:
            places_mm(size, self.form.sheet)
        except FixableError as error:
            return str(error)
        if not laid.words:
            return tr("Nothing stands on the label: write a name or tick a warning.")
        return too_long_words(laid)

    def _show(self) -> None:
        size, laid, trouble = self.form.label_size(), self._laid(), self._trouble()
        self.preview.show_label(laid, size)
        self.sheet.show_sheet(laid, size, self.form.sheet, self.form.count() or 1)
        self.problem.setText(trouble)
        self.problem.setVisible(bool(trouble))
        self.caption.setText(self._caption())
        missing = self._missing_words()
        self.mind.setText(missing)
        self.mind.setVisible(bool(missing))
        self._show_hazard()
        self.save.setEnabled(not trouble)

    def _show_hazard(self) -> None:
        """What the law wants besides, in a sentence or, above the fields, where it stands."""
        beside = self._columns.direction() is QBoxLayout.Direction.LeftToRight
        roomy = beside or self.width() >= self._theme.px(WHOLE_SENTENCE_PX)
        words = self._hazards[0 if roomy else 1] if self.form.content().statements else ""
        self.hazard.setText(words)
        self.hazard.setToolTip(self._hazards[0] if words else "")
        self.hazard.setAccessibleName(self._hazards[0] if words else "")
        self.hazard.setVisible(bool(words))

    def _caption(self) -> str:
        size, count = self.form.label_size(), self.form.count()
        if size is None or count is None:
            return ""
        try:
            each = len(places_mm(size, self.form.sheet))
        except FixableError:
            return ""
        sheets = -(-count // each)
        return tr("{each} on a sheet; {labels} on {sheets}.").format(
            each=each,
            labels=tr_count("{n} label", "{n} labels", count).format(n=count),
            sheets=tr_count("{n} sheet", "{n} sheets", sheets).format(n=sheets),
        )

    def _missing_words(self) -> str:
        if self.form.part is Part.NAME or not missing_topics(self.form.content()):
            return ""
        return tr("The first three warnings are wanted by EN 15494 and ASTM F2058: tick them.")

    def _take_maker(self) -> None:
        maker = self.form.texts["maker"].text().strip()
        if maker != self._maker and self._keep_maker is not None:
            self._maker = maker
            self._keep_maker(maker)

    def _save(self) -> None:
        # Keys that press the button leave the field without finishing it.
        self._take_maker()
        job = self.job()
        if job is not None:
            self._save_job(job)

"""What it has learned: how the forecasts fared, and what is known of each lot, jug and probe."""

import time
from collections.abc import Callable, Sequence
from datetime import date, datetime
from typing import Protocol
from uuid import UUID

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtWidgets import QFrame, QGridLayout, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from candlebench.core.errors import CandlebenchError
from candlebench.core.learning.drift import drift_sentence
from candlebench.core.learning.sentences import known_sentence, lesson_words
from candlebench.core.track_record import Score
from candlebench.core.units import Shown
from candlebench.records.lesson_rows import KeptLesson, Learned
from candlebench.records.lessons import KINDS
from candlebench.records.probes import Probes
from candlebench.records.set_aside import local_day
from candlebench.ui.check_trust import TrustRow
from candlebench.ui.fields import NumberField
from candlebench.ui.page_frame import card, framed_page, left, role_label
from candlebench.ui.record_strip import RecordStrip
from candlebench.ui.theme import Theme
from candlebench.words import tr

# Shown of each thing until she asks for more.
LATEST = 5


class Shop(Protocol):
    """What the page asks of the workshop."""

    def learned(self) -> tuple[Learned, ...]: ...

    def score(self) -> Score: ...

    def say(self, kind: str, name: str, origin: str, value: float) -> None: ...

    def forget(self, kind: str, name: str, origin: str) -> None: ...

    def leave_out(self, kind: str, name: str, melt: UUID, left_out: bool) -> None: ...


class LearnedPage(QWidget):
    """One card for the track record, one for each thing; corrections are kept at once.

    `check_wanted` carries the name of a probe that she wants to check.

    Parameters
    ----------
    shop : Shop
        What was learned.
    shown : Shown
    theme : Theme
    back : callable
        The way back.
    probes : Probes or None
        Checks and plunge tests; None where they are not offered.
    today : date
        For the age of a check.
    """

    check_wanted = Signal(str)

    def __init__(
        self,
        shop: Shop,
        shown: Shown,
        theme: Theme,
        back: Callable[[], None],
        probes: Probes | None = None,
        today: date | None = None,
    ) -> None:
        super().__init__()
        self._shop, self._shown = shop, shown
        self._probes, self._today = probes, today or local_day(time.time())
        self._problem = role_label("", "problem")
        self._problem.hide()
        self._record = role_label("", "lead")
        self._widened = role_label("", "warning")
        self._strip = RecordStrip()
        self._strip.use(theme)
        self._caption = role_label(
            tr("The last forecasts, the oldest at the left; each made 10, 5 or 2 minutes ahead."), "muted"
        )
        self._things = QVBoxLayout()
        self._things.setSpacing(16)
        self._cards: list[QWidget] = []
        body = QWidget()
        outer = QVBoxLayout(body)
        outer.setContentsMargins(24, 8, 24, 24)
        outer.setSpacing(16)
        heading = role_label(tr("How the forecasts fared"), "section")
        outer.addWidget(self._problem)
        outer.addWidget(card(heading, self._record, self._strip, self._caption, self._widened))
        outer.addLayout(self._things)
        outer.addStretch(1)
        framed_page(self, tr("What it has learned"), body, back)
        self.refresh()

    def use(self, theme: Theme) -> None:
        """Take other colours or another size of text."""
        self._strip.use(theme)

    def refresh(self) -> None:
        """Read everything again and show it."""
        self._do(self._show_all)

    def _show_all(self) -> None:
        learned, score = self._shop.learned(), self._shop.score()
        self._record.setText(score.sentence)
        self._widened.setText(score.widen_sentence)
        self._widened.setVisible(bool(score.widen_sentence))
        self._strip.show_forecasts(score.last)
        self._strip.setVisible(bool(score.last))
        self._caption.setVisible(bool(score.last))
        for old in self._cards:
            self._things.removeWidget(old)
            old.hide()
            old.deleteLater()
        self._cards = [] if learned or self._only_checked([]) else [_nothing_yet()]
        for kind in KINDS:
            of_it = [thing for thing in learned if thing.kind == kind]
            only_checked = self._only_checked(of_it) if kind == "probe" else ()
            if of_it or only_checked:
                self._cards.append(role_label(_kind_words(kind), "section"))
            self._cards += [ThingCard(thing, self._shown, self) for thing in of_it]
            self._cards += [self._checked_card(name) for name in only_checked]
        for part in self._cards:
            self._things.addWidget(part)

    # --- checks of probes ---------------------------------------------------------------------------------

    def _only_checked(self, learned: Sequence[Learned]) -> tuple[str, ...]:
        """Names of probes that were checked, but from which no melt has learned."""
        if self._probes is None:
            return ()
        known = {" ".join(thing.name.casefold().split()) for thing in learned if thing.origin == "live"}
        return tuple(name for name in self._probes.names() if " ".join(name.casefold().split()) not in known)

    def trust(self, name: str) -> QWidget | None:
        """How far a probe can be trusted, and a way to check it; None where checks are not offered."""
        if self._probes is None:
            return None
        row = TrustRow(name, self._probes, self._today, self._shown)
        row.check_wanted.connect(self.check_wanted)
        return row

    def _checked_card(self, name: str) -> QWidget:
        trust = self.trust(name)
        assert trust is not None
        made = card(role_label(name, "section"), trust)
        made.setAccessibleName(name)
        return made

    # --- what she does ------------------------------------------------------------------------------------

    def say(self, thing: Learned, value: float) -> None:
        """She says what it is."""
        self._change(thing, lambda: self._shop.say(thing.kind, thing.name, thing.origin, value))

    def forget(self, thing: Learned) -> None:
        """She wants nothing of it used."""
        self._change(thing, lambda: self._shop.forget(thing.kind, thing.name, thing.origin))

    def leave_out(self, thing: Learned, melt: UUID, left_out: bool) -> None:
        """She wants one melt not used, or used again."""
        self._change(thing, lambda: self._shop.leave_out(thing.kind, thing.name, melt, left_out))

    def _change(self, thing: Learned, change: Callable[[], None]) -> None:
        """Do it, show what has become of it, and let the keyboard stay with the same thing."""
        if not self._do(change):
            return
        self.refresh()
        same = [c for c in self._cards if isinstance(c, ThingCard) and c.is_about(thing)]
        # Its button takes the focus once the layout has shown it.
        QTimer.singleShot(0, self, lambda: [card.edit.setFocus() for card in same])

    def _do(self, what: Callable[[], None]) -> bool:
        """Whether it could be done; if not, the reason is shown."""
        try:
            what()
        except CandlebenchError as error:
            self._problem.setText(str(error))
            self._problem.show()
            return False
        self._problem.hide()
        return True


class ThingCard(QFrame):
    """One lot, jug or probe: the sentence, the melts it came from, and what she can do about it."""

    def __init__(self, thing: Learned, shown: Shown, page: LearnedPage) -> None:
        super().__init__()
        self.setObjectName("card")
        self.setAccessibleName(thing.name)
        self._thing, self._shown, self._page = thing, shown, page
        box = QVBoxLayout(self)
        box.setContentsMargins(24, 16, 24, 16)
        box.setSpacing(8)
        box.addLayout(self._heading())
        box.addWidget(role_label(self._sentence(), "lead"))
        if thing.drift is not None:
            box.addWidget(role_label(drift_sentence(thing.drift, shown), "warning"))
        if thing.kind == "probe" and thing.origin == "live":
            trust = page.trust(thing.name)
            if trust is not None:
                box.addWidget(trust)
        self._melts = QGridLayout()
        self._melts.setHorizontalSpacing(16)
        self._melts.setVerticalSpacing(2)
        self._row_px = 0
        self._melts.setColumnStretch(1, 1)
        latest = thing.lessons[::-1][:LATEST]
        for row, kept in enumerate(latest):
            self._melt_row(row, kept)
        box.addLayout(self._melts)
        if len(thing.lessons) > LATEST:
            more = tr("and {count} earlier").format(count=len(thing.lessons) - LATEST)
            box.addWidget(role_label(more, "muted"))
        self._field = _value_field(thing, shown)
        self._use = QPushButton(tr("Use this"))
        self._use.clicked.connect(self._say)
        self._field.returnPressed.connect(self._say)
        self._problem = role_label("", "problem")
        self._problem.hide()
        self._saying = left(
            role_label(_field_words(thing.kind), "lead", wrap=False),
            self._field,
            role_label(_unit(thing.kind, shown), "muted", wrap=False),
            self._use,
        )
        self._saying.hide()
        box.addWidget(self._saying)
        box.addWidget(self._problem)

    def is_about(self, thing: Learned) -> bool:
        """Whether this card shows the same lot, jug or probe."""
        mine = self._thing
        return (mine.kind, mine.name, mine.origin) == (thing.kind, thing.name, thing.origin)

    def _heading(self) -> QHBoxLayout:
        words = self._thing.name
        if self._thing.origin != "live":
            words = tr("{name} (practice)").format(name=words)
        row = QHBoxLayout()
        row.setSpacing(12)
        row.addWidget(role_label(words, "section"), 1)
        self.edit = QPushButton(tr("Say it yourself"))
        self.edit.clicked.connect(self._edit)
        self.forget = QPushButton(tr("Forget"))
        self.forget.setEnabled(self._thing.known is not None)
        self.forget.clicked.connect(lambda: self._page.forget(self._thing))
        for button in (self.edit, self.forget):
            button.setAccessibleDescription(self._thing.name)
            row.addWidget(button, 0, Qt.AlignmentFlag.AlignTop)
        return row

    def _sentence(self) -> str:
        thing = self._thing
        if thing.known is None:
            return tr("Nothing of it is used: the next melt begins with what is usual.")
        return known_sentence(thing.known, self._shown, thing.said is not None)

    def _melt_row(self, row: int, kept: KeptLesson) -> None:
        began = datetime.fromtimestamp(kept.began_wall_s).astimezone()
        day = role_label(began.strftime("%Y-%m-%d %H:%M"), "muted", wrap=False)
        words = kept.why if kept.lesson is None else lesson_words(kept.lesson, self._shown)
        if kept.forgotten and kept.lesson is not None:
            words = tr("{words}: left out").format(words=words)
        self._melts.addWidget(day, row, 0)
        self._melts.addWidget(role_label(words, "muted"), row, 1)
        if kept.lesson is not None:
            button = QPushButton(tr("Use again") if kept.forgotten else tr("Leave out"))
            button.setProperty("role", "bar")
            button.setAccessibleDescription(began.strftime("%Y-%m-%d %H:%M"))
            left_out = not kept.forgotten
            button.clicked.connect(lambda: self._page.leave_out(self._thing, kept.melt, left_out))
            self._melts.addWidget(button, row, 2)
            self._row_px = max(self._row_px, button.sizeHint().height())
        # Rows with and without a button lie equally far apart.
        for above in range(row + 1):
            self._melts.setRowMinimumHeight(above, self._row_px)

    def _edit(self) -> None:
        self._saying.setVisible(not self._saying.isVisibleTo(self))
        self._field.setFocus()

    def _say(self) -> None:
        problem = self._field.problem()
        self._problem.setText(problem)
        self._problem.setVisible(bool(problem))
        number = self._field.number()
        if number is None:
            return
        match self._thing.kind:
            case "lot":
                number = self._shown.back(number)
            case "jug":
                number = number / self._shown.difference(1.0)
        self._page.say(self._thing, number)


def _nothing_yet() -> QFrame:
    text = tr(
        "Nothing yet. Give the lot of wax, the jug and the probe a name on the page of the melt (Ctrl+D): "
        "each melt then teaches the next one with the same name."
    )
    return card(role_label(text, "lead"))


def _kind_words(kind: str) -> str:
    return {"lot": tr("Lots of wax"), "jug": tr("Jugs"), "probe": tr("Probes")}[kind]


def _field_words(kind: str) -> str:
    return {"lot": tr("It sets at"), "jug": tr("It loses"), "probe": tr("It follows")}[kind]


def _unit(kind: str, shown: Shown) -> str:
    """What her number is counted in."""
    return {
        "lot": shown.sign,
        "jug": tr("{unit} a minute, {above:.0f} {unit} above the room").format(
            unit=shown.sign, above=shown.difference(50.0)
        ),
        "probe": tr("s behind the wax"),
    }[kind]


def _value_field(thing: Learned, shown: Shown) -> NumberField:
    """A field for what she says herself; ranges as `records.lessons.check_said` has them."""
    match thing.kind:
        case "lot":
            low, high = shown.number(25.0), shown.number(100.0)
        case "jug":
            low, high = shown.difference(0.05), shown.difference(10.0)
        case _:
            low, high = 0.2, 120.0
    field = NumberField(_field_words(thing.kind), _unit(thing.kind, shown), low, high)
    field.setMaximumWidth(140)
    return field

"""A batch was made: what it takes from the cupboard, of which there is too little, and what is left over."""

from dataclasses import replace
from datetime import datetime

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFrame, QGridLayout, QPushButton, QVBoxLayout, QWidget

from candlebench.core.cupboard import Cupboard
from candlebench.core.errors import CandlebenchError
from candlebench.core.plan.planning import Plan
from candlebench.core.plan.to_melt import plan_title
from candlebench.core.stock_taking import (
    Chosen,
    Taken,
    after_batch,
    batch_mark,
    leftover_of,
    what_it_leaves_out,
    what_it_takes,
)
from candlebench.records.cupboard_stock import BatchOut, Stock, free_name
from candlebench.ui.cupboard_entry import Choice, Entry
from candlebench.ui.cupboard_fields import Field
from candlebench.ui.cupboard_panel import framed_panel, main_button, say
from candlebench.ui.page_frame import role_label
from candlebench.ui.theme import Theme
from candlebench.words import tr


class CupboardBatch(QFrame):
    """Asks about one batch.

    Emits `made` with the cupboard after the batch, a new leftover or None, words, and the `BatchOut` to
    remember; or `closed`.

    Parameters
    ----------
    plan : Plan
    stock : Stock
        As it stands; a batch that it remembers is asked about before it is taken again.
    chosen : Chosen or None
        What it was made of; guessed without it.
    now : datetime
        With its zone.
    """

    made = Signal(object, object, str, object)
    closed = Signal()

    def __init__(self, plan: Plan, stock: Stock, chosen: Chosen | None, now: datetime) -> None:
        super().__init__()
        self._plan, self._stock, self._now = plan, stock, now
        self._earlier = stock.taken_out(batch_mark(plan))
        chosen = chosen or guessed(plan, stock.cupboard)
        self.choices: dict[str, Choice] = {}
        self._sentences = role_label("", "lead")
        self._short = role_label("", "warning")
        self._out = role_label("", "muted")
        self._again = role_label(_again_words(self._earlier, now), "warning")
        self._again.setVisible(self._earlier is not None)
        self.left_over = Entry(
            Field("left", tr("Left in the jug"), "number", "g", remark=tr("empty: nothing was left"))
        )
        self.left_name = Entry(Field("name", tr("Name of the leftover"), "text"))
        self.left_name.show_value(free_name(stock, "leftovers", plan_title(plan)))
        body = QWidget()
        self._box = QVBoxLayout(body)
        self._box.setContentsMargins(0, 0, 8, 0)
        self._box.setSpacing(8)
        self._box.addWidget(role_label(plan_title(plan), "muted"))
        self._box.addWidget(self._again)
        self._grid = QGridLayout()
        self._grid.setHorizontalSpacing(14)
        self._grid.setVerticalSpacing(3)
        self._grid.setColumnStretch(0, 1)
        self._grid.setColumnStretch(1, 1)
        self._add_choices(chosen)
        for part in (role_label(tr("It takes"), "label"), self._sentences, self._short, self._out):
            self._box.addWidget(part)
        self._box.addLayout(self._grid)
        self._box.addWidget(self.left_over)
        self._box.addWidget(self.left_name)
        self._box.addStretch(1)
        self.confirm = main_button("")
        self.cancel = QPushButton(tr("Leave it  Esc"))
        title = tr("A batch was made")
        _, self._problem = framed_panel(self, title, body, (self.confirm, self.cancel))
        self.confirm.clicked.connect(self._make)
        self.cancel.clicked.connect(self.closed)
        self._show()

    def use(self, theme: Theme) -> None:
        """Take another size of text; the style sheet does it all."""

    def take_focus(self) -> None:
        """Begin at the first choice."""
        next(iter(self.choices.values()), self.confirm).setFocus()

    def refuse(self, problem: str) -> None:
        """Say that it could not be kept."""
        say(self._problem, problem)

    @property
    def taken(self) -> tuple[Taken, ...]:
        """What the batch takes with the present choices."""
        chosen = Chosen(**{key: self._chosen(key) for key in ("wax", "jar", "wick", "label")})
        taken = what_it_takes(self._plan, self._stock.cupboard, chosen)
        for oil, amount_ml in _strange_oils(self._plan, self._stock.cupboard):
            bottle = self._stock.find("oils", self._chosen(f"oil {oil}"))
            if bottle is not None:
                taken = _with(taken, bottle.name, amount_ml, getattr(bottle, "stock_ml", 0.0))
        return taken

    def _left_out(self) -> tuple[str, ...]:
        """What the batch takes and the cupboard, with the present choices, does not give."""
        chosen = Chosen(**{key: self._chosen(key) for key in ("wax", "jar", "wick", "label")})
        strange = [oil for oil, _ in _strange_oils(self._plan, self._stock.cupboard)]
        elsewhere = [oil for oil in strange if self._chosen(f"oil {oil}")]
        return what_it_leaves_out(self._plan, self._stock.cupboard, chosen, elsewhere)

    @property
    def words(self) -> str:
        """What is shown of it."""
        said = (self._again, self._sentences, self._short, self._out)
        return "\n".join(label.text() for label in said if not label.isHidden() and label.text())

    @property
    def problem(self) -> str:
        """What stands under it as wrong."""
        return self._problem.text()

    def _add_choices(self, chosen: Chosen) -> None:
        cupboard, plan = self._stock.cupboard, self._plan
        lots = [lot.name for lot in cupboard.waxes if lot.wax == plan.request.wax]
        self._add_choice("wax", tr("Wax from"), lots, chosen.wax)
        for oil, _ in _strange_oils(plan, cupboard):
            bottles = [bottle.name for bottle in cupboard.oils]
            alike = next((bottle.name for bottle in cupboard.oils if bottle.oil == _kind(plan, oil)), "")
            self._add_choice(f"oil {oil}", tr("{oil} from").format(oil=_shown(plan, oil)), bottles, alike)
        self._add_choice("jar", tr("Jars from"), [jar.name for jar in cupboard.jars], chosen.jar)
        self._add_choice("wick", tr("Wicks from"), [wick.name for wick in cupboard.wicks], chosen.wick)
        self._add_choice("label", tr("Labels from"), [label.name for label in cupboard.labels], chosen.label)

    def _add_choice(self, key: str, words: str, names: list[str], chosen: str) -> None:
        if not names:
            return
        box = Choice()
        box.setAccessibleName(words)
        box.addItem(tr("none of these"), "")
        for name in names:
            box.addItem(name, name)
        box.setCurrentIndex(max(0, box.findData(chosen)))
        box.currentIndexChanged.connect(self._show)
        label = role_label(words, "label")
        label.setBuddy(box)
        row, column = divmod(len(self.choices), 2)
        self._grid.addWidget(label, 2 * row, column)
        self._grid.addWidget(box, 2 * row + 1, column)
        self.choices[key] = box

    def _chosen(self, key: str) -> str:
        box = self.choices.get(key)
        return "" if box is None else str(box.currentData() or "")

    def _show(self) -> None:
        taken = self.taken
        enough = [each.text for each in taken if not each.short]
        short = [each.text for each in taken if each.short]
        nothing = tr("Nothing from the cupboard: choose below what was used.")
        self._sentences.setText("\n".join(enough) if taken else nothing)
        self._sentences.setVisible(bool(enough) or not taken)
        signed = [f"\N{WARNING SIGN} {text}" for text in short]
        hint = tr("Choose another, or take what there is: it then stands at nothing.")
        self._short.setText("\n".join([*signed, hint]) if short else "")
        self._short.setVisible(bool(short))
        out = self._left_out()
        self._out.setText(tr("Not from the cupboard: {things}.").format(things=tr(", ").join(out)))
        self._out.setVisible(bool(out))
        if self._earlier is not None:
            self.confirm.setText(tr("Take another one"))
        else:
            self.confirm.setText(tr("Take what there is") if short else tr("Take it out"))
        self.confirm.setEnabled(bool(taken))

    def _make(self) -> None:
        cupboard = after_batch(self._stock.cupboard, self.taken)
        problem = self.left_over.problem()
        self.left_over.say(problem)
        if problem:
            self.left_over.editor.setFocus()
            return
        leftover = None
        left_g = self.left_over.value()
        if isinstance(left_g, float) and left_g > 0.0:
            name = str(self.left_name.value() or plan_title(self._plan))
            try:
                leftover = leftover_of(self._plan, name, left_g)
            except CandlebenchError as error:
                self.left_over.say(str(error))
                self.left_over.editor.setFocus()
                return
            if any(each.name == name for each in cupboard.leftovers):
                self.left_name.say(tr("There is already a leftover of that name: type another."))
                self.left_name.editor.setFocus()
                return
        words = tr("A batch was taken out: {title}.").format(title=plan_title(self._plan))
        out = BatchOut(batch_mark(self._plan), plan_title(self._plan), self._now)
        self.made.emit(cupboard, leftover, words, out)


def _again_words(earlier: BatchOut | None, now: datetime) -> str:
    """'This batch was already taken out at 15:13. Take another one?'; '' for the first time."""
    if earlier is None:
        return ""
    at = earlier.at.astimezone(now.tzinfo)
    if at.date() == now.date():
        text = tr("This batch was already taken out at {time}. Take another one?")
    else:
        text = tr("This batch was already taken out on {day} at {time}. Take another one?")
    return "\N{WARNING SIGN} " + text.format(day=at.date().isoformat(), time=at.strftime("%H:%M"))


def guessed(plan: Plan, cupboard: Cupboard) -> Chosen:
    """Return what the batch was most likely made of: the plan's own lot and what fits its sizes."""
    request = plan.request
    lots = [lot.name for lot in cupboard.waxes if lot.wax == request.wax]
    jars = [jar.name for jar in cupboard.jars if jar.diameter_mm == request.diameter_mm]
    same_fill = [jar.name for jar in cupboard.jars if jar.name in jars and jar.fill_mm == request.fill_mm]
    wicks = [w.name for w in cupboard.wicks if (w.series, w.size) == (plan.wick.series, plan.wick.size)]
    labels = [label.name for label in cupboard.labels]
    return Chosen(
        wax=request.lot if request.lot in lots else next(iter(lots), ""),
        jar=next(iter(same_fill or jars), ""),
        wick=next(iter(wicks), ""),
        label=labels[0] if len(labels) == 1 else "",
    )


def _strange_oils(plan: Plan, cupboard: Cupboard) -> tuple[tuple[str, float], ...]:
    """Oils of the plan that no bottle is named after, with their millilitres."""
    names = {bottle.name for bottle in cupboard.oils}
    if plan.oil is None or not names:
        return ()
    return tuple(
        (line.oil.name, line.volume_ml.value)
        for line in plan.oil.lines
        if line.weigh_g.value > 0.0 and line.oil.name not in names
    )


def _shown(plan: Plan, name: str) -> str:
    lines = plan.oil.lines if plan.oil else ()
    return next((line.oil.shown_name for line in lines if line.oil.name == name), name)


def _kind(plan: Plan, name: str) -> str:
    lines = plan.oil.lines if plan.oil else ()
    return next((line.oil.table_name for line in lines if line.oil.name == name), "")


def _with(taken: tuple[Taken, ...], name: str, amount_ml: float, stock_ml: float) -> tuple[Taken, ...]:
    """The same with so much more of one bottle, after the wax."""
    before = next((each for each in taken if (each.shelf, each.name) == ("oils", name)), None)
    if before is not None:
        more = replace(before, amount=before.amount + amount_ml, left=before.left - amount_ml)
        return tuple(more if each is before else each for each in taken)
    one = Taken("oils", name, amount_ml, stock_ml - amount_ml, "mL")
    place = sum(each.shelf in ("waxes", "oils") for each in taken)
    return (*taken[:place], one, *taken[place:])

"""The jar of a plan: kind, sizes or what it weighs full of water, and its drawing."""

from collections.abc import Iterator
from dataclasses import replace

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QBoxLayout, QFrame, QGridLayout, QHBoxLayout, QVBoxLayout, QWidget

from candlebench.core.cupboard import JarStock
from candlebench.core.plan.planning import Plan
from candlebench.core.plan.reasoned import Fault
from candlebench.core.plan.request import PlanRequest
from candlebench.core.plan.tables import Tables
from candlebench.core.stock_taking import with_jar
from candlebench.ui.page_frame import role_label
from candlebench.ui.plan_choice import PlanChoice
from candlebench.ui.plan_field import PlanField, SteadyLabel, cell
from candlebench.ui.plan_jar_drawing import JarDrawing
from candlebench.ui.theme import Theme
from candlebench.words import tr

# The drawing stands beside the fields from this width on, in pixels at 100 % text.
BESIDE_PX = 400

# What the jar holds, by the weight of water.
_BY_WEIGHT = ("water_fill_g", "water_brim_g")


class JarCard(QFrame):
    """Emits `edited` when something was typed, `replaced` with a request when a jar in stock is taken."""

    edited = Signal()
    replaced = Signal(object)

    def __init__(self, tables: Tables) -> None:
        super().__init__()
        self.setObjectName("card")
        self._jars: dict[str, JarStock] = {}
        self._request: PlanRequest | None = None
        self.fields = {
            "diameter_mm": PlanField(tr("Inside diameter"), "mm"),
            "bottom_mm": PlanField(tr("Diameter at the bottom"), "mm", empty=tr("straight")),
            "fill_mm": PlanField(tr("Pour to"), "mm", empty=tr("by water")),
            "height_mm": PlanField(tr("Inside height"), "mm", empty=tr("unknown")),
            "water_fill_g": PlanField(tr("Water up to the fill line"), "g", empty=tr("–")),
            "water_brim_g": PlanField(tr("Water up to the rim"), "g", empty=tr("–")),
        }
        self.stock = PlanChoice(tr("Jar from the cupboard"))
        self.kind = PlanChoice(tr("What the jar is made of"))
        self.kind.offer([(kind.name, kind.shown_name) for kind in tables.jars.kinds.values()])
        self.drawing = JarDrawing()
        self.note = SteadyLabel("muted", lines=2)
        self._lay_out()
        for field in self.fields.values():
            field.textEdited.connect(self._sizes_typed)
        self.kind.currentIndexChanged.connect(self._sizes_typed)
        self.stock.currentIndexChanged.connect(self._take_stock)

    def _lay_out(self) -> None:
        words = {
            "diameter_mm": tr("Diameter"),
            "bottom_mm": tr("At the bottom"),
            "fill_mm": tr("Pour to"),
            "height_mm": tr("Inside height"),
            "water_fill_g": tr("Weight of water up to the line"),
            "water_brim_g": tr("Weight of water up to the rim"),
        }
        grid_frame = QWidget()
        grid = QGridLayout(grid_frame)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(10)
        grid.setVerticalSpacing(8)
        sizes = [name for name in self.fields if name not in _BY_WEIGHT]
        for index, name in enumerate(sizes):
            grid.addWidget(cell(words[name], self.fields[name]), index // 2, index % 2)
        grid.setColumnStretch(0, 1)
        grid.setColumnStretch(1, 1)
        grid.setRowStretch(2, 1)
        # Their names are long: they have the whole width of the card.
        weighed = QHBoxLayout()
        weighed.setSpacing(10)
        for name in _BY_WEIGHT:
            weighed.addWidget(cell(words[name], self.fields[name], wrap=True), 1)
        self._beside = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._beside.setSpacing(14)
        self._beside.addWidget(grid_frame, 8)
        self._beside.addWidget(self.drawing, 9)
        box = QVBoxLayout(self)
        box.setContentsMargins(20, 14, 20, 10)
        box.setSpacing(8)
        head = QHBoxLayout()
        head.setSpacing(14)
        head.addWidget(role_label(tr("Jar, inside"), "section", wrap=False))
        head.addWidget(self.kind, 1)
        box.addLayout(head)
        self._stock_cell = cell(tr("From the cupboard"), self.stock)
        self._stock_cell.hide()
        box.addWidget(self._stock_cell)
        box.addLayout(self._beside)
        box.addLayout(weighed)
        box.addWidget(self.note)

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        for part in (*self.fields.values(), self.drawing, self.note):
            part.use(theme)

    def fit(self, width: int, theme: Theme) -> None:
        """The drawing beside the fields, or below them where the card is narrow."""
        beside = width >= theme.px(BESIDE_PX)
        self._beside.setDirection(
            QBoxLayout.Direction.LeftToRight if beside else QBoxLayout.Direction.TopToBottom
        )

    def offer(self, jars: tuple[JarStock, ...]) -> None:
        """Offer the jars of the cupboard."""
        self._jars = {jar.name: jar for jar in jars}
        self.stock.offer([("", tr("typed below")), *((jar.name, jar.name) for jar in jars)])
        self._stock_cell.setVisible(bool(jars))

    def taken(self) -> str:
        """Name of the jar in the cupboard, '' when its sizes were typed."""
        return str(self.stock.value() or "")

    def _take_stock(self) -> None:
        jar = self._jars.get(self.taken())
        if jar is not None and self._request is not None:
            self.replaced.emit(with_jar(self._request, jar))

    def _sizes_typed(self) -> None:
        """A jar of the cupboard with another size is none of it."""
        jar = self._jars.get(self.taken())
        if jar is not None and self._request is not None and not _is(jar, self.read_into(self._request)[0]):
            self._choose_stock("")
        self.edited.emit()

    def _choose_stock(self, name: str) -> None:
        blocked = self.stock.blockSignals(True)
        self.stock.choose(name)
        self.stock.blockSignals(blocked)

    def order(self) -> Iterator[QWidget]:
        """The fields in the order of the Tab key."""
        yield from (self.kind, self.stock, *self.fields.values())

    def show_request(self, request: PlanRequest) -> None:
        """Show what a request says of its jar."""
        self._request = request
        self.kind.choose(request.jar_kind)
        for name, field in self.fields.items():
            field.show_number(getattr(request, name))
        same = [name for name, jar in self._jars.items() if _is(jar, request)]
        if self.taken() not in same:
            self._choose_stock(same[0] if same else "")

    def read_into(self, request: PlanRequest) -> tuple[PlanRequest, list[Fault]]:
        """Return the request with this jar, and what could not be read."""
        typed = {name: field.number() for name, field in self.fields.items()}
        faults = [Fault(name, field.problem()) for name, field in self.fields.items() if field.problem()]
        # A wrong field keeps what the request had, so that the others can be looked at.
        good = {name: value for name, value in typed.items() if not self.fields[name].problem()}
        self._request = replace(request, jar_kind=str(self.kind.value()), **good)  # type: ignore[arg-type]
        return self._request, faults

    def show_plan(self, plan: Plan | None) -> None:
        """Show the jar that was worked out."""
        self.drawing.show_plan(plan)
        if plan is None:
            self.note.say("", "muted")
            return
        words = tr("Holds {volume} up to there.").format(volume=plan.jar.volume_ml.shown)
        if plan.jar.brim_ml is not None:
            words += " " + tr("{volume} up to the rim.").format(volume=plan.jar.brim_ml.shown)
        self.note.say(words, "muted")


def _is(jar: JarStock, request: PlanRequest) -> bool:
    """Whether a request is poured into this jar."""
    return replace(with_jar(request, jar), prices=request.prices) == request

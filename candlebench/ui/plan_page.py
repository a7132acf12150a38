"""Plan: from a jar to weighed wax, oil, wick, cost and the melt that makes it."""

import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import pairwise
from uuid import UUID, uuid4

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QHideEvent, QKeySequence, QResizeEvent, QShortcut
from PySide6.QtWidgets import QVBoxLayout, QWidget

from candlebench.core.cupboard import Cupboard
from candlebench.core.errors import CandlebenchError
from candlebench.core.plan.planning import Plan, make_plan
from candlebench.core.plan.reasoned import Caution, Fault, ImpossiblePlan
from candlebench.core.plan.request import PlanRequest
from candlebench.core.plan.tables import Tables
from candlebench.core.plan.to_melt import melt_setup, plan_title
from candlebench.core.state import Level
from candlebench.core.stock_taking import Chosen, what_it_takes
from candlebench.core.units import Shown
from candlebench.records.plans import KeptPlan, Plans
from candlebench.ui.plan_columns import TWO_COLUMNS_PX, PlanColumns
from candlebench.ui.plan_foot import PlanFoot
from candlebench.ui.plan_form import PlanForm
from candlebench.ui.plan_head import PlanHead
from candlebench.ui.plan_look import plan_style
from candlebench.ui.plan_results import PlanResults
from candlebench.ui.theme import LIGHT, Theme
from candlebench.words import tr

# Long enough for the next digit, short enough to feel immediate. Ours, no source.
PAUSE_MS = 120
# A plan is kept when she has paused for so long.
KEEP_MS = 1500
# Where a new plan begins; every number is to be typed over. A scenario of our own.
NEW_JAR_MM, NEW_FILL_MM, NEW_COUNT = 75.0, 80.0, 6
# The head has room for all its buttons from this width on, in pixels at 100 % text.
ROOMY_PX = 800
# As `PlanRequest` has it where the settings do not say.
USUAL_ROOM_C = 20.0


class PlanPage(QWidget):
    """The plan and all that it takes.

    Parameters
    ----------
    tables : Tables
        Waxes with the person's own limits in them.
    shown : Shown
    theme : Theme
    room_c : float or None
        From the settings; None when not known.
    altitude_m : float
    wax : str
        Name of the wax a new plan begins with.
    store : Plans or None
        Where plans are kept.
    cupboard : Cupboard or None
        What to offer beside what is typed.
    melts_of : callable or None
        Gives a sentence for each melt begun from a plan, by the plan's id.
    now : callable
        Gives Unix time.

    Attributes
    ----------
    plan : Plan or None
        The present plan; None while something typed cannot be.
    plan_id : UUID
        What a melt begun from it is to remember.
    melt_wanted : Signal(MeltSetup)
    paper_wanted : Signal(str)
        'batch' or 'labels'.
    trouble : Signal(str)
        A plan could not be kept.
    """

    melt_wanted = Signal(object)
    paper_wanted = Signal(str)
    trouble = Signal(str)

    def __init__(
        self,
        tables: Tables,
        shown: Shown,
        theme: Theme,
        *,
        room_c: float | None = None,
        altitude_m: float = 0.0,
        wax: str = "beeswax",
        store: Plans | None = None,
        cupboard: Cupboard | None = None,
        melts_of: Callable[[UUID], Sequence[str]] | None = None,
        now: Callable[[], float] = time.time,
    ) -> None:
        super().__init__()
        self._tables, self._shown, self._theme = tables, shown, Theme(LIGHT)
        self._room_c, self._altitude_m, self._wax = room_c, altitude_m, wax
        self._store, self._melts_of, self._now = store, melts_of, now
        self.plan: Plan | None = None
        self.plan_id = uuid4()
        self._changed = False
        self._gone: KeptPlan | None = None
        self._cupboard = cupboard
        self.form, self.results, self.foot = PlanForm(tables, shown), PlanResults(shown), PlanFoot()
        self._pause, self._keeping = _timer(self, PAUSE_MS, self.work_out), _timer(self, KEEP_MS, self.keep)
        self._lay_out()
        self._connect()
        self.use(theme)
        self.form.offer(cupboard)
        self.form.show_place(room_c, altitude_m)
        latest = store.all()[0] if store is not None and store.all() else None
        if latest is not None:
            self.take_up(latest)
        else:
            self.new_plan()

    # --- parts --------------------------------------------------------------------------------------------

    def _lay_out(self) -> None:
        self.setAccessibleName(tr("Plan"))
        self.head = PlanHead(self._kept_plans)
        self._columns = PlanColumns(self.form, self.results)
        box = self._box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(0)
        box.addWidget(self.head)
        box.addWidget(self._columns, 1)
        box.addWidget(self.foot)

    def _connect(self) -> None:
        self.form.edited.connect(self._edited)
        self.head.named.connect(self._edited)
        self.head.title.returnPressed.connect(self.form.take_focus)
        self.head.new_wanted.connect(self._new_clicked)
        self.head.anew_wanted.connect(self.plan_anew)
        self.head.wanted.connect(self.take_up)
        self.head.unwanted.connect(self.throw_away)
        self.head.undo_wanted.connect(self.bring_back)
        self.foot.start_wanted.connect(self.start)
        self.foot.paper_wanted.connect(self.want_paper)
        self.foot.cautions_wanted.connect(self._see_cautions)
        for keys, slot in (
            ("Ctrl+Return", self.start),
            ("Ctrl+Enter", self.start),
            ("Ctrl+P", lambda: self.want_paper("batch")),
            ("Ctrl+Shift+P", lambda: self.want_paper("labels")),
        ):
            shortcut = QShortcut(QKeySequence(keys), self)
            shortcut.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
            shortcut.activated.connect(slot)

    def use(self, theme: Theme) -> None:
        """Take a theme."""
        self._theme = theme
        self.setStyleSheet(plan_style(theme))
        for part in (self.form, self.results, self.foot):
            part.use(theme)
        self._turn()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._turn()

    def _turn(self) -> None:
        """The results beside the fields, or below them where there is no room."""
        two = self.width() >= self._theme.px(TWO_COLUMNS_PX)
        self.foot.fit(self.width(), self.height())
        self.head.fit(two, self.width() >= self._theme.px(ROOMY_PX))
        # Where all is one column the head scrolls away with it.
        self._columns.lead(None if two else self.head)
        if two and self._box.indexOf(self.head) < 0:
            self._box.insertWidget(0, self.head)
            self.head.show()
        self._columns.fit(self.width(), self._theme)

    def take_focus(self) -> None:
        """Begin at the jar's size."""
        self.form.take_focus()

    # --- plans --------------------------------------------------------------------------------------------

    def new_plan(self) -> None:
        """Begin from nothing: the usual jar, no oil, under a new id."""
        request = PlanRequest(
            diameter_mm=NEW_JAR_MM,
            fill_mm=NEW_FILL_MM,
            count=NEW_COUNT,
            wax=self._wax if self._wax in self._tables.waxes else "beeswax",
        )
        if self.plan is not None:
            # Prices and scales are the shop's, not the plan's.
            old = self.plan.request
            prices = replace(old.prices, oil_per_ml=())
            request = replace(request, prices=prices, wax_step_g=old.wax_step_g, oil_step_g=old.oil_step_g)
        self._show(uuid4(), "", request)

    def take_up(self, kept: KeptPlan) -> None:
        """Go on with a kept plan."""
        self._show(kept.uuid, kept.title, kept.request)
        self.head.say_kept(kept.changed_wall_s, self._now())
        if self.plan is None:
            self.head.propose(kept.summary)

    def _show(self, plan_id: UUID, title: str, request: PlanRequest) -> None:
        self._pause.stop()
        self._keeping.stop()
        self._changed = False
        self.plan_id = plan_id
        self.head.show_name(title)
        self.form.show_request(request)
        self.refresh_melts()
        self.work_out()

    def _new_clicked(self) -> None:
        self.keep()
        self.new_plan()
        self.take_focus()

    def plan_anew(self) -> None:
        """Begin a new plan with all of the present one in it; that one stays as it is."""
        self.keep()
        request, _ = self.form.read()
        self._show(uuid4(), "", request)
        self._edited()
        self.take_focus()

    def throw_away(self, kept: KeptPlan) -> None:
        """Throw a kept plan away; it can be brought back until the next one goes."""
        if self._store is None:
            return
        if kept.uuid == self.plan_id:
            self._keeping.stop()
            self._changed = False
        try:
            self._store.drop(kept.uuid)
        except CandlebenchError as error:
            self.trouble.emit(str(error))
            return
        self._gone = kept
        if kept.uuid == self.plan_id:
            rest = self._store.all()
            if rest:
                self.take_up(rest[0])
            else:
                self.new_plan()
        self.head.say_gone(kept.name)

    def bring_back(self) -> None:
        """Bring the plan back that was thrown away last, and show it."""
        kept = self._gone
        if kept is None or self._store is None:
            return
        self.keep()
        try:
            self._store.keep(kept)
        except CandlebenchError as error:
            self.trouble.emit(str(error))
            return
        self._gone = None
        self.head.say_gone("")
        self.take_up(kept)

    def _kept_plans(self) -> tuple[KeptPlan, ...]:
        """The kept plans, the present one as it stands among them."""
        self.keep()
        return self._store.all() if self._store is not None else ()

    def keep(self) -> None:
        """Keep the plan, if it was changed and can be made."""
        self._keeping.stop()
        if self._pause.isActive():
            self.work_out()
        if self._store is None or self.plan is None or not self._changed:
            return
        wall_s = self._now()
        kept = KeptPlan(self.plan_id, self.own_title, plan_title(self.plan), wall_s, self.plan.request)
        try:
            self._store.keep(kept)
        except CandlebenchError as error:
            self.trouble.emit(str(error))
            return
        self._changed = False
        self.head.say_kept(wall_s, wall_s)

    def watch(self, wanted: bool) -> None:
        """Keep the plan when the page is left: the next one is made from what was kept."""
        if not wanted:
            self.keep()

    def hideEvent(self, event: QHideEvent) -> None:
        self.keep()
        super().hideEvent(event)

    # --- what others give ---------------------------------------------------------------------------------

    def offer(self, cupboard: Cupboard | None) -> None:
        """Offer what the cupboard holds now."""
        self._cupboard = cupboard
        self.form.offer(cupboard)
        self.work_out()

    @property
    def own_title(self) -> str:
        """What she calls the plan; '' when she gave it no name."""
        return self.head.title.text().strip()

    @property
    def chosen(self) -> Chosen:
        """What of the cupboard the plan is made from, for `core.stock_taking`."""
        return self.form.chosen()

    def use_place(self, room_c: float | None, altitude_m: float) -> None:
        """Take room and altitude from the settings."""
        self._room_c, self._altitude_m = room_c, altitude_m
        self.form.show_place(room_c, altitude_m)
        self.work_out()

    def refresh_melts(self) -> None:
        """Show the melts begun from this plan."""
        self.form.show_melts(self._melts_of(self.plan_id) if self._melts_of is not None else ())

    # --- working out --------------------------------------------------------------------------------------

    def _edited(self) -> None:
        self._changed = True
        self._pause.start()
        if self._store is not None:
            self._keeping.start()

    def work_out(self) -> None:
        """Plan what is typed, now, and show it or what cannot be."""
        self._pause.stop()
        request, faults = self.form.read()
        room_c = USUAL_ROOM_C if self._room_c is None else self._room_c
        request = replace(request, room_c=room_c, altitude_m=self._altitude_m)
        self.plan = None
        if not faults:
            try:
                self.plan = make_plan(request, self._tables, self._shown)
            except ImpossiblePlan as impossible:
                # What only shows while it is worked out: no room beside the wicks, too much left over.
                faults = impossible.faults
        self._show_worked_out(faults)

    def _show_worked_out(self, faults: tuple[Fault, ...]) -> None:
        self.form.mark(faults)
        self.form.show_plan(self.plan)
        cautions = () if self.plan is None else (*self.plan.cautions, *self._short(self.plan))
        self.results.show_plan(self.plan, cautions)
        self.foot.show_state(self.plan, faults, cautions)
        self._chain()
        if self.plan is not None:
            self.head.propose(plan_title(self.plan))

    def _short(self, plan: Plan) -> list[Caution]:
        """What of the cupboard there is too little of."""
        if self._cupboard is None:
            return []
        why = tr("The batch takes more of it than the cupboard holds.")
        taken = what_it_takes(plan, self._cupboard, self.chosen)
        return [
            Caution(
                "short", Level.WARNING, tr("{taken}.").format(taken=each.text), why, tr("your store cupboard")
            )
            for each in taken
            if each.short
        ]

    def _chain(self) -> None:
        """After the fields the Tab key goes to the buttons, then through the sources, then to the head."""
        foot = [self.foot.start, self.foot.batch, self.foot.labels, self.foot.more]
        order = [self.form.last_field(), *foot, *self.results.links()]
        order += [self.head.title, self.head.undo, self.head.new, self.head.anew, self.head.earlier]
        for before, after in pairwise(order):
            QWidget.setTabOrder(before, after)

    # --- leading on ---------------------------------------------------------------------------------------

    def start(self) -> None:
        """Ask for the melt that makes the plan, unless something stands against it."""
        if self._pause.isActive():
            self.work_out()
        if self.plan is None or self.plan.stops:
            return
        self._changed = True
        self.keep()
        self.melt_wanted.emit(melt_setup(self.plan, self.own_title))

    def want_paper(self, kind: str) -> None:
        """Ask for 'batch' or 'labels', if there is a plan."""
        if self._pause.isActive():
            self.work_out()
        if self.plan is not None:
            self.keep()
            self.paper_wanted.emit(kind)

    def _see_cautions(self) -> None:
        self._columns.bring_into_view(self.results.mind_card)
        if self.results.cautions:
            self.results.cautions[0].source.setFocus(Qt.FocusReason.TabFocusReason)


def _timer(page: QWidget, after_ms: int, slot: Callable[[], None]) -> QTimer:
    timer = QTimer(page)
    timer.setSingleShot(True)
    timer.setInterval(after_ms)
    timer.timeout.connect(slot)
    return timer

"""The plan page and the store cupboard with what they need of the workshop, and what they set going."""

import time
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING

from candlebench.core.plan.tables import Tables, load_tables
from candlebench.core.setup import MeltSetup
from candlebench.records.cupboard_lots import lot_sentences
from candlebench.records.plan_melts import PlanMelts
from candlebench.records.plans import Plans
from candlebench.records.set_aside import local_day
from candlebench.records.settings import limits_with
from candlebench.ui.cupboard_page import CupboardPage
from candlebench.ui.papering import want_paper
from candlebench.ui.plan_page import PlanPage

if TYPE_CHECKING:
    from candlebench.ui.main_window import MainWindow


def plan_page(window: "MainWindow") -> PlanPage:
    """Make the plan page; it begins melts and papers by the window."""
    workshop = window.workshop
    settings, shown = workshop.settings, workshop.shown
    store = Plans(workshop.folder, local_day(time.time()))
    for fault in store.faults:
        window.messages.say(fault)
    page = PlanPage(
        _own_tables(window),
        shown,
        window.theme,
        room_c=settings.room_c,
        altitude_m=settings.altitude_m,
        wax=settings.wax,
        store=store,
        cupboard=workshop.cupboard.cupboard,
        melts_of=PlanMelts(workshop.journal, lambda setup: setup.plan, shown).of,
    )

    def begin(setup: MeltSetup) -> None:
        window.planned = page.plan
        window.doorway.start_planned(replace(setup, plan=str(page.plan_id)))

    def paper(kind: str) -> None:
        window.planned = page.plan
        want_paper(window, page.plan, page.own_title, kind)

    page.melt_wanted.connect(begin)
    page.paper_wanted.connect(paper)
    page.trouble.connect(window.messages.say)
    return page


def cupboard_page(window: "MainWindow") -> CupboardPage:
    """Make the page of the store cupboard; the plan that was made last can be taken from stock there."""
    workshop = window.workshop
    return CupboardPage(
        workshop.cupboard,
        _own_tables(window),
        workshop.shown,
        window.theme,
        window.go_back,
        lambda: datetime.now().astimezone().date(),
        lot_sentences(workshop.learned, workshop.shown),
        plan=lambda: window.planned,
    )


def _own_tables(window: "MainWindow") -> Tables:
    """The tables with the person's own limits of each wax."""
    tables, own = load_tables(), window.workshop.settings.limits
    waxes = {
        name: replace(wax, limits=limits_with(wax.limits, own.get(name, {})))
        for name, wax in tables.waxes.items()
    }
    return replace(tables, waxes=waxes)

"""A request to begin with in the tests of a plan, and short ways to look into the plan."""

from dataclasses import replace
from typing import Any

from candlebench.core.materials.oil import find_oil
from candlebench.core.plan.planning import Plan, make_plan
from candlebench.core.plan.reasoned import Caution, Fault, ImpossiblePlan
from candlebench.core.plan.request import OilPart, PlanRequest
from candlebench.core.plan.tables import load_tables

TABLES = load_tables()
# Six straight jars, poured to 80 of 90 mm, warm enough for the wax.
SIX = PlanRequest(diameter_mm=75.0, fill_mm=80.0, height_mm=90.0, jar_c=40.0, count=6)


def blend(*names: str) -> tuple[OilPart, ...]:
    """A blend in equal parts."""
    return tuple(OilPart(find_oil(name)) for name in names)


SCENTED = replace(SIX, oils=blend("lavender"), load_pct=6.0)


def planned(request: PlanRequest = SIX, **changes: Any) -> Plan:
    return make_plan(replace(request, **changes), TABLES)


def faults_of(request: PlanRequest = SIX, **changes: Any) -> tuple[Fault, ...]:
    try:
        make_plan(replace(request, **changes), TABLES)
    except ImpossiblePlan as impossible:
        return impossible.faults
    return ()


def fields_of(request: PlanRequest = SIX, **changes: Any) -> list[str]:
    return [fault.field for fault in faults_of(request, **changes)]


def codes_of(plan: Plan) -> list[str]:
    return [caution.code for caution in plan.cautions]


def caution(plan: Plan, code: str) -> Caution:
    return next(each for each in plan.cautions if each.code == code)

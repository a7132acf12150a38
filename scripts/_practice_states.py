"""Pictures of a practice melt at its telling moments, folded without real time."""

import math
from collections.abc import Iterator
from dataclasses import replace

from candlebench.core.correction import Correction
from candlebench.core.events import Action, ActionKind, MeltBegan, Reading, Stage
from candlebench.core.melt import Melt
from candlebench.core.place import Place
from candlebench.core.setup import Beside
from candlebench.core.state import Level, MeltState
from candlebench.core.units import Shown
from candlebench.practice.melt import PracticeMelt
from candlebench.practice.recipe import setup_of
from candlebench.practice.scenario import Scenario
from candlebench.practice.scenario_file import load_scenario
from candlebench.practice.whole_melt import whole_melt

SCENARIO = "first-jug"
# An afternoon in November 2023, UTC: when the pictured melt began.
BEGAN_WALL_S = 1.7e9
# How long after lifting the jug the picture of waiting is taken.
WAITED_S = 150.0
# For how long the second probe has said nothing in its picture.
SILENT_S = 72.0
CORRECTION = Correction(1.0, 0.8, 0.3, "2023-11-10")


def practice_states(shown: Shown) -> dict[str, MeltState]:
    """The melt warming, waiting, with a window open, poured; left on the heat: soon too hot, too hot.

    With a second probe: in the bath while warming, waiting, and silent for a while; in the room. Corrected:
    a probe that shows 0.8 C too little. Lifted out of the wax while it waits.
    """
    scenario = load_scenario(SCENARIO)
    found = _moments(_with_a_maker(scenario, shown))
    in_bath = _moments(_with_a_maker(scenario, shown, Beside(Place.BATH)))
    found |= {f"bath-{name}": in_bath[name] for name in ("warming", "waiting")}
    found["bath-silent"] = _silent_bath(scenario, shown)
    found["room"] = _moments(_with_a_maker(scenario, shown, Beside(Place.ROOM)))["waiting"]
    found["corrected"] = _moments(_with_a_maker(scenario, shown, None, CORRECTION))["waiting"]
    found["out-of-the-wax"] = _lifted_out(scenario, shown)
    found["overheat"] = _left_on_the_heat(scenario, shown, Level.WARNING)
    found["too-hot"] = _left_on_the_heat(scenario, shown, Level.DANGER)
    return found


def _moments(melts: Iterator[Melt]) -> dict[str, MeltState]:
    found: dict[str, MeltState] = {}
    for melt in melts:
        name = _moment(melt)
        if name and name not in found:
            found[name] = melt.picture()
    return found


def _moment(melt: Melt) -> str:
    picture = melt.picture(with_fan=False)
    limits, temp_c = picture.setup.limits, picture.temp_c
    if temp_c is None:
        return ""
    match picture.stage:
        case Stage.WARMING if picture.on_heat and temp_c >= limits.melted_c - 4.0:
            return "warming"
        case Stage.OFF_HEAT if (
            picture.now_s - picture.heat_since_s >= WAITED_S and temp_c > limits.oil_high_c
        ):
            return "waiting"
        case Stage.OFF_HEAT if temp_c <= limits.oil_high_c:
            return "open"
        case Stage.STIRRED if temp_c <= limits.pour_high_c:
            return "pour"
        case Stage.POURED:
            return "poured"
    return ""


def _lifted_out(scenario: Scenario, shown: Shown) -> MeltState:
    """The probe has hung in the air for half a minute: T22 gives it 33 s."""
    for melt in _with_a_maker(scenario, shown):
        if _moment(melt) != "waiting":
            continue
        state = melt.picture(with_fan=False)
        assert state.temp_c is not None and state.setup.room_c is not None
        over_k = state.temp_c - state.setup.room_c
        for second in range(1, 31):
            shown_c = state.setup.room_c + over_k * math.exp(-second / 33.0)
            at_s = state.now_s + second
            melt.apply(Reading(at_s, BEGAN_WALL_S + at_s, round(shown_c, 1)))
        return melt.picture()
    raise ValueError("the maker never waits")


def practice_events(scenario: Scenario, beside: Beside | None = None) -> Iterator[Reading | Action]:
    """Everything after the beginning of a melt that a maker does by herself."""
    for row in whole_melt(scenario):
        wall_s = BEGAN_WALL_S + row.elapsed_s
        if beside is not None:
            temp_c = row.bath_c if beside.place is Place.BATH else scenario.room.temp_c
            yield Reading(row.elapsed_s, wall_s, round(temp_c, 1), place=beside.place)
        yield Reading(row.elapsed_s, wall_s, row.temp_c)
        if row.did:
            yield Action(row.elapsed_s, wall_s, ActionKind(row.did))


def _with_a_maker(
    scenario: Scenario, shown: Shown, beside: Beside | None = None, correction: Correction | None = None
) -> Iterator[Melt]:
    melt = _begun(scenario, shown, beside, correction)
    for event in practice_events(scenario, beside):
        if isinstance(event, Action) and event.kind is ActionKind.FINISHED:
            return
        melt.apply(event)
        yield melt


def _silent_bath(scenario: Scenario, shown: Shown) -> MeltState:
    """While warming the second probe has said nothing for a while."""
    beside = Beside(Place.BATH)
    melt = _begun(scenario, shown, beside, None)
    since_s: float | None = None
    for event in practice_events(scenario, beside):
        if _moment(melt) == "warming" and since_s is None:
            since_s = event.elapsed_s
        if since_s is not None and isinstance(event, Reading) and event.place is Place.BATH:
            continue
        melt.apply(event)
        if since_s is not None and event.elapsed_s >= since_s + SILENT_S:
            break
    return melt.picture()


def _left_on_the_heat(scenario: Scenario, shown: Shown, level: Level) -> MeltState:
    """Nobody lifts the jug: the picture at the first alarm of that level."""
    melt, physics = _begun(scenario, shown, None, None), PracticeMelt(scenario)
    for elapsed_s in range(4 * 3600):
        physics.step_to(float(elapsed_s))
        melt.apply(Reading(float(elapsed_s), BEGAN_WALL_S + elapsed_s, physics.probe_c))
        picture = melt.picture(with_fan=False)
        if picture.step.level is level and picture.step.alarm_code:
            return melt.picture()
    raise RuntimeError(f"the jug left on the heat never gave an alarm of level {level.value}")


def _begun(scenario: Scenario, shown: Shown, beside: Beside | None, correction: Correction | None) -> Melt:
    melt = Melt(shown)
    setup = replace(setup_of(scenario), beside=beside, correction=correction)
    melt.apply(MeltBegan(0.0, BEGAN_WALL_S, setup))
    return melt

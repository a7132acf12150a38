"""Whatever a probe does and whatever is pressed: no reading is lost or counted twice, no danger is hidden."""

import math
import random
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace

import pytest
from kitchen import BEGAN_WALL_S, SETUP

from candlebench.core.events import Action, ActionKind, Event, Gap, KeptOut, MeltBegan, Reading, SetupChanged
from candlebench.core.melt import Melt
from candlebench.core.place import Place
from candlebench.core.setup import Beside, MeltSetup
from candlebench.core.units import fahrenheit

WIRED = replace(SETUP, source="serial:/dev/ttyUSB0")
PRESSED = (
    ActionKind.MELTED,
    ActionKind.OFF_HEAT,
    ActionKind.ON_HEAT,
    ActionKind.OIL_IN,
    ActionKind.STIRRED,
    ActionKind.UNDO,
    ActionKind.HEAT_DOWN,
    ActionKind.POURED,
)
FAULTS = ("air", "wall", "frozen", "flip", "leap", "")


@dataclass
class Probe:
    """A probe of 8 s that goes through one fault after another; invented, to be nasty."""

    dice: random.Random
    wax_c: float
    digit_k: float
    scatter_k: float
    fault: str = ""
    until_s: float = 0.0
    by_k: float = 0.0
    number_c: float = 20.0

    def __post_init__(self) -> None:
        self.level_c = self.wax_c

    def read(self, at_s: float, since_s: float, on_heat: bool) -> float:
        if at_s > self.until_s:
            self.fault = self.dice.choice(FAULTS) if self.dice.random() < 0.02 else ""
            self.until_s = at_s + self.dice.uniform(1.0, 200.0) if self.fault else at_s
            self.by_k = self.dice.uniform(-30.0, 30.0)
        around_c = {"air": 20.0, "wall": self.wax_c + (8.0 if on_heat else -1.0)}.get(self.fault, self.wax_c)
        lag_s = 45.0 if self.fault == "air" else 8.0
        self.level_c = around_c + (self.level_c - around_c) * math.exp(-since_s / lag_s)
        shown_c = self.level_c + self.dice.gauss(0.0, self.scatter_k)
        if self.fault == "flip":
            shown_c = fahrenheit(shown_c)
        if self.fault == "leap":
            shown_c += self.by_k
        if self.fault != "frozen":
            self.number_c = round(round(shown_c / self.digit_k) * self.digit_k, 6)
        return self.number_c


def _melt(seed: int) -> Iterator[Event]:
    dice = random.Random(seed)
    setup: MeltSetup = replace(WIRED, beside=dice.choice([None, Beside(Place.BATH), Beside(Place.ROOM)]))
    pace_s = dice.choice([0.1, 0.5, 1.0, 1.0, 2.0, 5.0, 15.0, 60.0])
    probe = Probe(
        dice, dice.uniform(20.0, 80.0), dice.choice([0.01, 0.1, 0.5, 1.0]), dice.choice([0.0, 0.04, 0.2])
    )
    at_s, on_heat = 0.0, True
    yield MeltBegan(0.0, BEGAN_WALL_S, setup)
    for _ in range(dice.randint(200, 500)):
        since_s = (
            pace_s * dice.choice([1.0, 1.0, 1.0, 1.3, 0.8])
            if dice.random() > 0.005
            else dice.uniform(1.0, 90.0)
        )
        at_s += since_s
        probe.wax_c += (3.0 if on_heat else -0.9) * since_s / 60.0
        probe.wax_c = min(max(probe.wax_c, 20.0), 99.0)
        wall_s = BEGAN_WALL_S + at_s
        if setup.beside is not None and dice.random() < 0.4:
            yield Reading(at_s, wall_s, round(dice.gauss(88.0, 0.3), 1), place=setup.beside.place)
        drawn = dice.random()
        if drawn < 0.01:
            yield Reading(at_s, wall_s, round(probe.wax_c, 1), True)
        elif drawn < 0.012:
            at_s += 100.0
            yield Gap(at_s, wall_s + 100.0, 100.0, "the machine slept")
        elif drawn < 0.03:
            kind = dice.choice(PRESSED)
            on_heat = kind is ActionKind.ON_HEAT or (on_heat and kind is not ActionKind.OFF_HEAT)
            yield Action(at_s, wall_s, kind)
        elif drawn < 0.032:
            setup = replace(setup, room_c=dice.uniform(15.0, 25.0))
            yield SetupChanged(at_s, wall_s, setup)
        else:
            yield Reading(at_s, wall_s, probe.read(at_s, since_s, on_heat))


@pytest.mark.parametrize("seed", range(10))
def test_every_reading_is_in_the_curve_or_left_out_or_waits_and_none_is_twice(seed: int) -> None:
    events, melt = list(_melt(seed)), Melt()
    left_out = list[KeptOut]()
    for event in events:
        melt.apply(event)
        left_out += melt.left_out
    read = Counter(e.elapsed_s for e in events if isinstance(e, Reading) and e.place is Place.MELT)
    times_s = melt.state.times_s.tolist()
    told = Counter(times_s) + Counter(e.reading_s for e in left_out if e.place is Place.MELT)
    assert times_s == sorted(times_s)
    assert not told - read
    waiting = read - told
    # Only the last ones may wait, and what waits is said.
    assert not waiting or min(waiting) >= melt.now_s - 120.0
    assert not waiting or melt.state.probe.doubt or not melt.state.fresh
    again = Melt()
    for event in events:
        again.apply(event)
    assert again.state.times_s.tolist() == times_s and again.state.temp_c == melt.state.temp_c


@pytest.mark.parametrize("k_per_min", [2.0, 6.0, 15.0])
def test_a_jug_put_back_on_the_heat_unsaid_is_believed_and_warned_of(k_per_min: float) -> None:
    melt, said = Melt(), dict[str, float]()
    melt.apply(MeltBegan(0.0, BEGAN_WALL_S, WIRED))
    dice, at_s = random.Random(4), 0.0

    def read(temp_c: float) -> None:
        shown_c = round(temp_c + dice.gauss(0.0, 0.04), 1)
        for notice in melt.apply(Reading(at_s, BEGAN_WALL_S + at_s, shown_c)):
            said.setdefault(notice.code, shown_c)

    while at_s < 120.0:
        read(79.0 + at_s / 60.0)
        at_s += 1.0
    melt.apply(Action(at_s, BEGAN_WALL_S + at_s, ActionKind.OFF_HEAT))
    while at_s < 420.0:
        read(81.0 - (at_s - 120.0) / 60.0)
        at_s += 1.0
    said.clear()
    # The hob takes half a minute to come through the wall (H16 to H19), then it goes.
    back_s, highest_c = at_s, 76.0
    foreseen_s = math.inf
    while highest_c < 88.0:
        since_s = at_s - back_s
        highest_c = 76.0 + k_per_min / 60.0 * (since_s - 30.0 * (1.0 - math.exp(-since_s / 30.0)))
        read(highest_c)
        (crossing,) = melt.foreseen((85.0,))
        if crossing is not None and math.isfinite(crossing.in_s):
            foreseen_s = min(foreseen_s, since_s)
        at_s += 1.0
    # At half a kelvin above the trough the turn is plain; the hob itself takes half a minute.
    assert foreseen_s <= 75.0
    # Warned of on the way, at the latest at the first limit that is passed (80 °C here), by some digits.
    dangers = [said[code] for code in ("too_hot_soon", "too_hot") if code in said]
    assert dangers and min(dangers) <= 80.5
    state = melt.state
    assert state.fresh and state.temp_c == pytest.approx(highest_c, abs=0.4)


@pytest.mark.parametrize("by_hand", [False, True])
@pytest.mark.parametrize("silent_s", [1500.0, 1800.0, 2300.0, 2450.0])
def test_a_long_silence_on_the_heat_is_got_over_and_taken_up_again(silent_s: float, by_hand: bool) -> None:
    events: list[Event] = [MeltBegan(0.0, BEGAN_WALL_S, WIRED)]
    times_s = [2.0 * i for i in range(121)] + [240.0 + silent_s, 242.0 + silent_s, 244.0 + silent_s]
    for i, at_s in enumerate(times_s):
        temp_c = round(60.0 + 0.05 * min(at_s, 240.0), 1) + (5.0 if i > 120 else 0.0)
        events.append(Reading(at_s, BEGAN_WALL_S + at_s, temp_c, by_hand))
    melt = Melt.replayed(events)
    (crossing,) = melt.foreseen((80.0,))
    assert crossing is None or not math.isnan(crossing.in_s)
    assert melt.state.temp_c == events[-1].temp_c  # type: ignore[union-attr]


def test_a_slip_that_is_followed_by_fast_heat_ends_in_a_warning_below_the_strong_limit() -> None:
    melt, dice, shown_c = Melt(), random.Random(2), 79.0
    melt.apply(MeltBegan(0.0, BEGAN_WALL_S, WIRED))
    melt.apply(Action(1.0, BEGAN_WALL_S + 1.0, ActionKind.OFF_HEAT))
    first: dict[str, float] = {}
    for second in range(2, 500):
        slipped_k = 1.2 if 300 <= second < 340 else 0.0
        wax_c = 79.0 - min(second, 340) / 60.0 + max(second - 340, 0) / 3.0
        if wax_c > 90.0:
            break
        shown_c += (wax_c - slipped_k - shown_c) / 8.0
        reading = Reading(float(second), BEGAN_WALL_S + second, round(shown_c + dice.gauss(0.0, 0.04), 1))
        for notice in melt.apply(reading):
            first.setdefault(notice.code, wax_c)
    assert "probe_doubtful" in first
    assert first["too_hot"] < 85.0

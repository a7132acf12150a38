"""A kitchen for the tests of a melt: a setup, and a hand that feeds readings and steps to a Melt."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from candlebench.core.events import Action, ActionKind, Event, MeltBegan, Reading
from candlebench.core.melt import Melt
from candlebench.core.setup import Limits, MeltSetup, Oil
from candlebench.core.state import Notice
from candlebench.core.units import Shown

BEGAN_WALL_S = 1_795_600_000.0
# The windows of beeswax in resources/data/waxes.toml.
LIMITS = Limits(68.0, 70.0, 75.0, 68.0, 71.0, 80.0, 85.0, 95.0)
LAVENDER = Oil("lavender", 43.0, 49.0, 104.0)
SETUP = MeltSetup("six jars", "beeswax", LIMITS, 21.0, 0.0, 677.0, LAVENDER, "typed:")


@dataclass
class Hob:
    """A melt under test: every event that went in, and everything that was said."""

    setup: MeltSetup = SETUP
    shown: Shown = field(default_factory=Shown)
    now_s: float = 0.0
    events: list[Event] = field(default_factory=list)
    said: list[tuple[float, Notice]] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.melt = Melt(self.shown)
        self.apply(MeltBegan(0.0, BEGAN_WALL_S, self.setup))

    def apply(self, event: Event) -> list[Notice]:
        self.events.append(event)
        notices = self.melt.apply(event)
        self.said += [(self.melt.now_s, notice) for notice in notices]
        return notices

    def read(self, temp_c: float, after_s: float = 1.0, by_hand: bool = False) -> list[Notice]:
        self.now_s += after_s
        return self.apply(Reading(self.now_s, BEGAN_WALL_S + self.now_s, temp_c, by_hand))

    def ramp(self, from_c: float, to_c: float, c_per_min: float, every_s: float = 1.0) -> list[Notice]:
        """Readings on a straight line; returns what was said on the way."""
        count = max(1, round(abs(to_c - from_c) / c_per_min * 60.0 / every_s))
        return self.feed((from_c + (to_c - from_c) * i / count for i in range(1, count + 1)), every_s)

    def hold(self, temp_c: float, seconds: float, every_s: float = 1.0) -> list[Notice]:
        return self.feed((temp_c for _ in range(round(seconds / every_s))), every_s)

    def feed(self, temps_c: Iterable[float], every_s: float = 1.0) -> list[Notice]:
        return [notice for temp_c in temps_c for notice in self.read(temp_c, every_s)]

    def silence(self, seconds: float) -> list[Notice]:
        """Time passes, nothing arrives."""
        found: list[Notice] = []
        for _ in range(round(seconds)):
            self.now_s += 1.0
            notices = self.melt.tick(self.now_s)
            self.said += [(self.now_s, notice) for notice in notices]
            found += notices
        return found

    def do(self, kind: ActionKind, detail: str = "", after_s: float = 0.0) -> list[Notice]:
        self.now_s += after_s
        return self.apply(Action(self.now_s, BEGAN_WALL_S + self.now_s, kind, detail))

    def codes(self, kind: str) -> list[str]:
        """Codes of what was said of one kind, in order."""
        return [notice.code for _, notice in self.said if notice.kind == kind]

    def first(self, code: str) -> tuple[float, Notice]:
        return next((at_s, notice) for at_s, notice in self.said if notice.code == code)

    @property
    def alarms(self) -> list[str]:
        return [alarm.code for alarm in self.melt.state.alarms]

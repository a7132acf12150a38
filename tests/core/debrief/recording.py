"""A recorded melt for the tests of its debrief: straight lines, so that every figure can be told by hand."""

from dataclasses import dataclass, field, replace

from candlebench.core.events import Action, ActionKind, Event, Gap, MeltBegan, Reading
from candlebench.core.setup import Limits, MeltSetup, Oil

BEGAN_WALL_S = 1_795_600_000.0
LIMITS = Limits(68.0, 70.0, 75.0, 68.0, 71.0, 80.0, 85.0, 95.0)
SETUP = MeltSetup(
    "six jars", "beeswax", LIMITS, 21.0, 0.0, 677.0, Oil("lavender", 43.0, 49.0, 104.0), "typed:"
)
PLAIN = replace(SETUP, oil=None)


@dataclass
class Recording:
    """Events in their order, with a hand that goes on from the last of them."""

    setup: MeltSetup = SETUP
    every_s: float = 1.0
    now_s: float = 0.0
    events: list[Event] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.events.append(MeltBegan(0.0, BEGAN_WALL_S, self.setup))

    def read(self, temp_c: float, after_s: float | None = None) -> "Recording":
        self.now_s += self.every_s if after_s is None else after_s
        self.events.append(Reading(self.now_s, BEGAN_WALL_S + self.now_s, temp_c))
        return self

    def ramp(self, from_c: float, to_c: float, c_per_min: float) -> "Recording":
        """Readings on a straight line, the first at `from_c`."""
        steps = round(abs(to_c - from_c) / c_per_min * 60.0 / self.every_s)
        for step in range(steps + 1):
            self.read(from_c + (to_c - from_c) * step / steps)
        return self

    def do(self, kind: ActionKind, detail: str = "") -> "Recording":
        self.events.append(Action(self.now_s, BEGAN_WALL_S + self.now_s, kind, detail))
        return self

    def sleep(self, seconds: float) -> "Recording":
        self.now_s += seconds
        self.events.append(Gap(self.now_s, BEGAN_WALL_S + self.now_s, seconds, "asleep"))
        return self


def melt(
    off_c: float = 78.0,
    oil_c: float = 73.0,
    pour_c: float = 69.5,
    stir_s: float = 60.0,
    setup: MeltSetup = SETUP,
) -> Recording:
    """A whole melt: up at 5 K/min, off the heat, down at 1 K/min, 2 K of chill while stirring, poured."""
    recording = Recording(setup).ramp(50.0, off_c, 5.0).do(ActionKind.OFF_HEAT)
    if setup.oil is not None:
        if off_c > oil_c:
            recording.ramp(off_c, oil_c, 1.0)
        recording.do(ActionKind.OIL_IN)
        landed_c = oil_c - 2.0 - stir_s / 60.0
        recording.ramp(oil_c, landed_c, (oil_c - landed_c) / stir_s * 60.0).do(ActionKind.STIRRED)
        begin_c = landed_c
    else:
        begin_c = off_c
    if begin_c > pour_c:
        recording.ramp(begin_c, pour_c, 1.0)
    return recording.do(ActionKind.POURED).do(ActionKind.FINISHED)

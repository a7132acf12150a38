"""How far one check has come: what was read at which step, and what it comes to. No widgets."""

from dataclasses import dataclass
from enum import Enum

from candlebench.core.trust.check import CheckedPoint, ProbeCheck, checked
from candlebench.core.trust.points import (
    CheckPoint,
    PointKind,
    boiling_at_altitude,
    boiling_at_pressure,
    boiling_by_report,
    ice_point,
)
from candlebench.core.trust.readings import PointReading
from candlebench.core.units import Shown
from candlebench.words import tr


class Step(Enum):
    """The steps of a check, in their order."""

    PROBE = "probe"
    ICE = "ice"
    BOILING = "boiling"
    BESIDE = "beside"
    RESULT = "result"
    LAG = "lag"


POINTS = (Step.ICE, Step.BOILING, Step.BESIDE)
KIND_OF = {Step.ICE: PointKind.ICE, Step.BOILING: PointKind.BOILING, Step.BESIDE: PointKind.BESIDE}


def step_words(step: Step) -> str:
    """The step's name for people."""
    return {
        Step.PROBE: tr("Probe"),
        Step.ICE: tr("Ice"),
        Step.BOILING: tr("Boiling water"),
        Step.BESIDE: tr("Beside another"),
        Step.RESULT: tr("Result"),
        Step.LAG: tr("How late it is"),
    }[step]


@dataclass(frozen=True, slots=True)
class Air:
    """What is known of the air above the pan.

    Attributes
    ----------
    altitude_m : float
        Height above the sea in metres.
    pressure_hpa : float or None
        Air pressure; None when only the altitude is known.
    by_report : bool
        The pressure is that of a weather report, brought to sea level.
    """

    altitude_m: float = 0.0
    pressure_hpa: float | None = None
    by_report: bool = False

    def boiling(self) -> CheckPoint:
        """Return where water boils here.

        Raises
        ------
        FixableError
            It is no altitude, or no pressure of that altitude.
        """
        if self.pressure_hpa is None:
            return boiling_at_altitude(self.altitude_m)
        if self.by_report:
            return boiling_by_report(self.pressure_hpa, self.altitude_m)
        return boiling_at_pressure(self.pressure_hpa, self.altitude_m)


class Course:
    """One check under way."""

    def __init__(self, shown: Shown) -> None:
        self.shown = shown
        self.name = ""
        self.class_name = ""
        self._air = Air()
        self._taken: dict[Step, CheckedPoint] = {}

    @property
    def air(self) -> Air:
        return self._air

    def use_air(self, air: Air) -> None:
        """Take another altitude or pressure; a reading in boiling water is compared anew.

        Raises
        ------
        FixableError
            They cannot be, or the reading cannot be that of boiling water there; everything stays as it was.
        """
        boiling = air.boiling()
        before = self._taken.get(Step.BOILING)
        if before is not None:
            self._taken[Step.BOILING] = checked(boiling, before.reading, self.shown)
        self._air = air

    def go_on_from(self, earlier: "Course") -> None:
        """Take over everything of a course that was begun before."""
        self.name, self.class_name, self._air = earlier.name, earlier.class_name, earlier._air
        self._taken = dict(earlier._taken)

    def known_point(self, step: Step) -> CheckPoint | None:
        """The temperature at a step as far as it is known before reading; None beside another thermometer."""
        if step is Step.ICE:
            return ice_point()
        return self._air.boiling() if step is Step.BOILING else None

    def take(self, step: Step, point: CheckPoint, reading: PointReading) -> CheckedPoint:
        """Keep what was read at a step.

        Raises
        ------
        FixableError
            It cannot be that of this step; the text says why.
        """
        self._taken[step] = checked(point, reading, self.shown)
        return self._taken[step]

    def drop(self, step: Step) -> None:
        """Forget what was read at a step."""
        self._taken.pop(step, None)

    def taken(self, step: Step) -> CheckedPoint | None:
        """What was read at a step."""
        return self._taken.get(step)

    def check(self, day: str) -> ProbeCheck | None:
        """Everything read so far as one check; None when nothing was."""
        points = tuple(self._taken[step] for step in POINTS if step in self._taken)
        return ProbeCheck(day, points, self.class_name) if points else None

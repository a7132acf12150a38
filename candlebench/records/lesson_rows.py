"""Lessons and forecasts as rows of the database, and what all rows of one thing say together."""

import json
import math
from dataclasses import asdict, dataclass
from uuid import UUID

from candlebench.core.known import KnownJug, KnownProbe, KnownWax
from candlebench.core.learning.drift import Drift, latest_drift
from candlebench.core.learning.lesson import JugLesson, Lesson, ProbeLesson, WaxLesson
from candlebench.core.learning.pooling import Said, known_jug, known_probe, known_wax
from candlebench.core.setup import MeltSetup
from candlebench.core.track_record import KeptForecast, Outcome
from candlebench.records.rows import MeltSummary
from candlebench.words import tr

OneLesson = WaxLesson | JugLesson | ProbeLesson


@dataclass(frozen=True, slots=True)
class KeptLesson:
    """What one melt taught about one thing.

    Attributes
    ----------
    melt : UUID
    began_wall_s : float
        When that melt began.
    wax : str
        Name of the wax in it.
    lesson : WaxLesson, JugLesson, ProbeLesson or None
        None when it taught nothing; `why` then says why.
    forgotten : bool
        Kept, but not used.
    """

    melt: UUID
    began_wall_s: float
    wax: str
    lesson: OneLesson | None
    why: str
    forgotten: bool


@dataclass(frozen=True, slots=True)
class Learned:
    """All that is known of one lot, jug or probe.

    Attributes
    ----------
    kind, name : str
        'lot', 'jug' or 'probe', and what the person calls it.
    origin : str
        'live' or 'practice'.
    lessons : tuple of KeptLesson
        The oldest first.
    said : float or None
        What the person said herself: degrees Celsius, kelvin a minute, or seconds.
    known : KnownWax, KnownJug, KnownProbe or None
        Brought together; None when nothing is used.
    drift : Drift or None
        Of a lot: its last melt lay off the earlier ones.
    """

    kind: str
    name: str
    origin: str
    lessons: tuple[KeptLesson, ...]
    said: float | None
    known: KnownWax | KnownJug | KnownProbe | None
    drift: Drift | None = None


class Thing:
    """What is gathered about one lot, jug or probe."""

    def __init__(self) -> None:
        self.lessons: list[KeptLesson] = []
        self.said: tuple[float, float] | None = None

    @property
    def latest_wall_s(self) -> float:
        said = [] if self.said is None else [self.said[1]]
        return max([lesson.began_wall_s for lesson in self.lessons] + said, default=0.0)

    def learned(
        self, kind: str, name: str, origin: str, wax: str | None = None, fill_g: float | None = None
    ) -> Learned:
        """Bring together what is used of it, as of this wax and with so much in it."""
        since_s = -math.inf if self.said is None else self.said[1]
        used = [x for x in self.lessons if not x.forgotten and x.lesson and x.began_wall_s >= since_s]
        said = None if self.said is None else Said(self.said[0])
        known: KnownWax | KnownJug | KnownProbe | None
        drift = None
        match kind:
            case "lot":
                wax = wax or next((x.wax for x in reversed(self.lessons) if x.wax), "beeswax")
                of_it = [x.lesson for x in used if x.wax == wax and isinstance(x.lesson, WaxLesson)]
                known = known_wax(wax, of_it, said)
                drift = latest_drift(wax, of_it)
            case "jug":
                known = known_jug([x.lesson for x in used if isinstance(x.lesson, JugLesson)], fill_g, said)
            case _:
                known = known_probe([x.lesson for x in used if isinstance(x.lesson, ProbeLesson)], said)
        value = None if self.said is None else self.said[0]
        return Learned(kind, name, origin, tuple(self.lessons), value, known, drift)


def lesson_rows(
    summary: MeltSummary, origin: str, setup: MeltSetup, lesson: Lesson
) -> list[tuple[str, str, str, str, float, str]]:
    parts = (
        ("lot", setup.lot, lesson.wax, lesson.wax_why),
        ("jug", setup.jug, lesson.jug, lesson.jug_why),
        ("probe", setup.probe, lesson.probe, lesson.probe_why),
    )
    rows = []
    for kind, name, one, why in parts:
        if name:
            body = {"wax": setup.wax, "why": why, "lesson": None if one is None else asdict(one)}
            rows.append((str(summary.uuid), kind, name, origin, summary.began_wall_s, json.dumps(body)))
    return rows


def kept_lesson(kind: str, melt: str, began_wall_s: float, body: str, forgotten: bool) -> KeptLesson:
    """A row as a lesson; one that a later version wrote otherwise counts as having taught nothing."""
    kinds: dict[str, type[WaxLesson] | type[JugLesson] | type[ProbeLesson]]
    kinds = {"lot": WaxLesson, "jug": JugLesson, "probe": ProbeLesson}
    try:
        data = json.loads(body)
        lesson = None if data["lesson"] is None else kinds[kind](**data["lesson"])
        return KeptLesson(UUID(melt), began_wall_s, str(data["wax"]), lesson, str(data["why"]), forgotten)
    except (ValueError, KeyError, TypeError):
        why = tr("Another version of candlebench wrote this.")
        return KeptLesson(UUID(melt), began_wall_s, "", None, why, forgotten)


def forecast_row(
    summary: MeltSummary, origin: str, number: int, kept: KeptForecast
) -> tuple[str | int | float | None, ...]:
    return (
        str(summary.uuid),
        number,
        origin,
        summary.began_wall_s + kept.made_s,
        kept.what,
        kept.target_c,
        kept.lead_s,
        kept.made_s,
        kept.low_s,
        kept.in_s,
        kept.high_s if math.isfinite(kept.high_s) else None,
        kept.widen,
        kept.outcome.value,
        kept.took_s,
    )


def forecast(row: tuple[object, ...]) -> KeptForecast:
    what, *numbers, outcome, took_s = row
    target_c, lead_s, made_s, low_s, in_s, high_s, widen = (
        math.inf if n is None else float(n)  # type: ignore[arg-type]
        for n in numbers
    )
    took = None if took_s is None else float(took_s)  # type: ignore[arg-type]
    return KeptForecast(
        str(what), target_c, lead_s, made_s, low_s, in_s, high_s, widen, Outcome(outcome), took
    )

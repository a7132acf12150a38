"""Alarms: what stands between the melt and a spoiled batch or a fire. They do not trust the forecast alone.

Each alarm is judged afresh from a `Scene`; `AlarmBoard` remembers since when it stands, whether the person
has seen it, and when to say it again.
"""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from candlebench.core.belief import Doubt
from candlebench.core.events import Stage
from candlebench.core.forecast.crossing import Crossing
from candlebench.core.reading_age import ReadingAge, band_words, old_words
from candlebench.core.setup import MeltSetup
from candlebench.core.state import Alarm, Level, Notice
from candlebench.core.suspicion import Fault, Suspicion
from candlebench.core.units import Shown, about, between, clock_face
from candlebench.words import tr

# Look-ahead of the too-hot warning: time to walk to the hob and turn it. Common practice, no source.
SOON_S = 120.0
# The forecast alone does not raise it while a straight line is this many times further off: just after the
# last wax has melted it is at its weakest. Tried on the practice melt.
STRAIGHT_TIMES = 2.5
# A reading above the local boiling point by more than a kitchen probe's error (1 to 2 K, T8) plus the
# weather's share (30 hPa are 0.8 K) is no water bath any more.
ABOVE_BOILING_C = 2.5
# Silence: ten seconds, or five times the pace the probe keeps. Design decision; F9 asks for "a few tau".
SILENT_S = 10.0
SILENT_PACES = 5.0
# A person typing is asked again after this long.
TYPED_SILENT_S = 300.0
# Melted wax gains nothing on the heat and darkens with time. Common practice, no source.
MELTED_LONG_S = 600.0
# Seen alarms come back after this long when they persist.
RETURNS_S = {Level.DANGER: 60.0, Level.WARNING: 180.0}
# A danger that nobody has seen is said again this often.
REPEATS_S = 30.0
# A condition must be gone this long before its alarm goes, so that it does not flicker.
CLEARS_S = 4.0
RISING_C_PER_MIN = 0.3
# A jug that was lifted off rises on for a minute or so from its own wall. What rises after this long is on
# the heat, whatever was said or noticed.
RISES_BY_ITSELF_S = 180.0
FALLING_C_PER_MIN = -0.1


@dataclass(frozen=True, slots=True)
class Scene:
    """What the alarms look at.

    `foreseen` counts from now and knows nothing that is past; `from_reading` counts from the last reading.
    `suspicion` is what seems to be wrong with a probe, `high_c` what the doubted readings reached above the
    believed ones, `answers_s` when the probe last answered, `bath_c` what a probe in the bath shows.
    """

    setup: MeltSetup
    shown: Shown
    now_s: float
    stage: Stage
    on_heat: bool
    heat_since_s: float
    melted_s: float | None
    temp_c: float | None
    reading_s: float | None
    pace_s: float
    typed: bool
    rate_c_per_min: float | None
    boiling_c: float
    warn_c: float
    doubt: Doubt | None
    suspicion: Suspicion | None
    high_c: float | None
    answers_s: float
    bath_c: float | None
    foreseen: Callable[[float], Crossing | None]
    age: ReadingAge
    from_reading: Callable[[float], Crossing | None]

    @property
    def rate(self) -> float:
        return self.rate_c_per_min or 0.0

    @property
    def hottest_c(self) -> float | None:
        """The last reading that was believed, or what the doubted ones since then all reached above it."""
        if self.temp_c is None or self.high_c is None:
            return self.temp_c
        return max(self.temp_c, self.high_c)

    @property
    def doubted_words(self) -> str:
        """What is to be added where the temperature is one that is doubted."""
        if self.hottest_c == self.temp_c:
            return ""
        return " " + tr("The probe may touch the wall or the base: do not wait for that, look at once.")


def standing(scene: Scene) -> Iterator[Alarm]:
    """Yield the alarms whose condition holds now, most pressing first."""
    for check in _CHECKS.values():
        alarm = check(scene)
        if alarm is not None:
            yield alarm


def silent_after_s(scene: Scene) -> float:
    """Seconds without a reading after which it is said."""
    return TYPED_SILENT_S if scene.typed else max(SILENT_S, SILENT_PACES * scene.pace_s)


def _above_boiling(scene: Scene) -> Alarm | None:
    found = [temp_c for temp_c in (scene.hottest_c, scene.bath_c) if temp_c is not None]
    hottest_c = max(found, default=-math.inf)
    if hottest_c <= scene.boiling_c + ABOVE_BOILING_C:
        return None
    words = tr("**{temp}** is above the boiling point here, {boiling}: a water bath cannot do that.")
    if hottest_c != scene.hottest_c:
        words = tr("**{temp}** in the bath is above the boiling point here, {boiling}.")
    return Alarm(
        "above_boiling",
        Level.DANGER,
        tr("Danger: hotter than boiling water"),
        tr("Turn the heat off, look into the bath"),
        words.format(temp=scene.shown.temp(hottest_c), boiling=scene.shown.temp(round(scene.boiling_c, 1))),
        tr("The bath is dry, the jug stands on direct heat, or the probe is wrong. Never pour water on wax."),
        scene.now_s,
    )


def _too_hot(scene: Scene) -> Alarm | None:
    temp_c, limits = scene.hottest_c, scene.setup.limits
    if temp_c is None or temp_c < scene.warn_c:
        return None
    # A doubted number above the believed one: the rate is that of before and says nothing of it.
    doubted = temp_c != scene.temp_c
    cooling_by_itself = not scene.on_heat and scene.rate < RISING_C_PER_MIN and not doubted
    if cooling_by_itself and temp_c < limits.strong_c:
        return None
    shown = scene.shown
    if temp_c >= limits.stop_c:
        return _hot(
            scene,
            Level.DANGER,
            tr("Turn the heat off now"),
            tr("**{temp}**: heating must stop at {limit}.").format(
                temp=shown.temp(temp_c), limit=shown.temp(limits.stop_c)
            ),
        )
    if temp_c >= limits.strong_c:
        do = tr("Let it cool, open to the air") if cooling_by_itself else tr("Take it off the heat now")
        return _hot(
            scene,
            Level.WARNING if cooling_by_itself else Level.DANGER,
            do,
            tr("**{temp}**: from {limit} on the wax darkens.").format(
                temp=shown.temp(temp_c), limit=shown.temp(limits.strong_c)
            ),
        )
    if scene.stage in (Stage.OIL_IN, Stage.STIRRED):
        why = tr("**{temp}** with the oil in: from {limit} on the scent goes and vapours can catch fire.")
    else:
        why = tr("**{temp}**: {limit} is the first warning for this wax.")
    return _hot(
        scene,
        Level.WARNING,
        tr("Turn the heat down"),
        why.format(temp=shown.temp(temp_c), limit=shown.temp(scene.warn_c)),
    )


def _hot(scene: Scene, level: Level, headline: str, reason: str) -> Alarm:
    heading = tr("Danger: too hot") if level is Level.DANGER else tr("Warning: too hot")
    more = tr("Keep flames away from the jug. If wax ever burns: heat off, lid on, never water.")
    return Alarm("too_hot", level, heading, headline, reason + scene.doubted_words, more, scene.now_s)


def _heated(scene: Scene) -> bool:
    return scene.on_heat or scene.now_s - scene.heat_since_s > RISES_BY_ITSELF_S


def _may_be_too_hot(scene: Scene) -> Alarm | None:
    """An old typed reading: the limit may have been passed since, by the early end of the forecast."""
    limit_c, temp_c, age = scene.setup.limits.strong_c, scene.temp_c, scene.age
    if scene.stage in (Stage.OIL_IN, Stage.STIRRED):
        limit_c = min(limit_c, scene.warn_c)
    if temp_c is None or age.fresh or temp_c >= limit_c or not _heated(scene):
        return None
    crossing = scene.from_reading(limit_c)
    passed = crossing is not None and crossing.low_s <= age.age_s
    if not passed and _straight_s(scene, limit_c) > age.age_s:
        return None
    limit = scene.shown.temp(round(limit_c, 1))
    return Alarm(
        "may_be_too_hot",
        Level.WARNING,
        tr("Warning: it may be too hot"),
        tr("Read the thermometer, turn the heat down"),
        old_words(age, scene.shown) + " " + tr("It may have passed **{limit}**.").format(limit=limit),
        tr("Type the number, then Enter. In doubt take it off the heat."),
        scene.now_s,
    )


def _straight_s(scene: Scene, limit_c: float) -> float:
    """Seconds from the reading to a limit on a straight line; infinity when it does not rise.

    Below the end of the melting interval a straight line says nothing: the melt sits, then races.
    """
    if scene.temp_c is None or scene.temp_c < scene.setup.limits.melted_c or scene.rate < RISING_C_PER_MIN:
        return math.inf
    return (limit_c - scene.temp_c) / scene.rate * 60.0


def _too_hot_soon(scene: Scene) -> Alarm | None:
    limits, temp_c = scene.setup.limits, scene.temp_c
    rising = scene.rate >= RISING_C_PER_MIN
    if temp_c is None or not _heated(scene) or not rising or temp_c >= limits.strong_c:
        return None
    straight_s = _straight_s(scene, limits.strong_c)
    if scene.typed:
        straight_s = max(0.0, straight_s - scene.age.age_s)
    crossing = scene.foreseen(limits.strong_c)
    foreseen_s = crossing.in_s if crossing is not None else math.inf
    foreseen_soon = foreseen_s <= SOON_S and straight_s <= STRAIGHT_TIMES * SOON_S
    if straight_s > SOON_S and not foreseen_soon:
        return None
    limit = scene.shown.temp(limits.strong_c)
    if crossing is not None and math.isfinite(crossing.in_s):
        reason = tr("Reaches **{limit} in about {time}**, likely between {band} from now.").format(
            limit=limit, time=about(crossing.in_s), band=between(crossing.low_s, crossing.high_s)
        )
    else:
        reason = tr("Reaches **{limit} in about {time}** if it goes on like this.").format(
            limit=limit, time=about(straight_s)
        )
    return Alarm(
        "too_hot_soon",
        Level.WARNING,
        tr("Warning: too hot soon"),
        tr("Turn the heat down"),
        reason,
        tr("The wax darkens above {limit}. When all is melted you can also take it off the heat.").format(
            limit=limit
        ),
        scene.now_s,
        crossing=crossing,
    )


def _impossible(scene: Scene) -> Alarm | None:
    if scene.doubt is None:
        return None
    return Alarm(
        "impossible_reading",
        Level.WARNING,
        tr("Warning: a reading that cannot be"),
        tr("Look at the probe"),
        scene.doubt.text,
        tr("The number is kept in the record and left out of the curve."),
        scene.now_s,
    )


def _doubtful(scene: Scene) -> Alarm | None:
    found = scene.suspicion
    if found is None or scene.doubt is not None:
        return None
    return Alarm(
        "probe_doubtful",
        Level.WARNING,
        _HEADINGS.get(found.kind, tr("Warning: do not trust the probe")),
        tr("Look at the probe"),
        found.text,
        tr("Until then its numbers are kept in the record and left out of the curve."),
        scene.now_s,
    )


_HEADINGS = {
    Fault.STEPPED: tr("Warning: the number fell at once"),
    Fault.OUT: tr("Warning: the probe is out"),
    Fault.WALL: tr("Warning: the probe may touch the wall"),
    Fault.FROZEN: tr("Warning: the number stands still"),
    Fault.SWAPPED: tr("Warning: the probes have changed places"),
    Fault.APART: tr("Warning: the two probes do not agree"),
}


def _silent(scene: Scene) -> Alarm | None:
    if scene.reading_s is None:
        return None
    age_s = scene.now_s - scene.answers_s
    if age_s <= silent_after_s(scene):
        return None
    if scene.typed:
        return Alarm(
            "no_reading",
            Level.WARNING,
            tr("No reading for a while"),
            tr("Type what the thermometer shows"),
            _old_number(scene, age_s),
            tr("Type the digits, then Enter."),
            scene.now_s,
        )
    return Alarm(
        "no_reading",
        Level.WARNING,
        tr("Warning: no reading"),
        tr("Check the thermometer's plug and cable"),
        tr("Nothing has come for **{age}**. Do not trust the last number.").format(age=clock_face(age_s)),
        tr("Until it answers, watch the melt yourself, or type a reading by hand."),
        scene.now_s,
    )


def _old_number(scene: Scene, age_s: float) -> str:
    if scene.age.may_be_c is None:
        return tr("The last number is **{age}** old; the forecast knows nothing since.").format(
            age=about(age_s)
        )
    return tr("The last number is **{age}** old; the wax may be at {band}.").format(
        age=about(age_s), band=band_words(scene.age.may_be_c, scene.shown)
    )


def _on_heat_long(scene: Scene) -> Alarm | None:
    if scene.melted_s is None or not scene.on_heat or scene.now_s - scene.melted_s <= MELTED_LONG_S:
        return None
    return Alarm(
        "heat_on_long",
        Level.WARNING,
        tr("Still on the heat"),
        tr("Take it off the heat"),
        tr("It has been melted for **{time}** and is still on the heat.").format(
            time=about(scene.now_s - scene.melted_s)
        ),
        tr("Wax darkens with time on the heat, and the bath boils away."),
        scene.now_s,
    )


# By the alarm's code, the most pressing first.
_CHECKS: dict[str, Callable[[Scene], Alarm | None]] = {
    "above_boiling": _above_boiling,
    "too_hot": _too_hot,
    "may_be_too_hot": _may_be_too_hot,
    "impossible_reading": _impossible,
    "probe_doubtful": _doubtful,
    "no_reading": _silent,
    "too_hot_soon": _too_hot_soon,
    "heat_on_long": _on_heat_long,
}


# Alarms whose reason is the temperature itself.
_FOLLOWS = frozenset({"too_hot", "above_boiling"})
# What a reading answers is gone with it: it came from knowing nothing, so it cannot flicker.
_ANSWERED = frozenset({"may_be_too_hot"})


class AlarmBoard:
    """Which alarms stand, since when, seen or not."""

    def __init__(self) -> None:
        self._standing: dict[str, Alarm] = {}
        self._seen_s: dict[str, float] = {}
        self._held_s: dict[str, float] = {}
        self._said_s: dict[str, float] = {}

    @property
    def alarms(self) -> tuple[Alarm, ...]:
        """Unseen before seen, danger before warning, then the most pressing first."""
        pressing = list(_CHECKS)
        order = {Level.DANGER: 0, Level.WARNING: 1, Level.CALM: 2}
        return tuple(
            sorted(
                self._standing.values(),
                key=lambda a: (a.acknowledged, order[a.level], pressing.index(a.code)),
            )
        )

    def acknowledge(self, code: str, now_s: float) -> None:
        """The person has seen the alarm `code`, or all that stand when it is empty."""
        for each in [code] if code else list(self._standing):
            if each in self._standing:
                self._seen_s[each] = now_s
                self._standing[each] = replace(self._standing[each], acknowledged=True)

    def look(self, scene: Scene) -> list[Notice]:
        """Bring the board up to date; return what is to be said now."""
        notices: list[Notice] = []
        now_s = scene.now_s
        raised = set()
        for alarm in standing(scene):
            raised.add(alarm.code)
            before = self._standing.get(alarm.code)
            self._held_s[alarm.code] = now_s
            louder = before is not None and before.level is Level.WARNING and alarm.level is Level.DANGER
            seen_s = self._seen_s.get(alarm.code)
            returns = seen_s is not None and now_s - seen_s >= RETURNS_S[alarm.level]
            if louder or returns:
                seen_s = None
                self._seen_s.pop(alarm.code, None)
            since_s = alarm.since_s if before is None else before.since_s
            self._standing[alarm.code] = replace(alarm, since_s=since_s, acknowledged=seen_s is not None)
            if self._to_be_said(alarm, now_s, before is None or louder or returns):
                notices.append(_notice(alarm))
                self._said_s[alarm.code] = now_s
        self._clear(now_s, raised)
        self._follow(scene, raised)
        return notices

    def _to_be_said(self, alarm: Alarm, now_s: float, fresh: bool) -> bool:
        if alarm.code in self._seen_s:
            return False
        said_s = self._said_s.get(alarm.code)
        if fresh or said_s is None:
            return True
        return now_s - said_s >= (REPEATS_S if alarm.level is Level.DANGER else RETURNS_S[Level.WARNING])

    def _follow(self, scene: Scene, raised: set[str]) -> None:
        """An alarm that only waits to be cleared names the reading of now, not the one that raised it."""
        for code in (_FOLLOWS & self._standing.keys()) - raised:
            if scene.temp_c is not None:
                reason = tr("Now **{temp}**: a moment ago it was too hot.").format(
                    temp=scene.shown.temp(scene.temp_c)
                )
                self._standing[code] = replace(self._standing[code], reason=reason)

    def _clear(self, now_s: float, raised: set[str]) -> None:
        gone = [c for c in self._standing if now_s - self._held_s[c] >= CLEARS_S]
        for code in {*gone, *((_ANSWERED & self._standing.keys()) - raised)}:
            del self._standing[code]
            self._seen_s.pop(code, None)
            self._said_s.pop(code, None)


def _notice(alarm: Alarm) -> Notice:
    text = f"{alarm.headline}. {alarm.reason}".replace("**", "")
    return Notice("alarm", alarm.code, text, alarm.level)

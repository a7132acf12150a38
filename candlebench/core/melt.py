"""A melt: the fold of its events. No window, no thread, no clock; time comes with events and `tick`."""

from collections.abc import Iterable
from dataclasses import replace

from candlebench.core.alarms import AlarmBoard, Scene
from candlebench.core.amounts import amounts_of
from candlebench.core.cues import Phase
from candlebench.core.events import (
    Action,
    ActionKind,
    Event,
    Gap,
    KeptOut,
    MeltBegan,
    ProbeTrouble,
    Reading,
    Refused,
    SetupChanged,
    Stage,
)
from candlebench.core.forecast.crossing import Crossing
from candlebench.core.foresight import Foresight, Happening
from candlebench.core.materials.water import local_boiling_c
from candlebench.core.materials.wax import oil_chill_c, warn_after_oil_c
from candlebench.core.melt_probes import CHILL_SPREAD, MeltProbes
from candlebench.core.melt_windows import MeltWindows
from candlebench.core.next_step import STIR_S, Situation, next_step, plain_step, warm_enough_c
from candlebench.core.noticing import OffHeatNoticer
from candlebench.core.probe import Heard
from candlebench.core.progress import Progress
from candlebench.core.read_again import read_step, waits_for_reading, with_age
from candlebench.core.reading_age import (
    JUST_READ,
    TYPED_FRESH_S,
    ReadingAge,
    band_now_c,
    read_again_after_s,
    rises,
)
from candlebench.core.setup import MeltSetup
from candlebench.core.state import BesideState, Level, MeltState, NextStep, Notice
from candlebench.core.track_record import KeptForecast, TrackRecord
from candlebench.core.units import Shown, clock_face
from candlebench.words import tr

# Alarms and cues are judged at most this often (melt time), which is finer than a person can act.
JUDGE_EVERY_S = 1.0
# While an old journal is folded, what would have been said then need not be judged as finely.
REPLAY_EVERY_S = 15.0
# How far the fan is drawn.
FAN_S = 900.0
# What no forecast could know beforehand: what waits to be compared with what happened is dropped.
_DISTURBS = frozenset(
    (
        ActionKind.HEAT_DOWN,
        ActionKind.HEAT_SET,
        ActionKind.OFF_HEAT,
        ActionKind.ON_HEAT,
        ActionKind.OIL_IN,
        ActionKind.POURED,
        ActionKind.FINISHED,
        ActionKind.UNDO,
    )
)
# What tells that the hob is lit, when no reading did.
_BEGINS = _DISTURBS - {ActionKind.FINISHED, ActionKind.UNDO} | {ActionKind.MELTED, ActionKind.STIRRED}


class Melt:
    """One melt from its first event to its last.

    Parameters
    ----------
    shown : Shown
        The unit that its sentences use. It changes words only, never what happens.
    """

    def __init__(self, shown: Shown | None = None) -> None:
        self._shown = shown or Shown()
        self._probes = MeltProbes(self._shown)
        self._probe = self._probes.wax
        self._left_out: tuple[KeptOut, ...] = ()
        self._board = AlarmBoard()
        self._record = TrackRecord()
        self._gaps: tuple[Gap, ...] = ()
        self._now_s = 0.0
        self._judged_s = -1e9
        self._judge_every_s = JUDGE_EVERY_S
        self._said: set[tuple[Stage, str]] = set()
        self._asked_again_for: Reading | None = None
        self._heat_known = False
        self._finished = False
        self._began: MeltBegan | None = None

    @classmethod
    def replayed(cls, events: Iterable[Event], shown: Shown | None = None) -> "Melt":
        """Rebuild a melt from its recorded events."""
        melt = cls(shown)
        melt._judge_every_s = REPLAY_EVERY_S
        for event in events:
            melt.apply(event)
        melt._judge_every_s = JUDGE_EVERY_S
        return melt

    @property
    def setup(self) -> MeltSetup:
        return self._setup

    @property
    def finished(self) -> bool:
        return self._finished

    @property
    def stage(self) -> Stage:
        return self._progress.stage

    @property
    def now_s(self) -> float:
        return self._now_s

    @property
    def left_out(self) -> tuple[KeptOut, ...]:
        """What the record is to say because of the event just applied: readings that are not believed.

        It may be the reading just applied, or some before it, which waited until more was known.
        """
        return self._left_out

    @property
    def kept_forecasts(self) -> tuple[KeptForecast, ...]:
        """Forecasts kept for comparison with what happened, as they stand if the melt is left now."""
        return self._record.as_left(self._now_s)

    def show_in(self, shown: Shown) -> None:
        """Write sentences in another unit from now on."""
        self._shown = shown
        self._probes.show_in(shown)

    def apply(self, event: Event) -> list[Notice]:
        """Take one event; return what is to be said because of it."""
        if self._began is None and not isinstance(event, MeltBegan):
            raise ValueError("a melt begins with MeltBegan")
        self._left_out = ()
        late = isinstance(event, Reading) and event.elapsed_s < self._now_s
        if not late:
            self._now_s = max(self._now_s, event.elapsed_s)
        match event:
            case MeltBegan():
                self._begin(event)
            case SetupChanged():
                self._use(event.setup)
                self._noticer.use(event.setup.limits)
                self._record.disturbed(self._now_s)
                self._foresee_anew()
            case Reading():
                return self._read(event)
            case Refused():
                self._probes.at(event.place).refused(event)
            case ProbeTrouble():
                self._probes.at(event.place).told(event)
            case KeptOut():
                return []
            case Gap():
                self._gaps = (*self._gaps, event)
                self._probes.forget()
                self._record.disturbed(event.elapsed_s - event.length_s)
            case Action():
                self._act(event)
        self._left_out = self._probes.take_left_out()
        return self._judge(force=True)

    def tick(self, now_s: float) -> list[Notice]:
        """Time has passed and nothing has arrived."""
        self._now_s = max(self._now_s, now_s)
        return self._judge()

    # --- events -------------------------------------------------------------------------------------------

    def _begin(self, event: MeltBegan) -> None:
        self._windows = MeltWindows(event.setup)
        self._began = event
        self._use(event.setup)
        self._foresight = Foresight(event.setup, self._boiling_c)
        self._noticer = OffHeatNoticer(event.setup.limits)
        self._progress = Progress.begun(event.elapsed_s)

    def _use(self, setup: MeltSetup) -> None:
        self._setup = setup
        self._boiling_c = local_boiling_c(setup.altitude_m)
        wax_g, oil_g, oil_temp_c = amounts_of(setup)
        self._chill_c = oil_chill_c(wax_g, oil_g, setup.limits.oil_high_c, oil_temp_c)
        if self._began is not None:
            self._windows.use(setup)
        if self._probes.use(setup, self._boiling_c):
            self._record.disturbed(self._now_s)

    def _read(self, reading: Reading) -> list[Notice]:
        probe, heard = self._probes.read(reading, self._progress.on_heat)
        self._left_out = self._probes.take_left_out()
        if heard is Heard.LATE or (probe is not self._probe and probe.doubted_after_s is not None):
            self._foresee_anew()
            return self._judge(force=True)
        if probe.doubted_after_s is not None:
            self._record.disturbed(probe.doubted_after_s)
            if not self._foresight.go_back(probe.doubted_after_s):
                self._foresee_anew()
        if probe is not self._probe:
            if probe is self._probes.beside:
                for each in probe.new:
                    self._foresight.beside(probe.place, each.elapsed_s, each.temp_c)
            return self._judge()
        if heard is not Heard.BELIEVED:
            return self._judge(force=probe.doubted_after_s is not None)
        if probe.spread_k:
            # Elsewhere, or nearly where it was: the step says nothing of how fast the melt cools or warms.
            self._foresight.happened(Happening(reading.elapsed_s, 0.0, probe.spread_k))
            self._record.disturbed(reading.elapsed_s)
        # What was read on the way there would be taken for how fast it goes.
        new = probe.new[-1:] if probe.spread_k else probe.new
        notices = [notice for each in new for notice in self._believe(each)]
        return notices + self._judge(force=reading.by_hand)

    def _believe(self, reading: Reading) -> list[Notice]:
        """A reading of the melt's own probe counts."""
        self._know_heat(reading.elapsed_s)
        if self._probe.unsure_k:
            # A probe that slips or a draught: before it is known which, neither is taken for a new pace.
            self._foresight.happened(Happening(reading.elapsed_s, 0.0, self._probe.unsure_k))
        self._foresight.reading(reading.elapsed_s, reading.temp_c)
        self._record.reading(reading.elapsed_s, reading.temp_c, self._lag_s)
        return self._notice_off_heat(reading)

    def _foresee_anew(self) -> None:
        beside = self._probes.beside
        track = beside.track if beside is not None else None
        self._foresight.rebuild(self._setup, self._boiling_c, self._probe.track, track)

    def _know_heat(self, at_s: float) -> None:
        """On the heat counts from the first reading or step: a melt is begun before the hob is lit."""
        if not self._heat_known:
            self._heat_known = True
            self._progress = self._progress.heated_from(at_s)

    def _notice_off_heat(self, reading: Reading) -> list[Notice]:
        if self._progress.stage not in (Stage.WARMING, Stage.MELTED) or not self._progress.on_heat:
            return []
        peak_s = self._noticer.noticed(reading.elapsed_s, reading.temp_c)
        if peak_s is None:
            return []
        self._progress = self._progress.reached(
            Stage.OFF_HEAT, peak_s, self._probe.temp_at(peak_s), noticed_s=reading.elapsed_s
        )
        self._foresight.happened(Happening(peak_s))
        self._record.disturbed(peak_s)
        text = tr("It looks off the heat since {time}. If it is not: undo.").format(time=clock_face(peak_s))
        return [Notice("cue", "off_heat_noticed", text, Level.CALM), *self._judge(force=True)]

    def _act(self, action: Action) -> None:
        if action.kind in _DISTURBS:
            self._record.disturbed(action.elapsed_s)
        if action.kind in _BEGINS:
            self._know_heat(action.elapsed_s)
        match action.kind:
            case ActionKind.UNDO:
                self._undo(action)
            case ActionKind.ACKNOWLEDGE:
                self._board.acknowledge(action.detail, action.elapsed_s)
            case ActionKind.FINISHED:
                self._finished = True
            case ActionKind.NOTE | ActionKind.GUESS:
                pass
            case ActionKind.HEAT_SET:
                self._probes.did(action.kind, action.elapsed_s, self._chill_c)
                self._foresight.happened(Happening(action.elapsed_s))
            case _:
                self._step(action)

    def _step(self, action: Action) -> None:
        temp_c = self._probe.last.temp_c if self._probe.last else None
        self._progress = self._progress.after(action, temp_c)
        self._probes.did(action.kind, action.elapsed_s, self._chill_c)
        if action.kind is ActionKind.OIL_IN and self._setup.oil is not None:
            self._foresight.happened(Happening(action.elapsed_s, self._chill_c, CHILL_SPREAD * self._chill_c))
        elif action.kind in (ActionKind.HEAT_DOWN, ActionKind.OFF_HEAT, ActionKind.ON_HEAT):
            lifted = action.kind is ActionKind.OFF_HEAT
            self._foresight.happened(Happening(action.elapsed_s, lifted=lifted))
            for code in ("too_hot_soon", "may_be_too_hot"):
                self._board.acknowledge(code, action.elapsed_s)
        if action.kind is ActionKind.HEAT_DOWN:
            self._board.acknowledge("too_hot", action.elapsed_s)
        if action.kind is ActionKind.ON_HEAT:
            self._noticer.restart()
            self._said.clear()

    def _undo(self, action: Action) -> None:
        if self._finished:
            self._finished = False
            return
        before = self._progress
        self._progress = before.undone(action.elapsed_s)
        if self._progress is before:
            return
        self._probes.undone()
        if before.automatic and self._probe.last is not None:
            self._noticer.disagreed(self._probe.last.temp_c)
        self._foresight.undo(before.at_s if not before.automatic else before.stage_s)
        self._foresee_anew()

    # --- what is said -------------------------------------------------------------------------------------

    def _judge(self, force: bool = False) -> list[Notice]:
        if not force and self._now_s - self._judged_s < self._judge_every_s:
            return []
        self._judged_s = self._now_s
        if self._finished or self._progress.stage is Stage.POURED:
            self._board = AlarmBoard()
            return self._say_once("poured", self._calm()) if not self._finished else []
        self._foresight.prepare(self._targets())
        if self._probe.last is not None:
            widen = self._setup.known.widen
            self._record.look(self._named_targets(), self._foreseen, self._probe.last.temp_c, widen)
        notices = self._board.look(self._scene())
        self._move_phases()
        cues = self._cues()
        return notices + self._notes() + cues + self._ask_again(cues)

    def _notes(self) -> list[Notice]:
        wall_s = self._began.wall_s + self._now_s - self._began.elapsed_s if self._began is not None else 0.0
        found = self._probes.notes(self._now_s, wall_s, self._setup.correction)
        return [Notice("cue", code, text, Level.CALM) for code, text in found]

    def _ask_again(self, cues: list[Notice]) -> list[Notice]:
        """Ask for the next typed reading once it is due, once for each reading; a cue just said asks, too."""
        if self._probe.last is None or self._asked_again_for is self._probe.last:
            return []
        situation = self._situation(with_alarm=False)
        if not situation.age.due or not waits_for_reading(situation):
            return []
        self._asked_again_for = self._probe.last
        step = read_step(situation, plain_step(situation))
        return [] if cues else [_notice("read_again", step)]

    def _move_phases(self) -> None:
        if self._probe.last is not None and not self._probe.blind:
            last_c = self._probe.last.temp_c
            self._windows.move(last_c, self._progress, self._foreseen, self._foresight.lasts)

    def _cues(self) -> list[Notice]:
        """Say the step when it becomes due, once in each stage."""
        if self._probe.last is None or (self._probe.blind and self._progress.stage is not Stage.OIL_IN):
            return []
        situation = self._situation(with_alarm=False)
        plain = plain_step(situation)
        stage, step = self._progress.stage, with_age(situation, plain)
        if self._progress.on_heat:
            ready = step.now and step.level is Level.CALM
            return self._say_once("ready", step) if ready else []
        if stage is Stage.OIL_IN:
            stirred = self._now_s - self._progress.stage_s >= STIR_S
            return self._say_once("stirred_enough", step) if stirred else []
        window = self._windows.in_play(self._progress.stage)
        current = self._windows.phase_of(window)
        if current is Phase.FAR:
            return []
        code = f"{window.name}_{current.value.replace(' ', '_')}"
        if step.headline == plain.headline:
            return self._say_once(code, step)
        # Reckoned from an old reading it is said with that, and again when a reading bears it out.
        due = tr("Next: {step}.").format(step=plain.headline)
        asking = replace(step, reason=f"{step.reason} {due} {plain.reason}")
        return [] if (stage, code) in self._said else self._say_once(code, asking, f"{code} reckoned")

    def _say_once(self, code: str, step: NextStep, kept_as: str = "") -> list[Notice]:
        kept_as = kept_as or code
        if (self._progress.stage, kept_as) in self._said:
            return []
        self._said.add((self._progress.stage, kept_as))
        return [_notice(code, step)]

    # --- views --------------------------------------------------------------------------------------------

    @property
    def beside(self) -> BesideState | None:
        """What a second probe says now; None without one."""
        return self._probes.beside_state(self._now_s)

    def foreseen(self, targets_c: tuple[float, ...]) -> tuple[Crossing | None, ...]:
        """Forecasts for any temperatures, counted from now."""
        self._foresight.prepare(targets_c)
        return tuple(self._foreseen(t) for t in targets_c)

    @property
    def state(self) -> MeltState:
        """All that a view needs, as one frozen picture."""
        return self.picture()

    def picture(self, with_fan: bool = True) -> MeltState:
        """The state; without the fan it costs less."""
        if self._began is None:
            raise ValueError("a melt begins with MeltBegan")
        progress, last = self._progress, self._probe.last
        over = self._finished or progress.stage is Stage.POURED
        return MeltState(
            setup=self._setup,
            began_wall_s=self._began.wall_s,
            now_s=self._now_s,
            now_wall_s=self._began.wall_s + self._now_s - self._began.elapsed_s,
            stage=progress.stage,
            marks=progress.marks,
            on_heat=progress.on_heat,
            heat_since_s=progress.heat_since_s if self._heat_known else self._now_s,
            temp_c=last.temp_c if last else None,
            reading_s=last.elapsed_s if last else None,
            fresh=self._probe.is_current(self._now_s),
            rate_c_per_min=self._probe.rate_c_per_min if self._probe.suspicion is None else None,
            boiling_c=self._boiling_c,
            probe=self._probe.status(self._now_s),
            times_s=self._probe.track.times_s,
            temps_c=self._probe.track.temps_c,
            track_version=self._probe.version,
            gaps=self._gaps,
            forecasts=tuple(self._foreseen(t) for t in self._targets()),
            fan=self._foresight.fan(FAN_S) if with_fan and not over else None,
            step=next_step(self._situation(with_alarm=True)),
            alarms=self._board.alarms,
            undo=progress.word if progress.can_undo(self._now_s) else "",
            finished=self._finished,
            kept_forecasts=self._record.kept,
            lifts=progress.lifts,
            read_c=self._probe.read_c,
            beside=self.beside,
        )

    def _targets(self) -> tuple[float, ...]:
        """The temperatures somebody may ask about now."""
        return tuple(target_c for _, target_c in self._named_targets())

    def _named_targets(self) -> tuple[tuple[str, float], tuple[str, float]]:
        """What may be asked about now: the word that the track record keeps it under, and its temperature."""
        limits, stage = self._setup.limits, self._progress.stage
        if self._progress.on_heat:
            aim = ("melted", limits.melted_c)
            if stage is not Stage.WARMING:
                aim = ("warm enough", warm_enough_c(self._setup))
            return (aim, ("strong limit", limits.strong_c))
        window = self._windows.in_play(self._progress.stage)
        return ((f"{window.name} window opens", window.high_c), (f"{window.name} window ends", window.end_c))

    @property
    def _lag_s(self) -> float:
        """How much sooner than the probe the wax is there, as far as the forecaster is told."""
        probe = self._setup.known.probe
        return probe.lag_s if probe is not None else 0.0

    def _foreseen(self, target_c: float) -> Crossing | None:
        return self._foresight.crossing(target_c, self._now_s)

    def _calm(self) -> NextStep:
        return next_step(self._situation(with_alarm=False))

    def _situation(self, with_alarm: bool) -> Situation:
        progress = self._progress
        alarms = self._board.alarms if with_alarm else ()
        return Situation(
            setup=self._setup,
            shown=self._shown,
            stage=progress.stage,
            stage_s=progress.stage_s,
            now_s=self._now_s,
            on_heat=progress.on_heat,
            temp_c=self._probe.last.temp_c if self._probe.last else None,
            rate_c_per_min=self._probe.rate_c_per_min,
            oil_phase=self._windows.phase_of(self._windows.oil),
            pour_phase=self._windows.phase_of(self._windows.pour),
            oil=self._windows.oil,
            pour=self._windows.pour,
            chill_c=self._chill_c,
            alarm=alarms[0] if alarms else None,
            foreseen=self._foreseen,
            lasts=self._foresight.lasts,
            age=self._age(),
        )

    def _scene(self) -> Scene:
        progress, last = self._progress, self._probe.last
        limits = self._setup.limits
        oil_is_in = progress.stage in (Stage.OIL_IN, Stage.STIRRED)
        return Scene(
            setup=self._setup,
            shown=self._shown,
            now_s=self._now_s,
            stage=progress.stage,
            on_heat=progress.on_heat,
            heat_since_s=progress.heat_since_s,
            melted_s=progress.melted_s,
            temp_c=last.temp_c if last else None,
            reading_s=last.elapsed_s if last else None,
            pace_s=self._probe.pace_s,
            typed=self._probe.typed,
            rate_c_per_min=self._probe.rate_c_per_min,
            boiling_c=self._boiling_c,
            warn_c=warn_after_oil_c(limits, self._setup.oil) if oil_is_in else limits.warn_c,
            doubt=self._probe.doubt,
            suspicion=self._probes.suspicion,
            high_c=self._probe.high_c,
            answers_s=self._probes.answered_s,
            bath_c=self._probes.bath_c(self._now_s),
            foreseen=self._foreseen,
            age=self._age(),
            from_reading=self._foreseen_from_reading,
        )

    def _age(self) -> ReadingAge:
        """How old a typed reading is, and when the next is wanted; a wire is judged by its silence."""
        last = self._probe.last
        if last is None or not self._probe.typed:
            return JUST_READ
        age_s = self._now_s - last.elapsed_s
        ahead = [self._foreseen_from_reading(target_c) for target_c in self._targets()]
        again_s = read_again_after_s(ahead, self._probe.rate_c_per_min is not None)
        may_be_c = self._may_be_c(last) if age_s > TYPED_FRESH_S else None
        return ReadingAge(age_s, True, may_be_c, again_s - age_s)

    def _may_be_c(self, last: Reading) -> tuple[float, float] | None:
        """Where the wax may be now; None when it was put on or off the heat since, and no forecast knows."""
        fan = self._foresight.fan(FAN_S)
        progress = self._progress
        if fan is None or (progress.heat_since_s >= last.elapsed_s and rises(fan) is not progress.on_heat):
            return None
        return band_now_c(fan, self._now_s)

    def _foreseen_from_reading(self, target_c: float) -> Crossing | None:
        """A forecast counted from the reading it was made at, even when it is past by now."""
        return (
            None
            if self._probe.last is None
            else self._foresight.crossing(target_c, self._probe.last.elapsed_s)
        )


def _notice(code: str, step: NextStep) -> Notice:
    headline = f"{step.headline} {step.accent}".strip()
    return Notice("cue", code, f"{headline}. {step.reason}".replace("**", ""), step.level)

"""Guess first: what can be guessed now, a picture without the answer, and how guess and forecast did.

The person guesses when the next window opens before the forecast is shown. A guess is kept as an Action
(`ActionKind.GUESS`), so that it can be judged at once and again in the debrief.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np

from candlebench.core.errors import FixableError
from candlebench.core.events import Action, ActionKind, Event, Stage
from candlebench.core.forecast.crossing import Crossing
from candlebench.core.melt import Melt
from candlebench.core.state import MeltState
from candlebench.core.track import FloatArray
from candlebench.core.units import Shown, band, clock_face, rounded_clock_face
from candlebench.words import tr

# A window that opens sooner than this leaves no time to type. Design decision.
SOONEST_S = 60.0
# The wall of a jug just lifted goes on giving heat: until then its course cannot be seen. Design decision.
SETTLED_S = 90.0
# A jug that takes longer than this to fall to its window has been forgotten; more is a slip of the finger.
LONGEST_MIN = 240.0

_BEFORE_OIL = (Stage.WARMING, Stage.MELTED, Stage.OFF_HEAT)


@dataclass(frozen=True, slots=True)
class Question:
    """What can be guessed: when `window` ('oil' or 'pour') opens, by falling to `target_c`."""

    window: str
    target_c: float


@dataclass(frozen=True, slots=True)
class Guess:
    """What the person guessed: from `at_s` (elapsed), `target_c` would be crossed in `in_s`."""

    target_c: float
    at_s: float
    in_s: float


@dataclass(frozen=True, slots=True)
class Outcome:
    """A guess, the forecast that stood beside it, and what came.

    Attributes
    ----------
    guess : Guess
    forecast : Crossing or None
        Made at the same moment; None when there was none.
    took_s : float or None
        Seconds from the guess until `guess.target_c` was crossed. None when it was not, or when heat or oil
        came first, so that neither can be judged.
    """

    guess: Guess
    forecast: Crossing | None
    took_s: float | None

    @property
    def guess_off_s(self) -> float | None:
        """How much too late (positive) or too early (negative) the guess was."""
        return None if self.took_s is None else self.guess.in_s - self.took_s

    @property
    def forecast_off_s(self) -> float | None:
        """The same for the forecast's middle."""
        if self.took_s is None or self.forecast is None:
            return None
        return self.forecast.in_s - self.took_s

    @property
    def band_held(self) -> bool | None:
        """Whether it came between the forecast's 5 and 95 % points."""
        if self.took_s is None or self.forecast is None:
            return None
        return self.forecast.low_s <= self.took_s <= self.forecast.high_s


# --- asking ---------------------------------------------------------------------------------------------


def window_ahead(state: MeltState) -> Question | None:
    """Return the window that the melt is falling towards and has not reached; None when there is none."""
    limits, temp_c = state.setup.limits, state.temp_c
    if state.on_heat or temp_c is None or state.finished or state.stage is Stage.POURED:
        return None
    if state.setup.oil is not None and state.stage in _BEFORE_OIL:
        if limits.oil_high_c <= limits.oil_low_c:
            return None
        ahead = Question("oil", limits.oil_high_c)
    else:
        ahead = Question("pour", limits.pour_high_c)
    # The step knows the window's hysteresis: when it is time for it, the window is open.
    is_open = state.step.now and not state.step.alarm_code and state.stage is not Stage.OIL_IN
    return None if is_open or temp_c <= ahead.target_c else ahead


def question(state: MeltState) -> Question | None:
    """Return what to ask now: there is a forecast to compare with, and time enough to answer."""
    ahead, crossing = window_ahead(state), state.step.crossing
    if ahead is None or crossing is None or state.step.alarm_code:
        return None
    if _unsettled(state):
        return None
    return ahead if crossing.target_c == ahead.target_c and crossing.in_s >= SOONEST_S else None


def too_late_to_ask(state: MeltState) -> bool:
    """Whether the fall can be seen, and its window is too near for a guess: then nothing need be hidden."""
    ahead, crossing = window_ahead(state), state.step.crossing
    if ahead is None or crossing is None or state.step.alarm_code or _unsettled(state):
        return False
    return crossing.target_c == ahead.target_c and crossing.in_s < SOONEST_S


def veiled(state: MeltState, shown: Shown, asking: bool = True) -> MeltState:
    """Return the picture without fan, time and band of the window ahead. No alarm's words are hidden.

    Parameters
    ----------
    asking : bool
        Whether the question is open, so that the card says where to answer; otherwise it says when it comes.
    """
    ahead, step = window_ahead(state), state.step
    if ahead is None:
        return state
    if step.alarm_code:
        # Off the heat an alarm has no forecast of its own: what it carries is the window's.
        step = replace(step, crossing=None, crossing_word="")
    elif state.stage is Stage.OIL_IN:
        step = replace(step, more="", crossing=None)
    else:
        if asking:
            when = tr("Type your guess below; then the forecast is shown.")
        elif _unsettled(state):
            when = tr("In about a minute you are asked when; then the forecast is shown.")
        else:
            when = tr("You are asked when as soon as its course can be seen.")
        opens = {
            "oil": tr("The oil window opens at **{temp}**."),
            "pour": tr("The pour window opens at **{temp}**."),
        }[ahead.window].format(temp=shown.temp(ahead.target_c))
        if step.crossing is None or step.accent == tr("now"):
            # It asks for something else first, a reading say.
            step = replace(step, reason=f"{step.reason} {when}", crossing=None)
        else:
            step = replace(step, accent="", reason=f"{opens} {when}", crossing=None)
    return replace(state, fan=None, forecasts=(None,) * len(state.forecasts), step=step)


def _unsettled(state: MeltState) -> bool:
    return state.now_s - state.heat_since_s < SETTLED_S


# --- what was typed, and how it is kept -----------------------------------------------------------------


def minutes_typed(text: str) -> float:
    """Return the seconds for minutes as a person writes them: '8', '7.5', '7,5', '7:30'.

    Raises
    ------
    FixableError
        It is no number of minutes; the text says what to write.
    """
    minutes, colon, seconds = text.strip().replace(",", ".").partition(":")
    try:
        typed = float(minutes) + (float(seconds) / 60.0 if colon else 0.0)
    except ValueError:
        typed = math.nan
    if not 0.0 < typed <= LONGEST_MIN or (colon and not 0.0 <= float(seconds) < 60.0):
        raise FixableError(tr("Write minutes, like 8 or 7:30."))
    return 60.0 * typed


def guess_detail(target_c: float, in_s: float) -> str:
    """Return the `detail` of a GUESS: the temperature and the seconds until it, '75.0 480'."""
    return f"{target_c:.1f} {in_s:.0f}"


def read_guess(action: Action) -> Guess | None:
    """Return the guess in an action; None for another kind, or when it cannot be read."""
    if action.kind is not ActionKind.GUESS:
        return None
    try:
        target_c, in_s = (float(part) for part in action.detail.split())
    except ValueError:
        return None
    return Guess(target_c, action.elapsed_s, in_s) if math.isfinite(target_c + in_s) else None


# --- how it came ----------------------------------------------------------------------------------------


def fell_to_s(times_s: FloatArray, temps_c: FloatArray, target_c: float, from_s: float) -> float | None:
    """Return when the curve first fell to a temperature after `from_s`; None when it did not.

    Parameters
    ----------
    times_s, temps_c : ndarray, shape (n,)
        The curve, a straight line between its readings. It has to begin above `target_c`.
    """
    start = int(np.searchsorted(times_s, from_s, side="right"))
    below = np.flatnonzero(temps_c[start:] <= target_c)
    if not len(below):
        return None
    place = start + int(below[0])
    if place == 0 or temps_c[place - 1] <= target_c:
        return None
    share = float((temps_c[place - 1] - target_c) / (temps_c[place - 1] - temps_c[place]))
    crossed_s = float(times_s[place - 1] + share * (times_s[place] - times_s[place - 1]))
    return max(crossed_s, from_s)


def outcome(
    guess: Guess,
    forecast: Crossing | None,
    times_s: FloatArray,
    temps_c: FloatArray,
    disturbed_s: float = math.inf,
) -> Outcome:
    """Judge a guess by a curve; `disturbed_s` is when heat or oil changed its course."""
    crossed_s = fell_to_s(times_s, temps_c, guess.target_c, guess.at_s)
    judged = crossed_s is not None and crossed_s <= disturbed_s
    return Outcome(guess, forecast, crossed_s - guess.at_s if judged and crossed_s is not None else None)


def outcomes(events: Iterable[Event]) -> tuple[Outcome, ...]:
    """Return every guess of a recorded melt with the forecast of that moment and what came."""
    past = list(events)
    asked = [(place, read_guess(e)) for place, e in enumerate(past) if isinstance(e, Action)]
    guesses = [(place, guess) for place, guess in asked if guess is not None]
    if not guesses:
        return ()
    whole = Melt.replayed(past).picture(with_fan=False)
    found = []
    for place, guess in guesses:
        (forecast,) = Melt.replayed(past[: place + 1]).foreseen((guess.target_c,))
        disturbed_s = min((e.elapsed_s for e in past[place:] if _disturbs(e)), default=math.inf)
        found.append(outcome(guess, forecast, whole.times_s, whole.temps_c, disturbed_s))
    return tuple(found)


def _disturbs(event: Event) -> bool:
    return isinstance(event, Action) and event.kind in (ActionKind.ON_HEAT, ActionKind.OIL_IN)


def outcome_words(asked: Question, came: Outcome) -> str:
    """'The oil window opened after 6:40. You said 8:00, the forecast …'; '' while it is not judged."""
    if came.took_s is None:
        return ""
    opened = {
        "oil": tr("The oil window opened after {took}."),
        "pour": tr("The pour window opened after {took}."),
    }[asked.window].format(took=clock_face(came.took_s))
    return f"{opened} {said_words(came)}"


def said_words(came: Outcome) -> str:
    """'You said 8:00, the forecast said 6:20 (5:50 to 7:10).'"""
    guess, forecast = clock_face(came.guess.in_s), came.forecast
    if forecast is None:
        return tr("You said {guess}; there was no forecast.").format(guess=guess)
    return tr("You said {guess}, the forecast said {forecast} ({band}).").format(
        guess=guess,
        forecast=rounded_clock_face(forecast.in_s),
        band=band(forecast.low_s, forecast.high_s),
    )

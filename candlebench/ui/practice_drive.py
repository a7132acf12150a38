"""Passes the strip's wishes on to the practice melt, and what that melt shows back to the strip."""

from pathlib import Path
from typing import TYPE_CHECKING

from candlebench.addresses import write_address
from candlebench.core.events import ActionKind
from candlebench.ui.jug_glance import CLEAR, look_into
from candlebench.ui.practice_strip import FASTEST_TYPED
from candlebench.ui.practice_wish import PracticeWish
from candlebench.words import tr

if TYPE_CHECKING:
    from candlebench.practice.scenario import Scenario
    from candlebench.runner import Moment
    from candlebench.thermometers.practice import PracticeSource
    from candlebench.ui.main_window import MainWindow

# What is done at the hob: not possible while something keeps her from it.
AT_THE_HOB = frozenset(
    {
        ActionKind.HEAT_DOWN,
        ActionKind.HEAT_SET,
        ActionKind.OFF_HEAT,
        ActionKind.ON_HEAT,
        ActionKind.OIL_IN,
        ActionKind.STIRRED,
        ActionKind.POURED,
    }
)


# The speed after a skip that was ended: a minute of the melt in three seconds. Design decision.
CALM_SPEED = 20.0


class PracticeDrive:
    """Does nothing while another melt runs.

    Parameters
    ----------
    window : MainWindow
        Whose strip, messages and runner are used.
    """

    def __init__(self, window: "MainWindow") -> None:
        self._window = window
        self._said = self._heard = ""
        self._held = self._was_paused = self._was_clear = False
        self.wish = PracticeWish()
        # What the practice page has worked out, so that it does so once.
        self.lengths_s: dict[str, float] = {}
        strip = window.strip
        strip.speed_wanted.connect(self.run_at)
        strip.heat_wanted.connect(self.turn_knob)
        strip.pause_wanted.connect(self.pause)
        strip.skip_wanted.connect(self.skip)
        strip.step_wanted.connect(window.melt_page.next.press)
        strip.keys_free.connect(window.melt_page.take_focus)

    @property
    def source(self) -> "PracticeSource | None":
        """The practice melt that runs; None when none does."""
        runner = self._window.workshop.runner
        # Only a practice melt does the person's steps itself.
        practised = runner is not None and hasattr(runner.source, "apply_action")
        return runner.source if practised else None  # type: ignore[return-value, union-attr]

    def heard(self, moment: "Moment") -> None:
        """In the runner's thread: a skip ends at the first thing that is said or happens."""
        source = self.source
        if source is None:
            return
        happening = source.happening
        if source.skipping and (moment.notices or (happening and happening != self._heard)):
            source.stop_skipping()
            # So that there is time to do what is to be done.
            if _speed(source) > CALM_SPEED:
                self.change_speed(CALM_SPEED)
        self._heard = happening
        if moment.event is not None:
            source.applied(moment.event.elapsed_s)

    def begin(self) -> None:
        """A melt has begun: show the strip for a practice melt, hide it for any other."""
        source = self.source
        self._said, self._heard, self._held = "", "", False
        self._was_clear = False
        self._window.strip.setEnabled(True)
        self._window.melt_page.show_paused(False)
        if source is None:
            self._window.strip.end()
            return
        if not source.scenario.cable and _speed(source) > FASTEST_TYPED:
            self.change_speed(float(FASTEST_TYPED))
        self._window.strip.begin(_speed(source), source.scenario.cable)
        self.follow()

    def on_page(self, page: str) -> None:
        """Show the strip over the melt only."""
        self._window.strip.setVisible(page == "melt" and self.source is not None)

    # --- choosing a melt ----------------------------------------------------------------------------------

    @property
    def own_folder(self) -> Path:
        """Where scenarios of her own lie."""
        return self._window.workshop.folder / "practice"

    def scenarios(self) -> "tuple[Scenario, ...]":
        """Every practice melt there is."""
        from candlebench.practice.scenario_file import list_scenarios

        return list_scenarios(self.own_folder)

    def address(self, wish: PracticeWish) -> str:
        """The address of the melt that was chosen."""
        own = self.own_folder / f"{wish.scenario}.toml"
        name = str(own) if own.is_file() else wish.scenario
        probe = {"bath": "yes"} if wish.bath_probe else {}
        return write_address("practice", name, {"speed": str(wish.speed), **probe})

    # --- what she wants -----------------------------------------------------------------------------------

    def follow(self) -> None:
        """Bring the strip up to date, and say what happens around the melt."""
        source = self.source
        if source is None:
            return
        self._window.strip.show_melt(
            source.heat_fraction, _speed(source), source.paused, source.probe_shows_c
        )
        self._window.melt_page.show_paused(source.paused)
        truth = source.truth
        if truth is not None:
            self._was_clear = self._was_clear or truth.liquid_share >= CLEAR
            self._window.strip.show_look(look_into(truth, self._was_clear))
        happening = source.happening
        if happening and happening != self._said:
            self._window.messages.say(happening)
        self._said = happening

    def kept_away(self, kind: ActionKind) -> bool:
        """Whether a step cannot be done now; says why."""
        source = self.source
        if source is None or not source.away or kind not in AT_THE_HOB:
            return False
        self._window.messages.say(source.happening or tr("You are not at the hob just now."))
        return True

    def hold(self, held: bool) -> None:
        """Let the melt wait for an answer; a melt that she paused stays paused afterwards."""
        source = self.source
        if source is None or held == self._held:
            return
        self._held = held
        self._window.strip.setEnabled(not held)
        if held:
            self._was_paused = source.paused
            source.stop_skipping()
            source.pause()
        elif not self._was_paused:
            source.resume()
        self.follow()

    def run_at(self, speed: float) -> None:
        """She chose a speed: the melt runs at it, also when it stood still."""
        source = self.source
        if source is None:
            return
        self.change_speed(speed)
        if source.paused and not self._held:
            source.resume()
        self.follow()

    def change_speed(self, speed: float) -> None:
        """Let a practice melt run faster or slower."""
        source = self.source
        change = getattr(source.clock, "change_speed", None) if source is not None else None
        if change is not None:
            change(speed)

    def pause(self, wanted: bool) -> None:
        """Let the melt stand still, or go on."""
        source = self.source
        if source is not None:
            (source.pause if wanted else source.resume)()
            self.follow()

    def skip(self, seconds: float) -> None:
        """Run ahead until something is said, at most so many seconds of the melt."""
        source = self.source
        if source is not None:
            source.skip(seconds)

    def turn_knob(self, share: float) -> None:
        """Turn the hob's knob to a share of full power; kept as an event of the melt."""
        self._window.hob.act((ActionKind.HEAT_SET, f"{share:.2f}"))
        # Kept from the hob, she has turned nothing: the knob goes back.
        self.follow()


def _speed(source: "PracticeSource") -> float:
    """How many times as fast as life the melt runs."""
    return float(getattr(source.clock, "speed", 1.0))

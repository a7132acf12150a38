"""From the thermometer page to the workshop: a second probe is chosen, dropped, and what it says."""

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from candlebench.addresses import is_live, parse_address, write_address
from candlebench.core.errors import CandlebenchError
from candlebench.core.setup import Beside
from candlebench.thermometers.address_values import BESIDE_KEYS
from candlebench.thermometers.source import ThermometerSource
from candlebench.ui.now_beside import beside_sentence
from candlebench.ui.thermometer_page import ThermometerPage
from candlebench.ui.thermometer_parts import Second, SecondWish
from candlebench.words import tr

if TYPE_CHECKING:
    from candlebench.runner import Runner
    from candlebench.ui.main_window import MainWindow


def add_second(page: ThermometerPage, window: "MainWindow") -> None:
    """Let the thermometer page choose a second probe for this window's melt."""
    choice = SecondProbe(window)
    page.add_second(
        Second(
            choice.wish,
            choice.says,
            choice.source,
            window.workshop.known_names("live").get("probe", ()),
            choice.let_go,
        )
    )
    page.second_chosen.connect(choice.use)


class SecondProbe:
    """Holds no truth: the running melt does, or the settings while no real one runs.

    Parameters
    ----------
    window : MainWindow
        Whose workshop, melt page and messages are used.
    """

    def __init__(self, window: "MainWindow") -> None:
        self._window = window

    @property
    def _live(self) -> "Runner | None":
        """The real melt that is read; a practice melt has a second probe of its own kind."""
        runner = self._window.workshop.runner
        return runner if runner is not None and is_live(runner.session.melt.setup.source) else None

    @property
    def _address(self) -> str:
        """The thermometer of the probe in the melt; '' when there is none."""
        runner = self._live
        return self._window.workshop.settings.source if runner is None else runner.session.melt.setup.source

    # --- what is so ---------------------------------------------------------------------------------------

    def wish(self) -> SecondWish | None:
        """What is in use."""
        runner = self._live
        settings = self._window.workshop.settings
        beside = settings.beside if runner is None else runner.session.melt.setup.beside
        if beside is None:
            return None
        named = {} if beside.source or not self._address else parse_address(self._address).query
        return SecondWish(beside.place, named.get(beside.place.value, ""), beside.source, beside.probe)

    def says(self) -> str:
        """'Bath 88.4 °C, steady', with what is wrong when something is; '' while no real melt runs."""
        state = self._window.melt_page.state
        if self._live is None or state is None or state.beside is None:
            return ""
        sentence = beside_sentence(state.beside, state.now_s, self._window.workshop.shown)
        return sentence if state.beside.probe.good else f"{sentence}\n{state.beside.probe.text}"

    def source(self) -> ThermometerSource | None:
        """The source of its own thermometer."""
        runner = self._live
        return runner.beside.source if runner is not None and runner.beside is not None else None

    # --- what is wanted -----------------------------------------------------------------------------------

    def use(self, wish: SecondWish | None) -> None:
        """Read this second probe from now on, or none."""
        workshop, runner = self._window.workshop, self._live
        address = with_second(self._address, wish)
        beside = None if wish is None else Beside(wish.place, wish.source, wish.probe)
        self._window.change_settings(
            replace(
                workshop.settings,
                source=address if is_wired(address) else workshop.settings.source,
                beside_place="" if wish is None else wish.place.value,
                beside_source="" if wish is None else wish.source,
                beside_probe="" if wish is None else wish.probe,
            )
        )
        if runner is None:
            if wish is not None:
                self._window.messages.say(tr("The second probe is read from the next real melt on."))
            return
        try:
            before = runner.session.melt.setup
            if address != before.source or (wish is not None and wish.channel):
                workshop.change_source(address, self._window.hob.take)
            if wish is None or wish.source:
                workshop.change_beside(beside)
        except CandlebenchError as error:
            self._window.messages.say(str(error))

    def let_go(self) -> Callable[[], None]:
        """Let go of its own thermometer; the melt goes on, and what is returned takes it again."""
        runner = self._live
        if runner is None:
            return lambda: None
        runner.read_beside(None)

        def take_again() -> None:
            # She may have begun something else, or finished, in between.
            if self._window.workshop.runner is not runner or runner.session.melt.finished:
                return
            try:
                self._window.workshop.change_beside(runner.session.melt.setup.beside)
            except CandlebenchError as error:
                self._window.messages.say(str(error))

        return take_again


def is_wired(address: str) -> bool:
    """Whether it is the address of a thermometer with a cable."""
    return bool(address) and is_live(address) and not address.startswith("typed:")


def with_second(address: str, wish: SecondWish | None) -> str:
    """Return the first thermometer's address with its one more probe named, or none."""
    if not is_wired(address):
        return address
    known = parse_address(address)
    query = {key: value for key, value in known.query.items() if key not in BESIDE_KEYS}
    if wish is not None and wish.channel:
        query[wish.place.value] = wish.channel
    return write_address(known.scheme, known.rest, query)

"""Which readings are believed. What is not believed is kept in the record and out of the curve."""

from dataclasses import dataclass

from candlebench.core.events import Reading
from candlebench.core.suspicion import Fault
from candlebench.core.units import Shown, celsius, fahrenheit
from candlebench.words import tr

# No wax melt is colder than a winter shed or hotter than twice boiling water (wide on purpose: real danger
# must be shown, only nonsense refused). Common practice, no source.
COLDEST_C = -30.0
HOTTEST_C = 250.0

# A jug of wax cannot jump: 500 g on a 2 kW hob rises 1.7 K/s at most (2000 W / (0.5 kg x 2.3 kJ/kg K),
# W24 and H8 of the reference), a probe put into hot wax much faster. A jump is believed when it lasts.
JUMP_C = 10.0
JUMP_C_PER_S = 2.0
LASTS_S = 8.0
LASTS_READINGS = 3
NEAR_C = 5.0
# Only above this is the same number in °F (100 and more) beyond any water bath. Below it, 22 to 72 is far
# more likely a probe put from the room into the wax than a display set to °F.
FLIPS_ABOVE_C = 38.0


@dataclass(frozen=True, slots=True)
class Doubt:
    """Why a reading was not believed; `text` is one sentence with what to do."""

    temp_c: float
    at_s: float
    text: str
    kind: Fault = Fault.IMPOSSIBLE


class Belief:
    """Judges one reading after another; remembers the last one believed and a jump under suspicion."""

    def __init__(self, shown: Shown) -> None:
        self._shown = shown
        self._last: Reading | None = None
        self._suspects: list[Reading] = []
        self._flipped: Reading | None = None

    def judge(self, reading: Reading) -> Doubt | None:
        """Return None when the reading is believed, else why not."""
        if not COLDEST_C <= reading.temp_c <= HOTTEST_C:
            self._suspects.clear()
            return self._doubt(
                reading,
                tr("The thermometer says {temp}, which no melt can be: check the probe and its plug."),
            )
        last = self._last
        if last is not None and not reading.by_hand and self._flips(last, reading):
            self._suspects.clear()
            self._flipped = reading
            return self._doubt(reading, _flip_text(up=reading.temp_c > last.temp_c), Fault.WRONG_UNIT)
        if last is None or reading.by_hand or not self._jumped(last, reading):
            self._believe(reading)
            return None
        if self._suspects and abs(reading.temp_c - self._suspects[-1].temp_c) > NEAR_C:
            self._suspects.clear()
        self._suspects.append(reading)
        if self._lasted():
            self._believe(reading)
            return None
        return self._doubt(
            reading,
            tr("The thermometer jumped to {temp}: is the probe in the wax, away from the wall and the base?"),
            Fault.JUMPED,
        )

    def show_in(self, shown: Shown) -> None:
        """Write sentences in another unit from now on."""
        self._shown = shown

    def forget(self) -> None:
        """After a gap nothing is known about the last temperature."""
        self._last = None
        self._flipped = None
        self._suspects.clear()

    def _believe(self, reading: Reading) -> None:
        late = self._last is not None and reading.elapsed_s < self._last.elapsed_s
        self._last = self._last if late else reading
        self._flipped = None
        self._suspects.clear()

    def _flips(self, last: Reading, reading: Reading) -> bool:
        """A jump to the same number in °F, or a display that stays there while the melt goes on."""
        if self._flipped is not None and abs(reading.temp_c - self._flipped.temp_c) < NEAR_C:
            return True
        if last.temp_c <= FLIPS_ABOVE_C or not self._jumped(last, reading):
            return False
        other_c = fahrenheit(last.temp_c) if reading.temp_c > last.temp_c else celsius(last.temp_c)
        return abs(reading.temp_c - other_c) < NEAR_C

    def _jumped(self, last: Reading, reading: Reading) -> bool:
        passed_s = max(0.0, reading.elapsed_s - last.elapsed_s)
        return abs(reading.temp_c - last.temp_c) > JUMP_C + JUMP_C_PER_S * passed_s

    def _lasted(self) -> bool:
        first, newest = self._suspects[0], self._suspects[-1]
        return len(self._suspects) >= LASTS_READINGS and newest.elapsed_s - first.elapsed_s >= LASTS_S

    def _doubt(self, reading: Reading, text: str, kind: Fault = Fault.IMPOSSIBLE) -> Doubt:
        words = text.format(temp=self._shown.temp(reading.temp_c))
        return Doubt(reading.temp_c, reading.elapsed_s, words, kind)


def _flip_text(up: bool) -> str:
    if up:
        return tr(
            "The thermometer jumped to {temp}, the same number as the melt has in °F: "
            "set it back to °C, or choose °F for it."
        )
    return tr(
        "The thermometer jumped to {temp}, as if its °C were taken for °F: choose °C for it. If it is set "
        "right, look at the probe and its plug."
    )

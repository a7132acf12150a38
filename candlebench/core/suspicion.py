"""Why a probe is not believed, as it is said to people and as the melt goes by it."""

from dataclasses import dataclass
from enum import Enum

from candlebench.core.place import Place
from candlebench.core.units import Shown, about
from candlebench.words import tr


class Fault(Enum):
    """What may be wrong with a probe. The value is the word for it."""

    IMPOSSIBLE = "impossible"
    WRONG_UNIT = "wrong unit"
    JUMPED = "jumped"
    OUT = "out of the wax"
    WALL = "at the wall"
    STEPPED = "stepped down"
    FROZEN = "frozen"
    IN_THE_BATH = "slipped into the bath"
    SWAPPED = "changed places"
    APART = "probes apart"


@dataclass(frozen=True, slots=True)
class Suspicion:
    """A probe is not believed.

    Attributes
    ----------
    kind : Fault
        What seems to be wrong.
    since_s : float
        Elapsed time of the first reading that is doubted.
    text : str
        One sentence that says what seems to be wrong and what to do.
    """

    kind: Fault
    since_s: float
    text: str


def out_text(place: Place) -> str:
    """It falls as nothing but a probe in the air does."""
    if place is Place.BATH:
        return tr("The probe in the bath seems to be out of the water: hang it back in.")
    return tr("The probe seems to be out of the wax: hang it back into the middle.")


def jumped_text(place: Place, temp_c: float, shown: Shown) -> str:
    """It went elsewhere at once and stays there."""
    if place is Place.BATH:
        return tr("The probe in the bath jumped to {temp}: is it in the water, and its plug in?").format(
            temp=shown.temp(temp_c)
        )
    return tr(
        "The thermometer jumped to {temp}: look at the probe and its plug. If that is right, type it."
    ).format(temp=shown.temp(temp_c))


def wall_text(by_k: float, shown: Shown) -> str:
    """It stepped up on the heat, more than a melt can."""
    return tr(
        "The number went up by {step} at once: the probe may touch the wall or the base. "
        "Hang it into the middle."
    ).format(step=step_words(by_k, shown))


def stepped_text(place: Place, by_k: float, shown: Shown) -> str:
    """It stepped down off the heat, and nobody said that anything cold went in."""
    if place is Place.BATH:
        return tr("The probe in the bath fell by {step} at once: is it in the water?").format(
            step=step_words(by_k, shown)
        )
    return tr(
        "The number fell by {step} at once. If the oil is in or you stirred, say so; if not, hang the probe "
        "into the middle."
    ).format(step=step_words(by_k, shown))


def fell_at_lifting_text(by_k: float, shown: Shown) -> str:
    """It fell at once when the jug was lifted off: what was read on the heat was the wall."""
    return tr(
        "The number fell by {step} as the jug came off the heat: the probe may have touched the wall. "
        "Hang it into the middle, and look whether all is melted."
    ).format(step=step_words(by_k, shown))


def frozen_text(place: Place, temp_c: float, for_s: float, shown: Shown) -> str:
    """The same number again and again, where it must move."""
    if place is Place.BATH:
        words = tr("The probe in the bath has shown {temp} to the last digit for {time}: look at it.")
    else:
        words = tr(
            "The thermometer has shown {temp} to the last digit for {time}: look whether its display "
            "is held, and at its cable."
        )
    return words.format(temp=shown.temp(temp_c), time=about(for_s))


def waits_text(temp_c: float, shown: Shown) -> str:
    """It has left its path, and it is not known yet why."""
    return tr("It went to {temp} at once: waiting whether it stays there.").format(temp=shown.temp(temp_c))


def came_back_text() -> str:
    """Why a reading was left out that nobody was told of."""
    return tr("It left the curve for a moment and came back.")


def step_words(by_k: float, shown: Shown) -> str:
    """'6 °C', a difference in whole degrees of the unit in use; '1.5 °C' while it is small."""
    by = abs(shown.difference(by_k))
    return f"{by:.0f} {shown.sign}" if by >= 3.0 else f"{by:.1f} {shown.sign}"

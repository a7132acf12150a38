"""How to make each check point, in steps, with what can hurt."""

from dataclasses import dataclass

from candlebench.core.trust.points import PointKind
from candlebench.core.units import Shown
from candlebench.words import tr


@dataclass(frozen=True, slots=True)
class Guide:
    """What to do, in order, and what to take care of; each a sentence."""

    steps: tuple[str, ...]
    cautions: tuple[str, ...]


def guide_to(kind: PointKind, shown: Shown) -> Guide:
    """Return how a check point is made. From memory and common practice, no source."""
    match kind:
        case PointKind.ICE:
            return _ice(shown)
        case PointKind.BOILING:
            return _boiling()
        case PointKind.BESIDE:
            return _beside(shown)


def guide_to_plunge(shown: Shown) -> Guide:
    """Return how the lag of a probe is found. From memory and common practice, no source."""
    return Guide(
        (
            tr("Fill a large mug with water of {temp} or so and stir it steadily.").format(
                temp=shown.span(60.0, 80.0)
            ),
            tr("Let the probe lie in the room for a few minutes, or stand in ice water, until it is steady."),
            tr("While it is being read, put it into the water in one go and keep stirring."),
            tr("Wait until it no longer changes, two minutes or more for a thick probe."),
        ),
        (
            tr("Hot water scalds: stand the mug in a sink or a tray, away from the edge and from children."),
            tr("Keep the reader, its plugs and its cable dry."),
        ),
    )


def _ice(shown: Shown) -> Guide:
    return Guide(
        (
            tr("Crush enough ice of clean water to fill a tall glass or an insulated mug to the rim."),
            tr("Add just enough cold clean water to fill the gaps; the ice must reach down to the bottom."),
            tr("Stir, wait three minutes, stir again."),
            tr("Hold the probe in the middle, as deep as it goes, touching neither glass nor bottom."),
            tr("Read it when it no longer changes; melting ice is at {temp}.").format(temp=shown.temp(0.0)),
        ),
        (
            tr("Crush ice in a cloth, not in the glass."),
            tr("No salt, and no glass that is still hot from washing: it may crack."),
        ),
    )


def _boiling() -> Guide:
    return Guide(
        (
            tr("Bring a pan of clean water, a hand deep, to a rolling boil."),
            tr("Hold the probe in the middle of the bubbles; it must not touch the base or the wall."),
            tr("Keep it rolling and read it when it no longer changes."),
            tr("Say how high you are above the sea; better still, what a barometer shows."),
        ),
        (
            tr("Steam burns at once: hold the probe from the side with tongs or a glove, never from above."),
            tr("Ask the probe's paper whether it may go to 100 °C and how much of it may get wet."),
            tr("Keep cable and reader away from flame, hob and steam; turn the pan's handle inwards."),
        ),
    )


def _beside(shown: Shown) -> Guide:
    return Guide(
        (
            tr("Put both probes into one jug of water, tips side by side, as deep as they go."),
            tr("Choose {temp}, where it matters for a melt, and take the jug off the heat.").format(
                temp=shown.span(60.0, 85.0)
            ),
            tr("Stir until both no longer change, and read them together."),
        ),
        (tr("Hot water scalds: stand the jug where nobody can knock it over."),),
    )

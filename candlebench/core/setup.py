"""What a melt is made of, and the temperatures that matter to it."""

from dataclasses import dataclass

from candlebench.core.correction import Correction
from candlebench.core.known import NOTHING_KNOWN, Known
from candlebench.core.place import Place


@dataclass(frozen=True, slots=True)
class Limits:
    """Windows and limits of one melt, in degrees Celsius. Every one can be edited by the person.

    Attributes
    ----------
    melted_c : float
        End of the melting interval: above it the wax is liquid throughout.
    oil_low_c, oil_high_c : float
        The window in which the oil goes in.
    pour_low_c, pour_high_c : float
        The window in which the jars are poured.
    warn_c, strong_c, stop_c : float
        First warning, strong warning (the wax darkens), and stop heating.
    """

    melted_c: float
    oil_low_c: float
    oil_high_c: float
    pour_low_c: float
    pour_high_c: float
    warn_c: float
    strong_c: float
    stop_c: float


@dataclass(frozen=True, slots=True)
class Oil:
    """The scent of one melt.

    Attributes
    ----------
    name : str
        What the person calls it, 'lavender'; may be empty.
    mass_g, volume_ml : float or None
        How much goes in; None when it was not said.
    scented_flash_c : float or None
        Estimated flash point of the scented wax; None when not known.
    """

    name: str
    mass_g: float | None = None
    volume_ml: float | None = None
    scented_flash_c: float | None = None


@dataclass(frozen=True, slots=True)
class Beside:
    """The second probe of a melt.

    Attributes
    ----------
    place : Place
        BATH or ROOM.
    source : str
        Its thermometer as a source address; empty when it hangs on the same wire as the first one, whose
        address then names its channel.
    probe : str
        What the person calls it; may be empty.
    correction : Correction or None
        As found when it was checked.
    """

    place: Place
    source: str = ""
    probe: str = ""
    correction: Correction | None = None


@dataclass(frozen=True, slots=True)
class MeltSetup:
    """What one melt is made of.

    Attributes
    ----------
    title : str
        What the person calls this melt.
    wax : str
        Name of a wax in `resources/data/waxes.toml`, or 'none' for a body without latent heat.
    limits : Limits
        Windows and limits in force.
    room_c : float or None
        Room temperature; None when not known.
    altitude_m : float
        Height above the sea, which sets the local boiling point.
    wax_g : float or None
        Mass of wax in the jug.
    oil : Oil or None
        None for a plain candle.
    source : str
        The thermometer as a source address (`serial:...`, `typed:`, `practice:...`, `replay:...`).
    lot, jug, probe : str
        What the person calls this lot of wax, this jug and this probe, so that the next melt with the same
        one knows more; empty when she did not say.
    known : Known
        What earlier melts taught about them, as it stood when the melt began.
    plan : str
        Identity of the plan that this melt was begun from; empty without one.
    correction : Correction or None
        Of the probe in the melt, as found when it was checked.
    beside : Beside or None
        The second probe, when there is one.
    """

    title: str
    wax: str
    limits: Limits
    room_c: float | None = None
    altitude_m: float = 0.0
    wax_g: float | None = None
    oil: Oil | None = None
    source: str = ""
    lot: str = ""
    jug: str = ""
    probe: str = ""
    known: Known = NOTHING_KNOWN
    plan: str = ""
    correction: Correction | None = None
    beside: Beside | None = None

"""What the person has said about a thermometer that sends lines of text."""

from dataclasses import dataclass

from candlebench.core.place import Place
from candlebench.thermometers.label_words import channel_key


@dataclass(frozen=True, slots=True)
class LineSettings:
    """Each is None until it was said; a line that states its own unit keeps it.

    Attributes
    ----------
    channel : str or None
        Name of the probe that hangs in the melt, as listed; 'column 2' for the second number of a line
        without names.
    unit : str or None
        'C', 'F' or 'K': unit of numbers that come without one.
    scale : float or None
        What the number is multiplied by: 0.1 for a board that sends tenths.
    beside : str or None
        Name of a second probe on the same wire.
    place : Place
        Where the second probe hangs.
    """

    channel: str | None = None
    unit: str | None = None
    scale: float | None = None
    beside: str | None = None
    place: Place = Place.BATH

    @property
    def chosen(self) -> frozenset[str]:
        """Keys of the channels that the person has named."""
        return frozenset(channel_key(name) for name in (self.channel, self.beside) if name)

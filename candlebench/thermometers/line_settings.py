"""What the person has said about a thermometer that sends lines of text."""

from dataclasses import dataclass


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
    """

    channel: str | None = None
    unit: str | None = None
    scale: float | None = None

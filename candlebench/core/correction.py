"""What a probe shows, and what is true: the line through two check points."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Correction:
    """A straight line from what one probe shows to what is true, as found by checking it.

    Attributes
    ----------
    gain, offset_c : float
        True temperature in C is `gain` times what it shows, plus `offset_c`.
    uncertainty_k : float
        Half-width of the 95 % interval of a corrected temperature in the range of a melt (60 to 95 C), in
        kelvin.
    checked_on : str
        Day of the check, ISO 8601 (YYYY-MM-DD).
    """

    gain: float
    offset_c: float
    uncertainty_k: float
    checked_on: str

    def true_c(self, read_c: float) -> float:
        """Return the true temperature for one that was read."""
        return self.gain * read_c + self.offset_c


def corrected_c(read_c: float, correction: Correction | None) -> float:
    """Return `read_c` as it is believed: corrected when a correction is known."""
    return read_c if correction is None else correction.true_c(read_c)

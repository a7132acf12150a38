"""How the members of a bank compete: each is believed by how well it foresaw the readings."""

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

# A reading moves a filter by at most this many standard deviations, and counts no further against it.
CLIP_SD = 3.0
# Older evidence about which member is right fades. Of 300 to 3000 s tried on the open series (all of them),
# ten minutes was best.
FORGET_S = 600.0


class Contest:
    """The weights of the members.

    Parameters
    ----------
    belief : array, shape (members,)
        How much each is believed before the first reading; need not add up to one.
    temper : float
        How sharply readings tell one member from another; 1 when some member is right.
    """

    def __init__(self, belief: Floats, temper: float = 1.0) -> None:
        self._temper = temper
        self._prior = np.log(belief / belief.sum())
        self._log_weight = self._prior.copy()
        self.share = np.exp(self._log_weight)

    def mean(self, values: Floats) -> float:
        """What all members together say, when each says one of `values`."""
        return float(np.dot(self.share, values))

    def pooled(self, values: Floats, variances: Floats) -> tuple[float, float]:
        """Mean and standard deviation of all members together."""
        mean = self.mean(values)
        return mean, float(np.sqrt(self.mean(variances + (values - mean) ** 2)))

    def fade(self, gap_s: float) -> None:
        """Let `gap_s` seconds pass: the evidence grows old."""
        kept = np.exp(-gap_s / FORGET_S)
        self._log_weight = self._prior + kept * (self._log_weight - self._prior)

    def judge(self, off_k: Floats, sd_k: Floats, reading_var_k2: float) -> None:
        """Weigh the members by one reading.

        Parameters
        ----------
        off_k : array, shape (members,)
            How far the reading is from what each expected.
        sd_k : array, same shape
            Standard deviation of that, the reading's own scatter included.
        reading_var_k2 : float
            Variance of the reading alone.
        """
        score = np.minimum(np.abs(off_k) / sd_k, 2.0 * CLIP_SD)
        # Huber's loss in place of the square: a far reading does not decide which member is right.
        surprise = np.where(score < CLIP_SD, 0.5 * score * score, CLIP_SD * (score - 0.5 * CLIP_SD))
        lost = surprise + np.log(sd_k / np.sqrt(reading_var_k2))
        self._log_weight = self._log_weight - self._temper * lost
        self._log_weight -= self._log_weight.max()
        share = np.exp(self._log_weight)
        self.share = share / share.sum()


def beyond_clip(off_k: Floats, sd_k: Floats) -> Floats:
    """By how many standard deviations a reading lies beyond the clip, at most four."""
    return np.asarray(np.clip(np.abs(off_k) / sd_k - CLIP_SD, 0.0, 4.0), dtype=np.float64)

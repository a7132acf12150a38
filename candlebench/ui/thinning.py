"""Fewer points that draw the same curve: the lowest and the highest of each short stretch."""

import numpy as np

from candlebench.core.track import FloatArray


def thinned(times_s: FloatArray, temps_c: FloatArray, at_most: int) -> tuple[FloatArray, FloatArray]:
    """Return at most about `at_most` points whose peaks are those of the whole.

    Parameters
    ----------
    times_s, temps_c : ndarray, shape (n,)
        The curve, times not decreasing.
    at_most : int
        About how many points to return, at least 4.
    """
    count = len(times_s)
    stretch = 2 * count // max(4, at_most)
    if stretch < 2:
        return times_s, temps_c
    whole = count - count % stretch
    rows = temps_c[:whole].reshape(-1, stretch)
    starts = np.arange(0, whole, stretch)
    low, high = starts + rows.argmin(axis=1), starts + rows.argmax(axis=1)
    first, second = np.minimum(low, high), np.maximum(low, high)
    places = np.stack([first, second], axis=1).ravel()
    places = np.concatenate([places, np.arange(whole, count)])
    if not len(places) or places[-1] != count - 1:
        places = np.append(places, count - 1)
    return times_s[places], temps_c[places]

"""How fast the melt is moving now: a straight line through the last readings. It knows nothing of wax."""

import numpy as np

from candlebench.core.track import FloatArray

# So long that 0.1 to 0.5 K of probe noise and steps give less than 0.3 K/min, and short enough to follow
# a hob.
WINDOW_S = 45.0
READINGS = 5
LONGEST_S = 900.0


def recent_slope_c_per_min(times_s: FloatArray, temps_c: FloatArray, pace_s: float) -> float | None:
    """Return the least-squares slope over the last 45 s, or the last five readings when they come slowly.

    Parameters
    ----------
    times_s, temps_c : ndarray, shape (n,)
        The believed readings, times not decreasing.
    pace_s : float
        Usual seconds between readings.

    Returns
    -------
    float or None
        Degrees Celsius a minute; None when there are fewer than three readings of different time.
    """
    if len(times_s) < 3:
        return None
    window_s = min(max(WINDOW_S, READINGS * pace_s), LONGEST_S)
    start = int(np.searchsorted(times_s, times_s[-1] - window_s))
    times, temps = times_s[start:], temps_c[start:]
    if len(times) < 3 or times[-1] <= times[0]:
        return None
    slope, _ = straight_line(times - times[-1], temps)
    return 60.0 * slope


def straight_line(x: FloatArray, y: FloatArray) -> tuple[float, float]:
    """Return slope and intercept of the least-squares straight line, in centred form.

    Checked against NIST StRD, Norris (linear least squares, certified values).
    """
    x_mean, y_mean = float(x.mean()), float(y.mean())
    dx = x - x_mean
    slope = float(dx @ (y - y_mean) / (dx @ dx))
    return slope, y_mean - slope * x_mean

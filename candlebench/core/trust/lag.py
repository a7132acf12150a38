"""How a lag measured in water or wax becomes what a melt begins with.

Wax carries heat to a probe worse than water does: 3 to 10 times worse when it is not stirred, about twice
when it is (row T24). A melt is stirred now and then, so the factor lies anywhere between. What the test says
is brought together with what is usual for kitchen probes, or with what melts taught of this one, each by how
sure it is.
"""

import math

from candlebench.core.known import KnownProbe
from candlebench.core.learning.family import PROBE_LAG_S, PROBE_SD_LOG, Belief
from candlebench.core.learning.probe_step import PLACE_SD_LOG
from candlebench.core.trust.figures import load_lag_figures
from candlebench.core.trust.plunge import Medium, Plunge
from candlebench.words import tr

# 5 and 95 % points of a normal distribution: the two factors of row T24 are taken as these.
_NORMAL_90 = 1.645


def wax_lag(plunge: Plunge) -> Belief:
    """Return what a plunge test alone says about the lag in wax.

    Returns
    -------
    Belief
        Mean and standard deviation of the natural logarithm of seconds.
    """
    if plunge.medium is Medium.WAX:
        return Belief(math.log(plunge.lag_s), math.hypot(plunge.sd_log, PLACE_SD_LOG))
    figures = load_lag_figures()
    least, most = math.log(figures.wax_least.value), math.log(figures.wax_most.value)
    factor_sd_log = (most - least) / (2.0 * _NORMAL_90)
    return Belief(math.log(plunge.lag_s) + 0.5 * (least + most), math.hypot(plunge.sd_log, factor_sd_log))


def with_plunge(known: KnownProbe | None, plunge: Plunge) -> KnownProbe:
    """Return what is known of a probe's lag in wax, with a plunge test taken into account.

    Parameters
    ----------
    known : KnownProbe or None
        What melts with it taught, which holds what is usual for kitchen probes already; None without any.
    plunge : Plunge
        The latest test of the same probe.
    """
    before = Belief(math.log(PROBE_LAG_S), PROBE_SD_LOG)
    if known is not None:
        before = Belief(math.log(known.lag_s), known.sd_log)
    tested = wax_lag(plunge)
    # Two independent normal beliefs about one logarithm.
    precision = before.sd**-2 + tested.sd**-2
    mean = (before.mean * before.sd**-2 + tested.mean * tested.sd**-2) / precision
    return KnownProbe(math.exp(mean), precision**-0.5, 0 if known is None else known.melts)


def wax_lag_text(known: KnownProbe) -> str:
    """'In a melt it is taken to be 12 s late, give or take 5: wax carries heat worse than water.'"""
    text = tr(
        "In a melt it is taken to be {lag} s late, give or take {spread}: wax carries heat worse than "
        "water, and the less it is stirred the worse. Melts with this probe make it surer."
    )
    return text.format(lag=f"{known.lag_s:.0f}", spread=f"{max(1.0, known.lag_s * known.sd_log):.0f}")

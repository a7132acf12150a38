"""What earlier melts taught about a lot of wax, a jug and a probe, as it is handed to a new melt."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class KnownWax:
    """The curve of one lot of wax.

    Attributes
    ----------
    knee_c, knee_sd_k : float
        Middle of its main melting step (see `forecast.wax_family.liquid_share`), and how sure that is.
    width_k, width_sd_k : float
        Width of that step, and how sure that is.
    melts : int
        How many melts say so.
    """

    knee_c: float
    knee_sd_k: float
    width_k: float
    width_sd_k: float
    melts: int


@dataclass(frozen=True, slots=True)
class KnownJug:
    """How fast one jug loses heat.

    Attributes
    ----------
    loss_k_per_min : float
        Heat lost 50 K above the room, in kelvin of liquid wax per minute, with `fill_g` of wax in it.
    fill_g : float
        That much wax.
    sd_log : float
        Standard deviation of its natural logarithm.
    melts : int
        How many melts say so.
    """

    loss_k_per_min: float
    fill_g: float
    sd_log: float
    melts: int


@dataclass(frozen=True, slots=True)
class KnownProbe:
    """How slowly one probe follows: time constant `lag_s`, with the spread `sd_log` of its logarithm."""

    lag_s: float
    sd_log: float
    melts: int


@dataclass(frozen=True, slots=True)
class Known:
    """All of it, each None when nothing is known; and how the forecasts fared.

    Attributes
    ----------
    wax : KnownWax or None
    jug : KnownJug or None
    probe : KnownProbe or None
    widen : float
        Bands are made wider by this factor (at least 1) because too few of the last ones held.
    """

    wax: KnownWax | None = None
    jug: KnownJug | None = None
    probe: KnownProbe | None = None
    widen: float = 1.0


NOTHING_KNOWN = Known()

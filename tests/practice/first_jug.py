"""Moments of the first jug that several tests begin from."""

from functools import cache

from candlebench.practice.melt import PracticeMelt
from candlebench.practice.moment import Snapshot
from candlebench.practice.scenario_file import load_scenario

FIRST_JUG = load_scenario("first-jug")


def run_until_above(melt: PracticeMelt, temp_c: float) -> float:
    """Run by the second until the wax is that warm; return the time."""
    while melt.wax_c < temp_c:
        assert melt.elapsed_s < 3 * 3600.0, f"never reached {temp_c} °C"
        melt.step_to(melt.elapsed_s + 1.0)
    return melt.elapsed_s


def run_until_below(melt: PracticeMelt, temp_c: float) -> float:
    while melt.wax_c > temp_c:
        assert melt.elapsed_s < 6 * 3600.0, f"never fell to {temp_c} °C"
        melt.step_to(melt.elapsed_s + 1.0)
    return melt.elapsed_s


@cache
def moment_above(temp_c: float) -> Snapshot:
    """The first moment of the first jug at which the wax is that warm, worked out once."""
    melt = PracticeMelt(FIRST_JUG, seed=1)
    run_until_above(melt, temp_c)
    return melt.snapshot()


def heated_to(temp_c: float) -> PracticeMelt:
    melt = PracticeMelt(FIRST_JUG, seed=1)
    melt.restore(moment_above(temp_c))
    return melt


def lifted_off_at(temp_c: float) -> PracticeMelt:
    melt = heated_to(temp_c)
    melt.lift_off()
    return melt

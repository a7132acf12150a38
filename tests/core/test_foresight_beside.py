"""A second probe and a forecast that is drawn again from the record: the same answers as live.

The readings are a practice melt's, synthetic from end to end.
"""

from collections.abc import Iterator

import pytest

from candlebench.core.foresight import Foresight
from candlebench.core.materials.wax import limits_for, load_waxes
from candlebench.core.place import Place
from candlebench.core.setup import Beside, MeltSetup
from candlebench.core.track import Track
from candlebench.practice.beside import ProbeBeside
from candlebench.practice.melt import PracticeMelt
from candlebench.practice.scenario_file import load_scenario

LIMITS = limits_for(load_waxes()["beeswax"])


def setup_with(place: Place) -> MeltSetup:
    return MeltSetup("", "beeswax", LIMITS, room_c=20.0, wax_g=700.0, beside=Beside(place))


def heat_up(place: Place, until_s: float) -> Iterator[tuple[float, float, float]]:
    """Time and both readings of a practice melt on the full hob, every 5 s."""
    melt = PracticeMelt(load_scenario("first-jug"), 6)
    melt.set_heat(1.0)
    probe = ProbeBeside(place, 20.0, 6)
    for step in range(int(until_s / 5.0)):
        melt.step_to(5.0 * (step + 1))
        yield 5.0 * (step + 1), melt.probe_c, probe.read_c(melt.truth)


@pytest.mark.parametrize("place", [Place.BATH, Place.ROOM])
def test_a_rebuilt_forecast_is_the_live_one_with_both_probes(place: Place) -> None:
    setup = setup_with(place)
    live, again, blind = (Foresight(setup, 100.0) for _ in range(3))
    track, beside = Track(), Track()
    for now_s, melt_c, beside_c in heat_up(place, 900.0):
        # The second probe's channel is read a moment before the first.
        live.beside(place, now_s - 0.3, beside_c)
        live.reading(now_s, melt_c)
        blind.reading(now_s, melt_c)
        beside.add(now_s - 0.3, beside_c)
        track.add(now_s, melt_c)
    again.rebuild(setup, 100.0, track, beside)
    targets = tuple(track.temps_c[-1] + rise for rise in (3.0, 10.0))
    for foresight in (live, again, blind):
        foresight.prepare(targets)
    for target_c in targets:
        found = live.crossing(target_c, 900.0)
        assert found is not None and found == again.crossing(target_c, 900.0)
        assert (found != blind.crossing(target_c, 900.0)) == (place is Place.BATH)


def test_a_bath_reading_a_moment_older_than_the_last_of_the_melt_is_taken() -> None:
    seen = []
    for early_s in (0.0, 0.4):
        foresight = Foresight(setup_with(Place.BATH), 100.0)
        for now_s, melt_c, bath_c in heat_up(Place.BATH, 900.0):
            foresight.reading(now_s, melt_c)
            foresight.beside(Place.BATH, now_s - early_s, bath_c)
        found = foresight.crossing(80.0, 900.0)
        assert found is not None
        seen.append(found.in_s)
    assert seen[0] == pytest.approx(seen[1], rel=0.02)

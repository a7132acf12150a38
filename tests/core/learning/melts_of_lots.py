"""Simulated melts as recorded events."""

from dataclasses import replace

import numpy as np
from kitchen import BEGAN_WALL_S, SETUP
from simulated import SimulatedMelt

from candlebench.core.events import Action, ActionKind, Event, MeltBegan, Reading


def cooled(melt: SimulatedMelt, to_c: float) -> list[Event]:
    """A jug taken off the heat at once and watched until the wax is at `to_c`."""
    setup = replace(SETUP, room_c=melt.room_c, wax_g=None, oil=None)
    end_s = float(np.argmax(melt.truth_c <= to_c)) or float(melt.truth_s[-1])
    off: list[Event] = [MeltBegan(0.0, BEGAN_WALL_S, setup), _act(0.0, ActionKind.OFF_HEAT)]
    return off + readings(melt, end_s)


def heated(melt: SimulatedMelt, to_c: float) -> list[Event]:
    """A jug on the heat, watched until the wax is at `to_c`."""
    setup = replace(SETUP, room_c=melt.room_c, wax_g=None, oil=None)
    end_s = float(np.argmax(melt.truth_c >= to_c)) or float(melt.truth_s[-1])
    return [MeltBegan(0.0, BEGAN_WALL_S, setup), *readings(melt, end_s)]


def readings(melt: SimulatedMelt, until_s: float) -> list[Event]:
    pairs = zip(melt.times_s.tolist(), melt.readings_c.tolist(), strict=True)
    return [Reading(at_s, BEGAN_WALL_S + at_s, temp_c) for at_s, temp_c in pairs if at_s <= until_s]


def _act(at_s: float, kind: ActionKind) -> Action:
    return Action(at_s, BEGAN_WALL_S + at_s, kind)

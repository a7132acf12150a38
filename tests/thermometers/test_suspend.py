"""A machine that really sleeps, as far as its programs can tell: the kernel's boot-time clock leaps ahead.

In a time namespace (`unshare --time`, Linux 5.6) the boot-time clock stands ten minutes later while the
monotonic clock goes on, which is all that a program sees of a suspend.
"""

import json
import os
import shutil
import subprocess
import sys

import pytest

ASLEEP_S = 600
_GOES_TO_SLEEP = """
import ctypes, json, os, subprocess, sys, threading, time
from candlebench.core.clock import LiveClock
from candlebench.core.events import Gap, Reading
from candlebench.core.setup import Limits, MeltSetup
from candlebench.core.units import Shown
from candlebench.runner import Runner, Session
from candlebench.thermometers.serial_port import serial_source
from wires import PtyDevice

NEW_TIME = 0x80  # CLONE_NEWTIME of linux/sched.h

def sleep_and_wake(seconds):
    # A process that was born in the other time; this one, which has a single thread, goes over to it.
    other = subprocess.Popen(
        ["unshare", "--time", "--boottime", str(seconds), "--fork", "cat"],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE,
    )
    other.stdin.write(b"born\\n")
    other.stdin.flush()
    other.stdout.readline()
    child = open(f"/proc/{other.pid}/task/{other.pid}/children").read().split()[0]
    time_of_it = os.open(f"/proc/{child}/ns/time", os.O_RDONLY)
    failed = ctypes.CDLL(None, use_errno=True).setns(time_of_it, NEW_TIME)
    other.stdin.close()
    other.wait()
    return not failed

class Kept(list):
    def append(self, recorded):
        super().append(recorded.event)

limits = Limits(66.0, 70.0, 75.0, 68.0, 71.0, 80.0, 85.0, 95.0)
clock, kept = LiveClock(), Kept()
session = Session.begin(kept, MeltSetup("shelf pair", "beeswax", limits), time.time(), Shown())
session.record(Reading(clock.elapsed_s(), time.time(), 73.0))
before_s = clock.elapsed_s()
if not sleep_and_wake(int(sys.argv[1])):
    print(json.dumps(None))
    sys.exit()
device, woke, heard = PtyDevice(), threading.Event(), threading.Event()
stale = []

def follow(moment):
    if moment.event is None or isinstance(moment.event, Gap):
        stale.append((moment.melt.state.fresh, moment.melt.state.temp_c))
    if isinstance(moment.event, Gap):
        woke.set()
    if isinstance(moment.event, Reading):
        heard.set()

runner = Runner(session, serial_source(device.path, {}, clock), follow)
runner.start()
woke.wait(10.0)
while not heard.wait(0.1):
    device.send(b"T: 71.50 C\\r\\n")
runner.stop()
device.unplug()
gaps = [(event.elapsed_s, event.length_s, event.why) for event in kept if isinstance(event, Gap)]
readings = [(event.elapsed_s, event.temp_c) for event in kept if isinstance(event, Reading)]
shown = stale[0] if stale else None
print(json.dumps({"before": before_s, "gaps": gaps, "readings": readings, "shown": shown}))
"""


@pytest.fixture
def can_sleep() -> None:
    if not shutil.which("unshare"):
        pytest.skip("unshare is not installed: no other time to go over to")
    tried = subprocess.run(
        ["unshare", "--map-root-user", "unshare", "--time", "--boottime", "1", "--fork", "true"],
        capture_output=True,
        timeout=20,
        check=False,
    )
    if tried.returncode:
        pytest.skip("this system lets no program have a time of its own")


@pytest.mark.usefixtures("can_sleep")
def test_a_melt_through_a_suspend_marks_the_gap_shows_no_stale_number_and_goes_on_in_its_time() -> None:
    done = subprocess.run(
        ["unshare", "--map-root-user", sys.executable, "-c", _GOES_TO_SLEEP, str(ASLEEP_S)],
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
        # A process with threads may not change its time: numpy starts some unless told otherwise.
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path), "OPENBLAS_NUM_THREADS": "1"},
    )
    told = json.loads(done.stdout)
    if told is None:
        pytest.skip("this system lets no program change over to another time")
    [(gap_at_s, length_s, why)] = told["gaps"]
    assert why == "asleep"
    assert length_s == pytest.approx(ASLEEP_S, abs=0.5)
    assert gap_at_s >= told["before"] + ASLEEP_S
    assert told["shown"][0] is False
    old, new = told["readings"][0], told["readings"][-1]
    assert old[0] < told["before"] and old[1] == 73.0
    # The elapsed time runs through the sleep, so that the curve has a hole as long as it was.
    assert new[0] > told["before"] + ASLEEP_S and new[1] == 71.5

"""A network cable that is really pulled: the link of a network of its own goes down and up again.

In a network namespace (`unshare`, util-linux; `ip`, iproute2) the loopback link stands for the cable: while
it is down packets vanish and neither end is told, as with a cable.
"""

import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

_IN_THE_NAMESPACE = """
import json, socket, subprocess, threading, time
from candlebench.core.clock import LiveClock
from candlebench.core.events import ProbeTrouble, Reading
from candlebench.thermometers.wire_address import tcp_source

def link(way):
    subprocess.run(["ip", "link", "set", "lo", way], check=True)

link("up")
over = threading.Event()
server = socket.create_server(("127.0.0.1", 0))

def speak(peer):
    # A board that counts, ten lines a second, and goes on counting while nobody hears it.
    with peer:
        while not over.wait(0.1):
            try:
                peer.sendall(b"T: %.2f C\\r\\n" % (60.0 + 0.01 * (time.monotonic() - began)))
            except OSError:
                return

def serve():
    while not over.is_set():
        try:
            peer, _ = server.accept()
        except OSError:
            return
        threading.Thread(target=speak, args=(peer,), daemon=True).start()

began = time.monotonic()
threading.Thread(target=serve, daemon=True).start()
clock = LiveClock()
source = tcp_source("127.0.0.1:%d" % server.getsockname()[1], {}, clock)
readings, troubles, pulled_s, plugged_s, back = [], [], None, None, 0
for event in source.events(over):
    now_s = clock.elapsed_s()
    if isinstance(event, Reading):
        readings.append((event.elapsed_s, event.temp_c))
        back += plugged_s is not None and event.elapsed_s > plugged_s
    said = isinstance(event, ProbeTrouble)
    if said:
        troubles.append((now_s, event.code))
    if pulled_s is None and len(readings) >= 20:
        link("down")
        pulled_s = clock.elapsed_s()
    if pulled_s is not None and plugged_s is None and said:
        link("up")
        plugged_s = clock.elapsed_s()
    if back >= 20:
        over.set()
server.close()
print(json.dumps({"readings": readings, "troubles": troubles, "pulled": pulled_s, "plugged": plugged_s}))
"""


def _in_a_network_of_its_own(*command: str) -> list[str]:
    return ["unshare", "--map-root-user", "--net", *command]


@pytest.fixture
def namespace() -> None:
    if not (shutil.which("unshare") and shutil.which("ip")):
        pytest.skip("unshare or ip is not installed: no network to pull a cable in")
    tried = subprocess.run(
        _in_a_network_of_its_own("ip", "link", "set", "lo", "up"),
        capture_output=True,
        timeout=20,
        check=False,
    )
    if tried.returncode:
        pytest.skip("this system lets no program have a network of its own")


@pytest.mark.usefixtures("namespace")
def test_a_pulled_cable_is_said_within_three_seconds_and_got_over_when_it_is_back() -> None:
    done = subprocess.run(
        _in_a_network_of_its_own(sys.executable, "-c", _IN_THE_NAMESPACE),
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
        cwd=Path(__file__).parents[2],
    )
    told = json.loads(done.stdout)
    said_s, code = next(each for each in told["troubles"] if each[0] >= told["pulled"])
    assert code in ("silent", "unplugged")
    assert said_s - told["pulled"] <= 3.0
    assert [code for _, code in told["troubles"]][-1] == "back"
    times_s = [elapsed_s for elapsed_s, _ in told["readings"]]
    temps_c = [temp_c for _, temp_c in told["readings"]]
    assert times_s == sorted(set(times_s))
    # The board counts up: a number that came twice or out of order would stand out.
    assert temps_c == sorted(temps_c)
    assert not any(told["pulled"] + 0.5 < elapsed_s < told["plugged"] for elapsed_s in times_s)

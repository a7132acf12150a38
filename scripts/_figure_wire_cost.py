"""What reading a thermometer costs: at ten readings a second without a window, and in a flood of lines."""

import os
import subprocess
import sys
import tempfile
import threading
import time
from pathlib import Path

from _figure_line import Figure
from wires import Printing, PtyDevice, TcpDevice, listening

from candlebench.addresses import open_source
from candlebench.thermometers.modbus_frames import crc16

MOST_SHARE, MOST_GROWTH_MB = 0.03, 2.0
# A melt's first seconds load the tables and begin the forecast.
WARM_S = 6.0
LINES_PER_S = 10_000


def cost_figures(seconds: float) -> list[Figure]:
    """The program in the console on a melt of its own, and the source alone in a flood."""
    return [
        _ten_a_second("text lines", "serial:{path}", seconds),
        _ten_a_second("Modbus", "modbus:{path}?scale=0.1&every=0.1", seconds),
        _ten_a_second(
            "of each of two probes", "serial:{path}?bath=T2", seconds, "T1: {n:.2f} C T2: 91.50 C\r\n"
        ),
        _flood("serial port", PtyDevice(), seconds / 2),
        _flood("TCP", TcpDevice(), seconds / 2),
    ]


def _ten_a_second(name: str, address: str, seconds: float, line: str = "{n:.2f}\r\n") -> Figure:
    device = PtyDevice(_thermometer if "modbus" in address else lambda asked: b"")
    printing = None if "modbus" in address else Printing(device.send, every_s=0.1, line=line)
    with tempfile.TemporaryDirectory(prefix="candlebench-figures-") as home:
        command = [sys.executable, "-m", "candlebench", "watch", "--data", home, "--room", "21"]
        command += ["--source", address.format(path=device.path), "--json"]
        with subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as process:
            time.sleep(WARM_S)
            before_s = _cpu_s(process.pid)
            time.sleep(seconds)
            share = (_cpu_s(process.pid) - before_s) / seconds
            process.terminate()
    if printing is not None:
        printing.pause()
    device.unplug()
    return Figure(
        f"ten readings a second, {name}",
        f"{100 * share:.1f} % of one core",
        f"<= {100 * MOST_SHARE:g} %",
        share <= MOST_SHARE,
        f"`watch --json` with journal and forecast, {seconds:g} s",
    )


def _flood(name: str, device: PtyDevice | TcpDevice, seconds: float) -> Figure:
    kind = "" if isinstance(device, TcpDevice) else "serial:"
    with listening(open_source(f"{kind}{device.path}")) as heard:
        device.send(b"x\r\n")
        reader = next(thread for thread in threading.enumerate() if thread.name == "source")
        clock = time.pthread_getcpuclockid(reader.ident or 0)
        _shout(device, seconds / 4, 0)
        memory_mb, cpu_s = _memory_mb(), time.clock_gettime(clock)
        _shout(device, seconds, 10)
        growth_mb = _memory_mb() - memory_mb
        share = (time.clock_gettime(clock) - cpu_s) / seconds
        began_s = time.monotonic()
        device.send(b"99.5\r\n")
        heard.reads(99.5)
        late_s = time.monotonic() - began_s
        temps = [event.temp_c for event in heard.heard if hasattr(event, "temp_c")]
    device.unplug()
    return Figure(
        f"flood of {LINES_PER_S} lines a second, {name}",
        f"memory {growth_mb:+.1f} MB, {100 * share:.0f} % of one core, "
        f"the last line read after {late_s:.2f} s",
        f"memory <= {MOST_GROWTH_MB:+g} MB, in order, last line <= 1 s",
        growth_mb <= MOST_GROWTH_MB and late_s <= 1.0 and temps == sorted(temps),
        f"{seconds:g} s; {len(temps)} readings passed, in order",
    )


def _shout(device: PtyDevice | TcpDevice, seconds: float, from_c: int) -> None:
    began_s, said = time.monotonic(), 0
    while (now_s := time.monotonic() - began_s) < seconds:
        if said > now_s * LINES_PER_S:
            time.sleep(0.002)
            continue
        device.send(b"".join(b"%.4f\r\n" % (30 + from_c + (said + k) / 1e4) for k in range(100)))
        said += 100


def _cpu_s(pid: int) -> float:
    fields = Path(f"/proc/{pid}/stat").read_text(encoding="ascii").rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def _memory_mb() -> float:
    pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 1e6


def _thermometer(asked: bytes) -> bytes:
    body = b"\x01\x04\x02\x02\x7b"
    return body + crc16(body).to_bytes(2, "little")

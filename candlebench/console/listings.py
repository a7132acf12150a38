"""`candlebench ports` and `candlebench melts`."""

import json
import os
import sys
from datetime import datetime
from pathlib import Path

from candlebench.console.records import reading_journal
from candlebench.core.units import clock_face
from candlebench.records.folders import data_folder
from candlebench.words import tr


def show_ports(include_internal: bool, as_json: bool) -> int:
    """Print what is plugged in, and the thermometers that the system itself reads."""
    from candlebench.thermometers.finding import sensor_files
    from candlebench.thermometers.sensor_names import sensor_name, sits_inside
    from candlebench.thermometers.serial_port import lasting_path, list_ports

    rows = [
        {
            "path": p.path,
            "name": p.name,
            "maker": p.maker,
            "serial_number": p.serial_number,
            "vid": p.vid,
            "pid": p.pid,
            "address": f"serial:{lasting_path(p)}",
        }
        for p in list_ports(include_internal)
    ]
    for file in sensor_files():
        if include_internal or not sits_inside(file):
            rows.append(
                {
                    "path": str(file),
                    "name": sensor_name(file),
                    "maker": "",
                    "serial_number": "",
                    "vid": None,
                    "pid": None,
                    "address": f"file:{file}",
                }
            )
    if as_json:
        print(json.dumps(rows))
        return 0
    if not rows:
        print(
            tr("No thermometer is plugged in. `candlebench ports --all` also lists the computer's own ports.")
        )
    for row in rows:
        words = [str(row[key]) for key in ("path", "name", "maker", "serial_number") if row[key]]
        print("  ".join(words))
    if rows:
        print(tr("`candlebench ports --listen PATH` says how one of them is to be read."))
    return 0


def show_melts(data: Path | None, as_json: bool) -> int:
    """Print the recorded melts, the newest first."""
    folder = data_folder(data, os.environ, sys.platform, Path.home())
    with reading_journal(folder) as records:
        melts = sorted(records.melts(), key=lambda m: -m.began_wall_s)
    if as_json:
        rows = [
            {
                "melt": str(m.uuid),
                "title": m.title,
                "began": datetime.fromtimestamp(m.began_wall_s).astimezone().isoformat(timespec="seconds"),
                "length_s": round(m.last_elapsed_s, 1),
                "events": m.event_count,
                "finished": m.finished,
            }
            for m in melts
        ]
        print(json.dumps(rows))
        return 0
    if not melts:
        print(tr("No melt is recorded in {folder}.").format(folder=folder))
    for m in melts:
        began = datetime.fromtimestamp(m.began_wall_s).astimezone().strftime("%Y-%m-%d %H:%M")
        end = tr("finished") if m.finished else tr("not finished")
        print(f"{str(m.uuid)[:8]}  {began}  {clock_face(m.last_elapsed_s):>8}  {end:<12}  {m.title}")
    return 0

"""The commands. Each is thin: it opens what it needs, runs, and prints."""

import argparse
import math
import os
import sys
from pathlib import Path

from candlebench import __version__
from candlebench.core.errors import CandlebenchError
from candlebench.words import tr


def run(arguments: list[str]) -> int:
    """Run one command.

    Returns
    -------
    int
        0 done, 1 something the person can put right (said on stderr), 2 wrong usage.
    """
    parser = _parser()
    options = parser.parse_args(arguments)
    try:
        return int(options.command(options))
    except CandlebenchError as error:
        print(str(error), file=sys.stderr)
        return 1
    except BrokenPipeError:
        # Whoever read our output has gone (`| head`): nothing is wrong.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except KeyboardInterrupt:
        return 0


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="candlebench",
        description=tr("Watches a melt of candle wax and says when to add the oil and when to pour."),
        epilog=tr("Without a command the window opens."),
    )
    parser.add_argument("--version", action="version", version=f"candlebench {__version__}")
    parser.add_argument("--demo", action="store_true", help=tr("open the window on a practice melt"))
    _data(parser)
    parser.set_defaults(command=_window)
    commands = parser.add_subparsers(title=tr("commands"), metavar=tr("command"))

    watch = commands.add_parser("watch", help=tr("a live melt without a window, kept like any other"))
    watch.add_argument(
        "--source", required=True, help=tr("thermometer address, as serial:/dev/ttyUSB0?baud=9600")
    )
    _melt_options(watch)
    watch.add_argument("--json", action="store_true", help=tr("one JSON object a reading"))
    _data(watch)
    watch.set_defaults(command=_watch)

    forecast = commands.add_parser(
        "forecast", help=tr("what would have been foreseen at each reading of a file")
    )
    forecast.add_argument("file", type=Path)
    _melt_options(forecast)
    forecast.add_argument("--json", action="store_true", help=tr("one JSON object a reading"))
    _data(forecast)
    forecast.set_defaults(command=_forecast)

    practice = commands.add_parser(
        "practice", help=tr("write a simulated melt to a file, with the hidden truth")
    )
    practice.add_argument("scenario")
    practice.add_argument("--csv", type=Path, required=True)
    practice.add_argument("--seed", type=int, default=1)
    _data(practice)
    practice.set_defaults(command=_practice)

    ports = commands.add_parser("ports", help=tr("which thermometers are plugged in"))
    ports.add_argument("--all", action="store_true", help=tr("also the computer's own ports"))
    ports.add_argument("--json", action="store_true")
    _data(ports)
    ports.set_defaults(command=_ports)

    melts = commands.add_parser("melts", help=tr("which melts are recorded"))
    melts.add_argument("--json", action="store_true")
    _data(melts)
    melts.set_defaults(command=_melts)

    export = commands.add_parser("export", help=tr("write a recorded melt to a CSV file"))
    export.add_argument("melt", help=tr("its identity or the first letters of it, or latest"))
    export.add_argument("--csv", type=Path, required=True)
    _data(export)
    export.set_defaults(command=_export)
    return parser


def _data(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--data", type=Path, default=argparse.SUPPRESS, metavar="DIR", help=tr("where the records are kept")
    )


def _melt_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--room", type=_number, metavar="C", help=tr("room temperature in °C"))
    parser.add_argument("--wax", default="beeswax", help=tr("name of the wax, or none for water"))
    parser.add_argument(
        "--target",
        type=_number,
        action="append",
        metavar="C",
        help=tr("temperature to foresee, may be repeated"),
    )


def _number(text: str) -> float:
    number = float(text.replace(",", "."))
    if not math.isfinite(number):
        raise ValueError(text)
    return number


def _window(options: argparse.Namespace) -> int:
    from candlebench.ui.app import run_window

    return run_window(getattr(options, "data", None), demo=options.demo)


def _watch(options: argparse.Namespace) -> int:
    from candlebench.console.watch import watch

    return watch(
        options.source,
        data=getattr(options, "data", None),
        room_c=options.room,
        wax=options.wax,
        targets_c=tuple(options.target or ()),
        as_json=options.json,
    )


def _forecast(options: argparse.Namespace) -> int:
    from candlebench.console.forecast import forecast

    return forecast(
        options.file,
        room_c=options.room,
        wax=options.wax,
        targets_c=tuple(options.target or ()),
        as_json=options.json,
    )


def _practice(options: argparse.Namespace) -> int:
    from candlebench.console.files import write_practice

    return write_practice(options.scenario, options.csv, options.seed)


def _ports(options: argparse.Namespace) -> int:
    from candlebench.console.listings import show_ports

    return show_ports(include_internal=options.all, as_json=options.json)


def _melts(options: argparse.Namespace) -> int:
    from candlebench.console.listings import show_melts

    return show_melts(getattr(options, "data", None), as_json=options.json)


def _export(options: argparse.Namespace) -> int:
    from candlebench.console.files import export_melt

    return export_melt(options.melt, options.csv, getattr(options, "data", None))

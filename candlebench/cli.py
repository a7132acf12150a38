"""The commands. Each is thin: it opens what it needs, runs, and prints."""

import argparse
import gc
import math
import os
import sys
from pathlib import Path

from candlebench import __version__
from candlebench.console.check_options import add_check
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
    parser.add_argument(
        "--demo-if-alone",
        action="store_true",
        help=tr("the same, unless a thermometer is plugged in or a melt can go on"),
    )
    _data(parser)
    parser.set_defaults(command=_window)
    commands = parser.add_subparsers(title=tr("commands"), metavar=tr("command"))

    watch = commands.add_parser("watch", help=tr("a live melt without a window, kept like any other"))
    watch.add_argument(
        "--source", required=True, help=tr("thermometer address, as serial:/dev/ttyUSB0?baud=9600")
    )
    _melt_options(watch)
    watch.add_argument(
        "--beside",
        default="",
        metavar="bath|room=URL",
        help=tr("a second thermometer: in the water bath or in the room"),
    )
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

    _add_practice(commands)
    _add_plan(commands)

    ports = commands.add_parser("ports", help=tr("which thermometers are plugged in"))
    ports.add_argument("--all", action="store_true", help=tr("also the computer's own ports and sensors"))
    ports.add_argument(
        "--listen", metavar="PATH", help=tr("listen to one at the usual speeds, and say how to read it")
    )
    ports.add_argument("--json", action="store_true")
    _data(ports)
    ports.set_defaults(command=_ports)

    melts = commands.add_parser("melts", help=tr("which melts are recorded"))
    melts.add_argument("--json", action="store_true")
    _data(melts)
    melts.set_defaults(command=_melts)

    debrief = commands.add_parser("debrief", help=tr("how a recorded melt went"))
    debrief.add_argument("melt", help=tr("its identity or the first letters of it, or latest"))
    debrief.add_argument("--json", action="store_true")
    debrief.add_argument("--pdf", type=Path, metavar="FILE", help=tr("also write it as a PDF"))
    debrief.add_argument("--paper", choices=("a4", "letter"), default="a4")
    _data(debrief)
    debrief.set_defaults(command=_debrief)

    _add_learned(commands)
    add_check(commands, _number, _data)

    cupboard = commands.add_parser("cupboard", help=tr("what is in the store cupboard"))
    cupboard.add_argument("--json", action="store_true", help=tr("one JSON object"))
    _data(cupboard)
    cupboard.set_defaults(command=_cupboard)

    export = commands.add_parser("export", help=tr("write a recorded melt to a CSV file"))
    export.add_argument("melt", help=tr("its identity or the first letters of it, or latest"))
    export.add_argument("--csv", type=Path, required=True)
    _data(export)
    export.set_defaults(command=_export)
    return parser


def _add_practice(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    practice = commands.add_parser(
        "practice", help=tr("write a simulated melt to a file, with the hidden truth")
    )
    practice.add_argument("scenario", nargs="?", help=tr("its name, or a .toml file of your own"))
    practice.add_argument("--csv", type=Path, metavar="FILE")
    practice.add_argument("--seed", type=int, default=1)
    practice.add_argument(
        "--knob",
        action="append",
        metavar="MIN=SHARE",
        help=tr("turn the knob, like 12=0.3 or 12=30%%; may be repeated"),
    )
    practice.add_argument("--list", action="store_true", help=tr("which melts can be practised"))
    practice.add_argument("--json", action="store_true")
    _data(practice)
    practice.set_defaults(command=_practice, wrong_usage=practice.error)


def _add_plan(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    plan = commands.add_parser("plan", help=tr("how much wax and oil, and which wick, a batch takes"))
    plan.add_argument(
        "--jar",
        required=True,
        metavar="WxH",
        help=tr("inside diameter x fill height in mm, 75x80; 75/60x80 tapers"),
    )
    plan.add_argument("--count", type=int, default=1, help=tr("how many candles"))
    plan.add_argument("--wax", default="beeswax", help=tr("name of the wax"))
    plan.add_argument(
        "--oil",
        action="append",
        default=[],
        metavar="NAME=PERCENT",
        help=tr("an oil and its share, may be repeated; one not in the table as NAME=6%%,0.87g/mL,75C"),
    )
    plan.add_argument(
        "--of-wax", action="store_true", help=tr("shares of the wax, not of wax and oil together")
    )
    plan.add_argument("--oil-limit", type=_number, metavar="PERCENT", help=tr("the lot's own limit for oil"))
    plan.add_argument("--height", type=_number, metavar="MM", help=tr("inside height of the jar"))
    plan.add_argument("--jar-kind", default="glass", help=tr("glass, borosilicate, tin, ..."))
    plan.add_argument(
        "--water", type=_number, metavar="G", help=tr("water that fills the jar to the fill line")
    )
    plan.add_argument("--pour", type=_number, metavar="C", help=tr("temperature of the pour in °C"))
    plan.add_argument("--room", type=_number, default=20.0, metavar="C", help=tr("room temperature in °C"))
    plan.add_argument("--altitude", type=_number, default=0.0, metavar="M", help=tr("metres above the sea"))
    plan.add_argument("--json", action="store_true", help=tr("one JSON object"))
    plan.add_argument(
        "--batch-sheet", type=Path, metavar="FILE", help=tr("also write the batch sheet as a PDF")
    )
    plan.add_argument("--labels", type=Path, metavar="FILE", help=tr("also write labels as a PDF"))
    plan.add_argument("--paper", choices=("a4", "letter"), default="a4")
    plan.add_argument(
        "--label-size", default="70x50", metavar="WxH", help=tr("in mm; one number for a round one")
    )
    plan.add_argument(
        "--label-count", type=int, metavar="N", help=tr("how many labels, one a candle without")
    )
    plan.add_argument(
        "--language",
        default="en",
        metavar="NAME",
        help=tr("language of the labels: en, de, es, fr or your own"),
    )
    _data(plan)
    plan.set_defaults(command=_plan)


def _add_learned(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    learned = commands.add_parser(
        "learned", help=tr("what earlier melts taught, and how the forecasts fared")
    )
    learned.add_argument("--json", action="store_true")
    learned.add_argument("--practice", action="store_true", help=tr("change what practice melts taught"))
    change = learned.add_mutually_exclusive_group()
    change.add_argument(
        "--forget",
        nargs=2,
        metavar=("KIND", "NAME"),
        help=tr("use nothing any more of a lot, jug or probe"),
    )
    change.add_argument(
        "--edit",
        nargs=3,
        metavar=("KIND", "NAME", "VALUE"),
        help=tr("lot: °C, jug: K a minute, probe: s"),
    )
    _data(learned)
    learned.set_defaults(command=_learned)


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
    # What is loaded stays: looking among it for garbage would take a tenth of the time to the first picture.
    gc.disable()
    try:
        from candlebench.ui.app import run_window

        data = getattr(options, "data", None)
        return run_window(data, demo=options.demo, demo_if_alone=options.demo_if_alone)
    finally:
        gc.enable()


def _watch(options: argparse.Namespace) -> int:
    from candlebench.console.watch import watch

    return watch(
        options.source,
        data=getattr(options, "data", None),
        room_c=options.room,
        wax=options.wax,
        targets_c=tuple(options.target or ()),
        as_json=options.json,
        beside=options.beside,
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
    data = getattr(options, "data", None)
    if options.list:
        from candlebench.console.scenarios import show_scenarios

        return show_scenarios(data, options.json)
    if options.scenario is None or options.csv is None:
        options.wrong_usage(tr("name a scenario and --csv FILE, or ask for --list"))
    from candlebench.console.files import write_practice

    return write_practice(options.scenario, options.csv, options.seed, options.knob, data)


def _ports(options: argparse.Namespace) -> int:
    if options.listen is not None:
        from candlebench.console.listening import listen_to

        return listen_to(options.listen, as_json=options.json)
    from candlebench.console.listings import show_ports

    return show_ports(include_internal=options.all, as_json=options.json)


def _melts(options: argparse.Namespace) -> int:
    from candlebench.console.listings import show_melts

    return show_melts(getattr(options, "data", None), as_json=options.json)


def _debrief(options: argparse.Namespace) -> int:
    from candlebench.console.debrief import debrief_melt

    data = getattr(options, "data", None)
    return debrief_melt(options.melt, data, options.json, options.pdf, options.paper)


def _learned(options: argparse.Namespace) -> int:
    from candlebench.console.learned import forget_learned, say_learned, show_learned

    data = getattr(options, "data", None)
    if options.forget:
        kind, name = options.forget
        return forget_learned(data, kind, name, options.practice)
    if options.edit:
        kind, name, value = options.edit
        return say_learned(data, kind, name, value, options.practice)
    return show_learned(data, options.json)


def _cupboard(options: argparse.Namespace) -> int:
    from candlebench.console.cupboard import show_cupboard

    return show_cupboard(getattr(options, "data", None), as_json=options.json)


def _plan(options: argparse.Namespace) -> int:
    from candlebench.console.papers import Papers
    from candlebench.console.plan import plan

    return plan(
        options.jar,
        options.count,
        options.wax,
        options.oil,
        as_json=options.json,
        height_mm=options.height,
        jar_kind=options.jar_kind,
        water_g=options.water,
        of_wax=options.of_wax,
        pour_c=options.pour,
        room_c=options.room,
        oil_limit_pct=options.oil_limit,
        altitude_m=options.altitude,
        papers=Papers(
            options.batch_sheet,
            options.labels,
            options.paper,
            options.label_size,
            options.language,
            options.label_count,
            getattr(options, "data", None),
        ),
    )


def _export(options: argparse.Namespace) -> int:
    from candlebench.console.files import export_melt

    return export_melt(options.melt, options.csv, getattr(options, "data", None))

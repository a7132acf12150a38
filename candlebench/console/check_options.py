"""The options of `candlebench check`. Loads nothing else until the command runs."""

import argparse
from collections.abc import Callable
from pathlib import Path

from candlebench.words import tr


def add_check(
    commands: "argparse._SubParsersAction[argparse.ArgumentParser]",
    number: Callable[[str], float],
    add_data: Callable[[argparse.ArgumentParser], None],
) -> None:
    """Add the command.

    Parameters
    ----------
    commands : argparse's sub-parsers
    number : callable
        Reads a number that was typed.
    add_data : callable
        Adds `--data`, as every command has it.
    """
    check = commands.add_parser(
        "check", help=tr("whether a probe shows what is true, and how late it is"), epilog=_care()
    )
    check.add_argument("--probe", default="", metavar="NAME", help=tr("what you call the probe"))
    reading = tr("what it showed, may be repeated, or a file of readings")
    check.add_argument(
        "--ice",
        action="append",
        default=[],
        metavar="SHOWN",
        help=tr("in melting ice: {it}").format(it=reading),
    )
    check.add_argument(
        "--boiling",
        action="append",
        default=[],
        metavar="SHOWN",
        help=tr("in boiling water: {it}").format(it=reading),
    )
    check.add_argument(
        "--beside",
        action="append",
        default=[],
        metavar="SHOWN=TRUE",
        help=tr("in one jug with a thermometer that you trust, may be repeated"),
    )
    check.add_argument(
        "--trust", type=number, metavar="K", help=tr("how far that thermometer may be off, 1 without")
    )
    check.add_argument("--altitude", type=number, metavar="M", help=tr("metres above the sea"))
    air = check.add_mutually_exclusive_group()
    air.add_argument(
        "--pressure", type=number, metavar="HPA", help=tr("what a barometer at your place shows")
    )
    air.add_argument("--report", type=number, metavar="HPA", help=tr("what the weather report says"))
    check.add_argument(
        "--class", dest="class_name", default="", metavar="NAME", help=tr("what it is sold as")
    )
    lag = check.add_mutually_exclusive_group()
    lag.add_argument(
        "--plunge", type=Path, metavar="FILE", help=tr("readings while it went into stirred hot water")
    )
    lag.add_argument(
        "--t90", type=number, metavar="S", help=tr("seconds until nine tenths of the way, by a stopwatch")
    )
    check.add_argument(
        "--plunged-at", type=number, metavar="S", help=tr("when in that file the probe went in")
    )
    check.add_argument("--in-wax", action="store_true", help=tr("it went into melted wax, not into water"))
    check.add_argument("--on", default="", metavar="DAY", help=tr("day of the check, today without"))
    check.add_argument("--show-only", action="store_true", help=tr("work it out, keep nothing"))
    left_out = check.add_mutually_exclusive_group()
    left_out.add_argument("--forget", action="store_true", help=tr("use no check of this probe any more"))
    left_out.add_argument("--use-again", action="store_true", help=tr("use again what was last left out"))
    check.add_argument("--json", action="store_true", help=tr("one JSON object"))
    add_data(check)
    check.set_defaults(command=_check, wrong_usage=check.error)


def _care() -> str:
    return tr(
        "Steam and hot water burn: hold the probe from the side, keep cables dry, and keep children away "
        "from the hob."
    )


def _check(options: argparse.Namespace) -> int:
    from candlebench.console.check import Asked, check_probe, forget_checks, use_checks_again

    data = getattr(options, "data", None)
    measured = any((options.ice, options.boiling, options.beside, options.plunge, options.t90 is not None))
    if (measured or options.forget or options.use_again) and not options.probe.strip():
        options.wrong_usage(tr("say which probe it is: --probe NAME"))
    if (options.forget or options.use_again) and measured:
        options.wrong_usage(tr("forget or use again first, then check"))
    if options.forget:
        return forget_checks(options.probe, data)
    if options.use_again:
        return use_checks_again(options.probe, data)
    asked = Asked(
        options.probe,
        tuple(options.ice),
        tuple(options.boiling),
        tuple(options.beside),
        options.trust,
        options.altitude,
        options.pressure,
        options.report,
        options.class_name,
        options.plunge,
        options.plunged_at,
        options.t90,
        options.in_wax,
        options.on,
    )
    return check_probe(asked, data, options.json, options.show_only)

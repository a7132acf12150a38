"""`candlebench plan`: from a jar to weighed wax, oil, wick and cautions, without a window."""

import json
import math
import re
import shutil
import textwrap
from collections.abc import Iterator, Sequence
from typing import Any

from candlebench.console.papers import Papers, write_papers
from candlebench.core.errors import FixableError
from candlebench.core.materials.oil import EssentialOil, described_oil, find_oil
from candlebench.core.materials.wax import oil_window_open
from candlebench.core.plan.planning import Plan, make_plan
from candlebench.core.plan.reasoned import Reasoned, number
from candlebench.core.plan.request import Basis, OilPart, PlanRequest
from candlebench.core.plan.tables import load_tables
from candlebench.core.plan.to_melt import plan_title
from candlebench.core.state import Level
from candlebench.core.units import Shown
from candlebench.words import tr

_NUMBER = r"(\d+(?:[.,]\d+)?)"
_JAR = re.compile(rf"{_NUMBER}(?:/{_NUMBER})?(?:[xX×]{_NUMBER})?$")
_SHARE = re.compile(rf"{_NUMBER}\s*%?$")
_DENSITY = re.compile(rf"{_NUMBER}\s*g/m[lL]$")
_FLASH = re.compile(rf"{_NUMBER}\s*°?[cC]$")


def plan(
    jar: str,
    count: int,
    wax: str,
    oils: Sequence[str],
    as_json: bool,
    *,
    height_mm: float | None = None,
    jar_kind: str = "glass",
    water_g: float | None = None,
    of_wax: bool = False,
    pour_c: float | None = None,
    room_c: float = 20.0,
    oil_limit_pct: float | None = None,
    altitude_m: float = 0.0,
    papers: Papers | None = None,
) -> int:
    """Print what a batch takes.

    Parameters
    ----------
    jar : str
        '75x80': inside diameter and fill height in millimetres; '75/60x80' tapers to 60 mm at the bottom;
        '75' alone goes with `water_g`.
    oils : sequence of str
        'lavender=6%', 'rosewood=6%,0.87g/mL,75C' for one that the table does not know.
    of_wax : bool
        Shares are of the wax rather than of wax and oil together.

    Returns
    -------
    int
        0.

    Raises
    ------
    FixableError
        The jar or an oil cannot be read, or no plan can be made of them.
    """
    top_mm, bottom_mm, fill_mm = read_jar(jar)
    parts = [read_oil(text) for text in oils]
    request = PlanRequest(
        diameter_mm=top_mm,
        bottom_mm=bottom_mm,
        fill_mm=fill_mm,
        height_mm=height_mm,
        water_fill_g=water_g,
        jar_kind=jar_kind,
        count=count,
        wax=wax,
        oils=tuple(OilPart(oil, share_pct) for oil, share_pct in parts if share_pct > 0.0),
        load_pct=sum(share_pct for _, share_pct in parts),
        basis=Basis.WAX if of_wax else Basis.WHOLE,
        pour_c=pour_c,
        room_c=room_c,
        oil_limit_pct=oil_limit_pct,
        altitude_m=altitude_m,
    )
    made = make_plan(request, load_tables())
    if as_json:
        print(json.dumps(plan_row(made), ensure_ascii=False))
    else:
        width = min(100, shutil.get_terminal_size((88, 24)).columns)
        print("\n".join(plan_lines(made, width)))
    if papers is not None:
        write_papers(made, papers)
    return 0


def read_jar(text: str) -> tuple[float, float | None, float | None]:
    """Return inside diameter, diameter at the bottom (None when straight) and fill height, in mm.

    Raises
    ------
    FixableError
        It is no such size.
    """
    found = _JAR.match(text.strip())
    if found is None:
        raise FixableError(
            tr(
                "“{jar}” is no jar: write inside diameter x fill height in mm, 75x80; 75/60x80 for one that "
                "is 60 mm at the bottom."
            ).format(jar=text)
        )
    top, bottom, fill = (None if size is None else _float(size) for size in found.groups())
    assert top is not None
    return top, bottom, fill


def read_oil(text: str) -> tuple[EssentialOil, float]:
    """Return an oil and its share in per cent from 'lavender=6%' or 'rosewood=6%,0.87g/mL,75C'.

    A density or a flash point goes before the table's.

    Raises
    ------
    FixableError
        The oil is not known, or something behind its name cannot be read.
    """
    name, equals, rest = text.partition("=")
    share_pct = density = flash = None
    # A comma behind a digit is a decimal comma, one behind a unit begins the next figure.
    for piece in re.split(r"(?<=[%lLcC]),|;", rest) if equals else ():
        piece = piece.strip()
        if found := _SHARE.match(piece):
            share_pct = _float(found[1])
        elif found := _DENSITY.match(piece):
            density = _float(found[1])
        elif found := _FLASH.match(piece):
            flash = _float(found[1])
        else:
            share_pct = None
            break
    if share_pct is None or not name.strip():
        raise FixableError(
            tr(
                "“{oil}” is no oil: write its name and share, lavender=6%; for one that is not in the table "
                "also density and flash point, rosewood=6%,0.87g/mL,75C."
            ).format(oil=text)
        )
    try:
        table_name = find_oil(name).name
    except FixableError as error:
        if density is None:
            example = f"{name.strip()}={number(share_pct)}%,0.87g/mL,75C"
            raise FixableError(tr("{why} As in {example}").format(why=error, example=example)) from error
        return described_oil(name.strip(), "", density, flash), share_pct
    return described_oil(table_name, table_name, density, flash), share_pct


def plan_row(plan: Plan) -> dict[str, Any]:
    """The JSON of one plan: amounts in grams, millilitres and millimetres; null where nothing is known."""
    oil, wick = plan.oil, plan.wick
    return {
        "title": plan_title(plan),
        "count": plan.request.count,
        "wax": plan.request.wax,
        "volume_ml": _rounded(plan.jar.volume_ml),
        "fill_mm": _rounded(plan.jar.fill_mm),
        "candle_g": _rounded(plan.wax.each_g),
        "batch_g": _rounded(plan.wax.batch_g),
        "wax_g": _rounded(plan.wax.weigh_g),
        "oil_g": 0.0 if oil is None else round(oil.weigh_g.value, 3),
        "oil_ml": 0.0 if oil is None else round(oil.volume_ml.value, 1),
        "oil_of_whole_pct": 0.0 if oil is None else round(oil.of_whole_pct.value, 2),
        "oil_of_wax_pct": 0.0 if oil is None else round(oil.of_wax_pct.value, 2),
        "oils": [
            {
                "oil": line.oil.name,
                "g": round(line.weigh_g.value, 3),
                "ml": round(line.volume_ml.value, 1),
                "error_pct": round(line.error_pct, 2),
            }
            for line in (oil.lines if oil else ())
        ],
        "pellets_ml": _rounded(plan.wax.pellets_ml),
        "pellets_low_ml": None if plan.wax.pellets_ml is None else _figure(plan.wax.pellets_ml.low),
        "pellets_high_ml": None if plan.wax.pellets_ml is None else _figure(plan.wax.pellets_ml.high),
        "doubling_rule_g": _rounded(plan.wax.doubled_g),
        "set_level_mm": _rounded(plan.wax.set_level_mm),
        "top_up_g": _rounded(plan.wax.top_up_g),
        "pour_c": plan.pour_c,
        "flash_c": None if oil is None or oil.flash_c is None else _figure(oil.flash_c.value),
        "oil_window_c": _window(plan),
        "most_oil_pct": None if oil is None or oil.most_pct is None else oil.most_pct.value,
        "wick": {
            "count": int(wick.count.value),
            "series": wick.series,
            "size": wick.size,
            "text": wick.text,
            "positions_mm": [[round(x, 1), round(y, 1)] for x, y in wick.positions_mm],
        },
        "label": list(oil.label_texts) if oil else [],
        "cautions": [
            {"code": each.code, "level": each.level.value, "text": each.text, "why": each.why}
            for each in plan.cautions
        ],
    }


def plan_lines(plan: Plan, width: int = 88) -> Iterator[str]:
    """Yield the plan as lines of text: amounts first, each with its reason, then the cautions."""
    groups = [list(group) for group in (_wax_rows(plan), _oil_rows(plan), _pour_rows(plan), _wick_rows(plan))]
    rows = [row for group in groups for row in group]
    first = max(len(name) for name, _, _ in rows)
    second = max(len(shown) for _, shown, _ in rows)
    title = plan_title(plan)
    yield title
    yield "─" * len(title)
    for group in groups:
        for name, shown, why in group:
            yield from _wrapped(f"{name:<{first}}  {shown:>{second}}  ", why, width)
        if group:
            yield ""
    signs = {Level.DANGER: tr("Stop"), Level.WARNING: tr("Watch out"), Level.CALM: tr("Note")}
    first = max(len(sign) for sign in signs.values())
    for caution in plan.cautions:
        yield from _wrapped(f"{signs[caution.level]:<{first}}  ", f"{caution.text} {caution.why}", width)


def _wax_rows(plan: Plan) -> Iterator[tuple[str, str, str]]:
    wax = plan.wax
    yield tr("Jar"), plan.jar.volume_ml.shown, plan.jar.volume_ml.why
    yield tr("Wax"), wax.weigh_g.shown, wax.weigh_g.why
    if wax.pellets_ml is not None and wax.doubled_g is not None:
        band = f"{wax.pellets_ml.band}. " if wax.pellets_ml.band else ""
        yield tr("as pellets"), wax.pellets_ml.shown, f"{band}{wax.doubled_g.why}"


def _oil_rows(plan: Plan) -> Iterator[tuple[str, str, str]]:
    oil = plan.oil
    if oil is None:
        return
    if len(oil.lines) > 1:
        for line in oil.lines:
            yield line.oil.shown_name, line.weigh_g.shown, _millilitres(line.volume_ml)
    yield tr("Oil"), oil.weigh_g.shown, f"{_millilitres(oil.volume_ml)} {oil.weigh_g.why}"
    share = tr("of wax and oil together; that is {percent} % of the wax.")
    yield tr("its share"), oil.of_whole_pct.shown, share.format(percent=number(oil.of_wax_pct.value))
    if oil.flash_c is not None:
        yield tr("flashes at"), oil.flash_c.shown, oil.flash_c.why


def _pour_rows(plan: Plan) -> Iterator[tuple[str, str, str]]:
    yield from _temperatures(plan)
    if plan.wax.set_level_mm is not None:
        yield tr("Sets at"), plan.wax.set_level_mm.shown, plan.wax.set_level_mm.why
    if plan.wax.top_up_g is not None:
        yield tr("Top up"), plan.wax.top_up_g.shown, plan.wax.top_up_g.why


def _wick_rows(plan: Plan) -> Iterator[tuple[str, str, str]]:
    wick, count = plan.wick, int(plan.wick.count.value)
    size = wick.size if count == 1 else f"{count} × {wick.size}".rstrip(" ×")
    yield tr("Wick"), size or str(count), f"{wick.text}. {wick.why}"


def _temperatures(plan: Plan) -> Iterator[tuple[str, str, str]]:
    limits, shown = plan.limits, Shown()
    if plan.oil is not None:
        if plan.oil.flash_c is None:
            yield tr("Add the oil"), tr("unknown"), tr("No window without the oil's flash point.")
        elif oil_window_open(limits):
            window = shown.span(limits.oil_low_c, math.floor(limits.oil_high_c))
            yield tr("Add the oil"), window, tr("Off the heat, then stir.")
        else:
            yield tr("Add the oil"), tr("no window"), tr("See below.")
    yield tr("Pour"), shown.span(limits.pour_low_c, limits.pour_high_c), ""


def _millilitres(volume: Reasoned) -> str:
    return tr("or {volume}.").format(volume=volume.shown)


def _wrapped(start: str, text: str, width: int) -> list[str]:
    if not text:
        return [start.rstrip()]
    room = max(30, width - len(start))
    # A number stays with its unit.
    whole = re.sub(r"(\d) (?=%|°|g\b|kg\b|mm\b|mL\b|min\b|h\b)", "\\1\N{NO-BREAK SPACE}", text)
    lines = [line.replace("\N{NO-BREAK SPACE}", " ") for line in textwrap.wrap(whole, room)]
    return [start + lines[0], *(" " * len(start) + line for line in lines[1:])]


def _window(plan: Plan) -> list[float] | None:
    if plan.oil is None or plan.oil.flash_c is None or not oil_window_open(plan.limits):
        return None
    return [plan.limits.oil_low_c, round(plan.limits.oil_high_c, 1)]


def _rounded(result: Reasoned | None) -> float | None:
    return None if result is None else _figure(result.value)


def _figure(value: float | None) -> float | None:
    return None if value is None else round(value, 1)


def _float(text: str) -> float:
    return float(text.replace(",", "."))

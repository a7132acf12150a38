"""Which statement the sensitisers of a candle lead to: EUH208 or H317, by share of the finished candle."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from candlebench.core.errors import BadDataError
from candlebench.core.materials.compound import Compound, Sensitiser
from candlebench.core.materials.figure import data_file, is_number, read_figure, read_tables, required
from candlebench.words import tr

# A share that lies on a limit counts (row E10: 1 % at 10 % is 0.10 %), whatever the last binary digit says.
_TOLERANCE = 1e-9

H317 = "H317"
EUH208 = "EUH208"
_TEXTS = (H317, "names", EUH208, "signal_word")


@dataclass(frozen=True, slots=True)
class Thresholds:
    """Limits of one class, in per cent of the candle, with their source."""

    euh208_from_pct: float
    h317_from_pct: float
    row: str
    source: str


@dataclass(frozen=True, slots=True)
class AllergenRules:
    """The limits by class, and what a limit of its own means for EUH208.

    `texts` holds the words of 'H317', 'names', 'EUH208' and 'signal_word', already translated.
    """

    by_class: Mapping[str, Thresholds]
    texts: Mapping[str, str]
    specific_limit_share: float
    source: str


@dataclass(frozen=True, slots=True)
class Finding:
    """One sensitiser in the candle.

    Attributes
    ----------
    compound : Compound
    pct : float or None
        The most of it there may be in the finished candle, in per cent by mass; None when the tables do not
        say how much of it the oil holds: then only the data sheet tells.
    statement : str
        'H317', 'EUH208' or ''.
    why, source : str
        For people, already translated.
    """

    compound: Compound
    pct: float | None
    statement: str
    why: str
    source: str


@cache
def load_allergen_rules(path: Path | None = None) -> AllergenRules:
    """Return the rules of `resources/data/allergens.toml`, or of another such file.

    Raises
    ------
    BadDataError
        The file cannot be read as such rules.
    """
    path = path or data_file("allergens.toml")
    tables = read_tables(path)
    classes = required(path.name, "allergens", tables, "class", dict)
    statements = required(path.name, "allergens", tables, "statement", dict)
    share = read_figure(path.name, "specific_limit_share", tables.get("specific_limit_share"))
    return AllergenRules(
        by_class={name: _thresholds(path.name, f"class.{name}", table) for name, table in classes.items()},
        texts={
            code: tr(required(path.name, f"statement.{code}", statements.get(code), "text", str))
            for code in _TEXTS
        },
        specific_limit_share=share.value,
        source=share.spoken_source(),
    )


def statement_for(sensitiser: Sensitiser, pct: float, rules: AllergenRules) -> str:
    """Return 'H317', 'EUH208' or '' for a share of the finished candle, in per cent by mass.

    Source: rows O59 and O60, Reg. (EC) 1272/2008 Tables 3.4.5 and 3.4.6 as quoted.
    """
    limits = rules.by_class.get(sensitiser.category)
    if limits is None:
        return ""
    h317_pct, euh208_pct = limits.h317_from_pct, limits.euh208_from_pct
    if sensitiser.from_pct is not None:
        h317_pct, euh208_pct = sensitiser.from_pct, sensitiser.from_pct * rules.specific_limit_share
    if pct >= h317_pct * (1.0 - _TOLERANCE):
        return H317
    return EUH208 if pct >= euh208_pct * (1.0 - _TOLERANCE) else ""


def find_sensitisers(
    shares_pct: Mapping[str, float | None], compounds: Mapping[str, Compound], rules: AllergenRules
) -> tuple[Finding, ...]:
    """Return what is known of every sensitiser among the compounds, the heaviest statement first.

    Parameters
    ----------
    shares_pct : mapping of str to float or None
        Per cent of the finished candle by compound; None for a compound that is in there in an unknown share.
    compounds : mapping
        By name, as from `load_compounds`.
    rules : AllergenRules
    """
    found = []
    for name, pct in shares_pct.items():
        sensitiser = compounds[name].sensitiser
        if sensitiser is not None:
            found.append(_finding(compounds[name], sensitiser, pct, rules))
    order = {H317: 0, EUH208: 1, "": 2}
    return tuple(sorted(found, key=lambda f: (order[f.statement], -(f.pct or 0.0), f.compound.name)))


def label_texts(findings: tuple[Finding, ...], rules: AllergenRules) -> tuple[str, ...]:
    """Return the statements for the label, in the order in which they stand on it.

    With H317: the signal word, the substances that cause it (they belong to the product identifier, row O61),
    the hazard statement. Then EUH208 with the substances that only reach its limit.
    """
    texts = []
    causing = _names(findings, H317)
    if causing:
        texts += [
            rules.texts["signal_word"],
            rules.texts["names"].format(substances=causing),
            rules.texts[H317],
        ]
    named = _names(findings, EUH208)
    if named:
        texts.append(rules.texts[EUH208].format(substances=named))
    return tuple(texts)


def _names(findings: tuple[Finding, ...], statement: str) -> str:
    return ", ".join(finding.compound.shown_name for finding in findings if finding.statement == statement)


def _finding(compound: Compound, sensitiser: Sensitiser, pct: float | None, rules: AllergenRules) -> Finding:
    limits = rules.by_class.get(sensitiser.category)
    source = tr("class: {class_source} (row {row}); limits: {limits}").format(
        class_source=sensitiser.source,
        row=sensitiser.row,
        limits=limits.source if limits else tr("the supplier's data sheet"),
    )
    if pct is None:
        why = tr("{name} is in the oil; how much only the data sheet says.").format(name=compound.shown_name)
        return Finding(compound, None, "", why, source)
    if limits is None:
        why = tr("Up to {pct} % of the candle is {name}; its class stands on the data sheet.")
        return Finding(compound, pct, "", why.format(pct=f"{pct:.2g}", name=compound.shown_name), source)
    statement = statement_for(sensitiser, pct, rules)
    why = tr("Up to {pct} % of the candle is {name}, class {category}: {statement}.").format(
        pct=f"{pct:.2g}",
        name=compound.shown_name,
        category=sensitiser.category,
        statement=statement or tr("below the limits"),
    )
    return Finding(compound, pct, statement, why, source)


def _thresholds(file: str, place: str, table: Any) -> Thresholds:
    row, source = (required(file, place, table, key, str) for key in ("row", "source"))
    for key in ("euh208_from_pct", "h317_from_pct"):
        if not is_number(table.get(key)):
            raise BadDataError(tr("{file}: {place} has no {key}.").format(file=file, place=place, key=key))
    return Thresholds(float(table["euh208_from_pct"]), float(table["h317_from_pct"]), row, source)

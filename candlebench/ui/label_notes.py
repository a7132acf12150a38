"""What the labels' page says beside the labels: what is missing, what to check, where the rules stand."""

import math
from pathlib import Path

from PySide6.QtWidgets import QWidget

from candlebench.core.label_languages import LabelLanguage
from candlebench.core.materials.allergens import H317
from candlebench.core.plan.planning import Plan
from candlebench.core.plan.reasoned import with_unit
from candlebench.resources_folder import resources_folder
from candlebench.ui.page_frame import card, role_label
from candlebench.words import tr


def notes_card(own_folder: Path) -> QWidget:
    """What to know before a label is sold with its candle."""
    notes = (
        tr(
            "The drawings are our own and plain. Where a standard wants its own symbols and wording, "
            "take them from the standard itself."
        ),
        tr(
            "Europe (EN 15494): the warning triangle and the first three topics. United States "
            "(ASTM F2058, voluntary): the same three, with the triangle and a word in bold capitals. "
            "Both as quoted by others; the standards themselves were not at hand."
        ),
        tr("Rules differ by country and change: check those of every place where you sell."),
        tr("Another language is a text file: copy {example} into {folder}, rename and translate it.").format(
            example=resources_folder() / "labels" / "en.toml", folder=own_folder
        ),
    )
    return card(role_label(tr("Before you sell"), "section"), *(role_label(note, "muted") for note in notes))


def language_words(language: LabelLanguage) -> str:
    """Whether its words were read by a native speaker, and what is missing."""
    said = []
    if not language.checked_by:
        said.append(
            tr("Let a native speaker read the {language} sentences before you sell: nobody has yet.").format(
                language=language.name
            )
        )
    if language.missing:
        said.append(tr("Some of its sentences are missing and stand in English."))
    return " ".join(said)


def hazard_short(plan: Plan | None) -> str:
    """The same in one sentence, for beside the button that saves the labels; '' without one."""
    if not hazard_words(plan):
        return ""
    return tr(
        "Not on it yet, but wanted by Regulation (EC) 1272/2008: the hazard pictogram, precautionary "
        "statements, your name, address and telephone number."
    )


def hazard_hint(plan: Plan | None) -> str:
    """The same where there is room for a few words only; '' without one."""
    return tr("By law more belongs on it: see below.") if hazard_words(plan) else ""


def net_mass_words(plan: Plan | None) -> str:
    """Why the label may say a gram less than the plan; '' where both say the same."""
    if plan is None:
        return ""
    each = plan.wax.each_g
    down = with_unit(math.floor(each.value), each.unit)
    if down == each.shown:
        return ""
    return tr(
        "The plan reckons with {exact} and shows {plan}; the label says {label}, rounded down, so that never "
        "less is in the jar than stands on it."
    ).format(exact=with_unit(each.value, each.unit, 1), plan=each.shown, label=down)


def hazard_words(plan: Plan | None) -> str:
    """What else a label with a hazard statement needs; '' without one."""
    findings = plan.oil.findings if plan is not None and plan.oil is not None else ()
    if not any(finding.statement == H317 for finding in findings):
        return ""
    return tr(
        "With this hazard statement, Regulation (EC) 1272/2008 also wants its official pictogram, "
        "precautionary statements, and your name, address and telephone number. Take them from the "
        "regulation and your suppliers’ data sheets: they are not drawn here."
    )

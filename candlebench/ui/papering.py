"""From a plan to its papers: where they go, and the page of the labels."""

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QFileDialog

from candlebench.core.errors import CandlebenchError
from candlebench.core.label_languages import load_languages
from candlebench.core.plan.planning import Plan
from candlebench.core.plan.tables import load_tables
from candlebench.core.plan.to_melt import plan_title
from candlebench.ui.batch_sheet import write_batch_sheet
from candlebench.ui.debrief_paper import usual_paper
from candlebench.ui.label_sheet import LabelJob, write_labels
from candlebench.ui.labels_page import LabelsPage
from candlebench.ui.save_place import in_documents
from candlebench.words import tr

if TYPE_CHECKING:
    from candlebench.ui.main_window import MainWindow


def own_labels_folder(data_folder: Path) -> Path:
    """Return where a person puts label languages of her own."""
    return data_folder / "labels"


def want_paper(window: "MainWindow", plan: Plan | None, title: str, kind: str) -> None:
    """Make a paper of a plan.

    Parameters
    ----------
    plan : Plan or None
        Nothing happens without one.
    title : str
        What she calls the plan; may be empty.
    kind : str
        'batch': asks where, and writes the batch sheet. 'labels': shows their page.
    """
    if plan is None:
        return
    if kind == "labels":
        window.planned = plan
        window.show_page("labels")
    else:
        save_batch_sheet(window, plan, title)


def labels_page(window: "MainWindow", plan: Plan | None) -> LabelsPage:
    """Make the page of the labels, for a plan or without one."""
    folder = own_labels_folder(window.workshop.folder)
    languages, problems = load_languages(folder)
    return LabelsPage(
        plan,
        load_tables(),
        languages,
        problems,
        folder,
        usual_paper(),
        window.go_back,
        lambda job: _save_labels(window, job),
        window.workshop.settings.maker,
        lambda maker: _keep_maker(window, maker),
    )


def _keep_maker(window: "MainWindow", maker: str) -> None:
    """Keep who makes the candles for the next labels."""
    try:
        window.workshop.change_settings(replace(window.workshop.settings, maker=maker))
    except CandlebenchError as error:
        window.messages.say(str(error))


def save_batch_sheet(window: "MainWindow", plan: Plan, title: str = "") -> None:
    """Ask where, and write the batch sheet as a PDF."""
    file = _ask(window, tr("Save the batch sheet as PDF"), title or plan_title(plan))
    if not file:
        return
    try:
        write_batch_sheet(file, plan, window.workshop.shown, usual_paper(), title)
    except CandlebenchError as error:
        window.messages.say(str(error))
        return
    window.messages.say(tr("The batch sheet is saved in {file}.").format(file=file))


def _save_labels(window: "MainWindow", job: LabelJob) -> None:
    name = job.content.name or tr("warnings")
    file = _ask(window, tr("Save the labels as PDF"), tr("Labels {name}").format(name=name))
    if not file:
        return
    try:
        write_labels(file, job)
    except CandlebenchError as error:
        window.messages.say(str(error))
        return
    window.messages.say(tr("The labels are saved in {file}. Print them at 100 %.").format(file=file))


def file_name(title: str) -> str:
    """Return a file name for a PDF, without what file systems do not take."""
    plain = "".join(c if c.isalnum() or c in " -," else " " for c in title)
    # Most file systems take 255 bytes.
    short = " ".join(plain.split()).encode()[:120].decode(errors="ignore").strip()
    return f"{short}.pdf"


def _ask(window: "MainWindow", question: str, title: str) -> str:
    file, _ = QFileDialog.getSaveFileName(window, question, in_documents(file_name(title)), tr("PDF (*.pdf)"))
    return file

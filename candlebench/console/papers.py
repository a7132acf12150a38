"""The papers of `candlebench plan`: the batch sheet and the labels, without a window."""

import os
import sys
from dataclasses import dataclass
from pathlib import Path

from candlebench.core.errors import FixableError
from candlebench.core.label_languages import ENGLISH, load_languages
from candlebench.core.labels import LabelSize, content_of, rectangle, round_label
from candlebench.core.plan.planning import Plan
from candlebench.core.plan.tables import load_tables
from candlebench.core.units import Shown
from candlebench.records.folders import data_folder
from candlebench.words import tr


@dataclass(frozen=True, slots=True)
class Papers:
    """What `plan` is to write.

    Attributes
    ----------
    batch_sheet, labels : Path or None
        The files; None for what is not wanted.
    paper : str
        'a4' or 'letter'.
    label_size : str
        '70x50', or '50' for a round one, in mm.
    language : str
        Name of a file in `resources/labels` or in the person's own folder.
    count : int or None
        How many labels; None for one a candle.
    data : Path or None
        Data folder, for label languages of her own.
    """

    batch_sheet: Path | None = None
    labels: Path | None = None
    paper: str = "a4"
    label_size: str = "70x50"
    language: str = ENGLISH
    count: int | None = None
    data: Path | None = None


def write_papers(plan: Plan, papers: Papers, shown: Shown | None = None) -> None:
    """Write what is wanted, and say on stderr where it lies.

    Raises
    ------
    FixableError
        A size or language that is not known, a text too long for its label, or a file that cannot be written.
    """
    if papers.batch_sheet is None and papers.labels is None:
        return
    # Only here, so that the console works without Qt; and no screen is needed to write a file.
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    from PySide6.QtGui import QGuiApplication

    app = QGuiApplication.instance() or QGuiApplication(["candlebench"])
    if papers.batch_sheet is not None:
        from candlebench.ui.batch_sheet import write_batch_sheet

        write_batch_sheet(str(papers.batch_sheet), plan, shown or Shown(), papers.paper)
        _say(tr("Written to {file}.").format(file=papers.batch_sheet))
    if papers.labels is not None:
        _write_labels(papers.labels, plan, papers)
    del app


def read_label_size(text: str) -> LabelSize:
    """Return the size that '70x50' or '50' means, in mm.

    Raises
    ------
    FixableError
        It is no size, or no label can be so large.
    """
    try:
        sides = [float(side.replace(",", ".")) for side in text.lower().replace("×", "x").split("x")]
    except ValueError:
        sides = []
    if len(sides) not in (1, 2):
        raise FixableError(
            tr("“{size}” is no label size: write width x height in mm, 70x50; 50 for a round one.").format(
                size=text
            )
        )
    size = round_label(sides[0]) if len(sides) == 1 else rectangle(sides[0], sides[1])
    if size.problem():
        raise FixableError(size.problem())
    return size


def _write_labels(file: Path, plan: Plan, papers: Papers) -> None:
    from candlebench.ui.label_notes import hazard_words
    from candlebench.ui.label_sheet import LabelJob, write_labels

    folder = data_folder(papers.data, os.environ, sys.platform, Path.home())
    languages, problems = load_languages(folder / "labels")
    for problem in problems:
        _say(problem)
    if papers.language not in languages:
        raise FixableError(
            tr("There are no label words in “{language}”: choose from {known}.").format(
                language=papers.language, known=", ".join(languages)
            )
        )
    language = languages[papers.language]
    content = content_of(plan, language, load_tables())
    count = plan.request.count if papers.count is None else papers.count
    write_labels(str(file), LabelJob(content, read_label_size(papers.label_size), papers.paper, count))
    _say(tr("Written to {file}. Print it at 100 %.").format(file=file))
    if not language.checked_by:
        _say(tr("Let a native speaker read the labels before you sell: nobody has yet."))
    if hazard_words(plan):
        _say(hazard_words(plan))
    _say(tr("Check the rules where you sell: the standards' own symbols are not on these labels."))


def _say(sentence: str) -> None:
    print(sentence, file=sys.stderr)

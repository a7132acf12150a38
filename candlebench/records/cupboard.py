"""The store cupboard on disk, beside the shop's database; every change keeps what was there before.

`cupboard.toml` is written whole. Before that, the present file is copied into `cupboard-earlier/`, where the
latest few stay, and of each day the last one: what was recorded is not lost by a slip or a damaged disk.
"""

import logging
import shutil
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from candlebench.core.cupboard import Cupboard
from candlebench.core.errors import BadDataError, FixableError
from candlebench.records.cupboard_file import from_text, to_text
from candlebench.records.cupboard_stock import Stock, with_cupboard
from candlebench.records.set_aside import set_aside
from candlebench.records.whole_file import written_whole
from candlebench.words import tr

log = logging.getLogger(__name__)

FILE_NAME = "cupboard.toml"
EARLIER = "cupboard-earlier"
# A long evening of stock-taking, and a month of days: some hundred small files at most. Ours, no source.
LATEST = 20
DAYS = 30
_UNDO = 100
_STAMP = "%Y-%m-%d-%H%M%S-%f"


def read_cupboard(folder: Path) -> Stock:
    """Return what is in the cupboard, changing nothing.

    Parameters
    ----------
    folder : Path
        The data folder.

    Raises
    ------
    FixableError, BadDataError
        The file cannot be read, or something in it is not right; the text names the line and what to do.
    """
    path = folder / FILE_NAME
    stock, faults = from_text(_text(path))
    if faults:
        raise BadDataError(
            tr("The store cupboard in {path} is not right ({why}): correct that line.").format(
                path=path, why="; ".join(faults)
            )
        )
    return stock


class CupboardStore:
    """The cupboard while the program runs.

    Parameters
    ----------
    folder : Path
        The data folder. It is made when something is kept.
    now : callable
        The time, for the names of earlier versions.

    Attributes
    ----------
    stock : Stock
    notices : tuple of str
        Sentences about a file that was not right, to be shown once.
    """

    def __init__(self, folder: Path, now: Callable[[], datetime]) -> None:
        self._path = folder / FILE_NAME
        self._now = now
        self._before: list[tuple[str, Stock]] = []
        self.stock, self.notices = self._load()

    @property
    def path(self) -> Path:
        """The file."""
        return self._path

    @property
    def cupboard(self) -> Cupboard:
        """What a plan wants of it."""
        return self.stock.cupboard

    @property
    def undo_words(self) -> str:
        """What the next undo takes back, '' when there is nothing."""
        return self._before[-1][0] if self._before else ""

    def change(self, stock: Stock, words: str) -> None:
        """Keep another stock; `words` say what was done, 'Meadow 7 was taken away'.

        Raises
        ------
        FixableError
            It cannot be written; the stock stays as it was.
        """
        before = self.stock
        self._keep(stock)
        self._before = [*self._before[-_UNDO:], (words, before)]

    def change_cupboard(self, cupboard: Cupboard, words: str) -> None:
        """Keep another cupboard, such as after a batch; as for `change`."""
        self.change(with_cupboard(self.stock, cupboard), words)

    def undo(self) -> str:
        """Take the last change back and return its words, '' when there was none.

        Raises
        ------
        FixableError
            It cannot be written; the stock stays as it was.
        """
        if not self._before:
            return ""
        words, stock = self._before[-1]
        self._keep(stock)
        self._before.pop()
        return words

    def _keep(self, stock: Stock) -> None:
        now = self._now()
        try:
            self._path.parent.mkdir(parents=True, exist_ok=True)
            if self._path.exists():
                _copy(self._path, now)
            with written_whole(self._path) as stream:
                stream.write(to_text(stock))
        except OSError as error:
            text = tr(
                "The store cupboard was not saved in {path} ({why}): allow writing there and free some space."
            )
            raise FixableError(text.format(path=self._path, why=error.strerror or error)) from error
        self.stock = stock

    def _load(self) -> tuple[Stock, tuple[str, ...]]:
        try:
            stock, faults = from_text(_text(self._path))
        except FixableError as error:
            return Stock(), (str(error),)
        except BadDataError as error:
            return self._latest_good(str(error))
        return stock, (self._put_away(stock, faults),) if faults else ()

    def _put_away(self, stock: Stock, faults: tuple[str, ...]) -> str:
        """Rename a file in which some things are not right, write the good ones anew, and say so."""
        why = "; ".join(faults)
        try:
            aside = set_aside(self._path, self._now().date())
            self._keep(stock)
        except (OSError, FixableError):
            text = tr("The store cupboard in {path} is not right ({why}): correct that line.")
            return text.format(path=self._path, why=why)
        text = tr(
            "In the store cupboard something was not right ({why}): look at it there and put in what is "
            "missing. The old file is kept as {aside}."
        )
        return text.format(why=why, aside=aside)

    def _latest_good(self, why: str) -> tuple[Stock, tuple[str, ...]]:
        """What the last readable earlier version holds, in the place of a damaged file."""
        found = _latest_readable(self._path.parent / EARLIER)
        name, stock = found or ("", Stock())
        try:
            aside = set_aside(self._path, self._now().date())
            if found:
                self._keep(stock)
        except (OSError, FixableError):
            text = tr("The store cupboard in {path} cannot be read ({why}): correct that line.")
            return stock, (text.format(path=self._path, why=why),)
        if not found:
            text = tr(
                "The store cupboard could not be read ({why}) and begins empty: correct the line in {aside} "
                "and rename that file to {name}."
            )
            return stock, (text.format(why=why, aside=aside, name=FILE_NAME),)
        text = tr(
            "The store cupboard could not be read ({why}). The earlier one, {name}, is used instead: see "
            "whether its last change is in it. The damaged file is kept as {aside}."
        )
        return stock, (text.format(why=why, name=name, aside=aside),)


def _text(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8")
    except FileNotFoundError:
        return ""
    except UnicodeDecodeError as error:
        raise BadDataError(tr("it holds bytes that are no text")) from error
    except OSError as error:
        text = tr("The store cupboard in {path} cannot be read ({why}): allow reading it.")
        raise FixableError(text.format(path=path, why=error.strerror or error)) from error


def _copy(path: Path, now: datetime) -> None:
    """Keep the present file among the earlier ones, and thin those."""
    folder = path.parent / EARLIER
    folder.mkdir(exist_ok=True)
    stem = now.strftime(_STAMP)
    number, target = 1, folder / f"{stem}{path.suffix}"
    while target.exists():
        number += 1
        target = folder / f"{stem}-{number:02d}{path.suffix}"
    # Under another name first: half a copy must not be taken for an earlier version.
    unfinished = target.with_suffix(".part")
    try:
        shutil.copyfile(path, unfinished)
        unfinished.replace(target)
    except BaseException:
        unfinished.unlink(missing_ok=True)
        raise
    for name in _too_many(folder):
        name.unlink(missing_ok=True)


def _too_many(folder: Path) -> list[Path]:
    """Earlier versions that are neither among the latest nor the last of one of the latest days."""
    files = sorted(folder.glob("*.toml"))
    last_of_day = {file.name[: len("2026-11-25")]: file for file in files}
    kept = {*files[-LATEST:], *list(last_of_day.values())[-DAYS:]}
    return [file for file in files if file not in kept]


def _latest_readable(folder: Path) -> tuple[str, Stock] | None:
    for file in sorted(folder.glob("*.toml"), reverse=True):
        try:
            stock, faults = from_text(_text(file))
        except (BadDataError, FixableError) as error:
            log.warning("%s cannot be used either: %s", file, error)
            continue
        if not faults:
            return f"{EARLIER}/{file.name}", stock
    return None

"""The shape of the project: what lies where, what may import what, and that every word can be translated."""

import ast
import os
import re
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from fnmatch import fnmatch
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
PACKAGE = ROOT / "candlebench"
TOP_LEVEL = {"README.md", "DEVELOPERS.md", "pyproject.toml", "candlebench", "tests", "resources", "scripts"}

# What each room may import of this package; ui, console and cli, above them, may import everything.
SEAMS = {"core", "words", "resources_folder"}
MIDDLE = SEAMS | {"thermometers", "practice", "records"}
MAY_IMPORT = {"core": SEAMS, "thermometers": MIDDLE, "practice": MIDDLE, "records": MIDDLE}
NOT_BELOW_THE_UI = {"PySide6", "shiboken6", "pyqtgraph", "serial"}
SERIAL_PORT = PACKAGE / "thermometers" / "serial_port.py"

# Qt's and pyqtgraph's calls whose text a person reads.
TEXT_CALLS = """
    QAction QCheckBox QDockWidget QGroupBox QLabel QMenu QPushButton QRadioButton addAction addButton
    addItem addItems addMenu addRow addTab insertItem insertTab setAccessibleDescription
    setAccessibleName setButtonText setDetailedText setHeaderLabels setHorizontalHeaderLabels setHtml
    setInformativeText setItemText setLabel setLabelText setMarkdown setPlaceholderText setPlainText
    setPrefix setSpecialValueText setStatusTip setSuffix setTabText setTabToolTip setText setTitle
    setToolTip setWhatsThis setWindowTitle showMessage showText drawText
    getOpenFileName getSaveFileName getExistingDirectory getText getDouble
"""
MESSAGE_BOX_CALLS = {"about", "critical", "information", "question", "warning"}
TRANSLATE = {"tr", "tr_count"}


def python_files(*folders: Path) -> list[Path]:
    return sorted(path for folder in folders for path in folder.rglob("*.py"))


def place(path: Path, node: ast.AST) -> str:
    return f"{path.relative_to(ROOT)}:{getattr(node, 'lineno', 0)}"


def test_the_top_level_holds_exactly_the_agreed_entries() -> None:
    ignored = [line.rstrip("/") for line in (ROOT / ".gitignore").read_text(encoding="utf-8").split()]
    names = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}
    assert {name for name in names if not any(fnmatch(name, pattern) for pattern in ignored)} == TOP_LEVEL


def test_scripts_that_name_their_interpreter_can_be_run() -> None:
    scripts = [path for path in (ROOT / "scripts").iterdir() if path.is_file()]
    runnable = [path for path in [*scripts, ROOT / ".ci" / "run"] if path.read_bytes().startswith(b"#!")]
    assert {"start", "test", "run"} <= {path.name for path in runnable}
    assert [str(path) for path in runnable if not os.access(path, os.X_OK)] == []


def test_core_parsers_practice_and_records_load_neither_qt_nor_serial() -> None:
    loader = """
import importlib, pkgutil, sys
import candlebench
for room in ("core", "thermometers", "practice", "records"):
    package = importlib.import_module(f"candlebench.{room}")
    for module in pkgutil.walk_packages(package.__path__, package.__name__ + "."):
        if module.name != "candlebench.thermometers.serial_port":
            importlib.import_module(module.name)
print(*sys.modules)
"""
    done = subprocess.run([sys.executable, "-c", loader], capture_output=True, text=True, timeout=60)
    assert done.returncode == 0, done.stderr
    loaded = set(done.stdout.split())
    assert "candlebench.core.events" in loaded
    assert loaded & NOT_BELOW_THE_UI == set()


def test_everything_outside_the_window_loads_no_qt() -> None:
    # So that the console works where Qt's libraries are not installed, and starts at once.
    loader = """
import importlib, pkgutil, sys
import candlebench
for entry in pkgutil.iter_modules(candlebench.__path__):
    if entry.name == "ui":
        continue
    module = importlib.import_module(f"candlebench.{entry.name}")
    for inner in pkgutil.walk_packages(getattr(module, "__path__", []), module.__name__ + "."):
        importlib.import_module(inner.name)
print(*sys.modules)
"""
    done = subprocess.run([sys.executable, "-c", loader], capture_output=True, text=True, timeout=60)
    assert done.returncode == 0, done.stderr
    loaded = set(done.stdout.split())
    assert "candlebench.cli" in loaded
    assert loaded & {"PySide6", "shiboken6", "pyqtgraph"} == set()


def imports_of(path: Path) -> Iterator[tuple[ast.AST, str]]:
    """Every module that a file names in an import, wherever in the file, with its place."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from ((node, alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield from ((node, f"{node.module}.{alias.name}") for alias in node.names)


def test_only_the_serial_port_module_imports_serial() -> None:
    others = [path for path in python_files(PACKAGE) if path != SERIAL_PORT]
    found = [
        (path, node) for path in others for node, name in imports_of(path) if name.split(".")[0] == "serial"
    ]
    assert [place(path, node) for path, node in found] == []


def test_imports_go_downwards_only() -> None:
    upward = []
    for room, allowed in MAY_IMPORT.items():
        for path in python_files(PACKAGE / room):
            for node, name in imports_of(path):
                package, *inside = name.split(".")
                if package == "candlebench" and inside and inside[0] not in allowed:
                    upward.append(f"{place(path, node)} {name}")
    assert upward == []


def test_void_qt_calls_do_not_use_up_none(qapp: object) -> None:
    # PySide6 6.12.0 drops a reference to None at each void call; on Python < 3.12 the process then aborts.
    from PySide6.QtCore import QObject

    thing = QObject()
    before = sys.getrefcount(None)
    for _ in range(500):
        thing.setObjectName("")
    # Other code holds a few more or fewer meanwhile; the fault takes all 500.
    assert sys.getrefcount(None) > before - 50


def called_name(call: ast.Call) -> str:
    function = call.func
    if isinstance(function, ast.Attribute):
        return function.attr
    return function.id if isinstance(function, ast.Name) else ""


def holds_words(text: str) -> bool:
    """Whether letters are left without rich text's marks, file patterns and the name of the program."""
    return bool(re.search(r"[^\W\d_]", re.sub(r"<[^>]*>|&\w+;|[\w*]*\.\w+|\bcandlebench\b", "", text)))


def bare_words(node: ast.AST) -> Iterator[ast.AST]:
    """Literals with letters in an argument, also in f-strings, sums, lists and `.format`; not in calls."""
    if isinstance(node, ast.Constant):
        if isinstance(node.value, str) and holds_words(node.value):
            yield node
    elif isinstance(node, ast.JoinedStr):
        pieces = [str(piece.value) if isinstance(piece, ast.Constant) else "0" for piece in node.values]
        if holds_words("".join(pieces)):
            yield node
    elif isinstance(node, ast.Call):
        if isinstance(node.func, ast.Attribute) and node.func.attr in {"format", "join"}:
            yield from bare_words(node.func.value)
    elif isinstance(node, ast.IfExp):
        yield from bare_words(node.body)
        yield from bare_words(node.orelse)
    elif not isinstance(node, ast.Subscript | ast.Compare):
        for child in ast.iter_child_nodes(node):
            yield from bare_words(child)


def shows_text(call: ast.Call) -> bool:
    name = called_name(call)
    if name in MESSAGE_BOX_CALLS:
        # A logger has methods of the same names.
        return isinstance(call.func, ast.Attribute) and ast.unparse(call.func.value).startswith("QMessageBox")
    return name in TEXT_CALLS.split()


def untranslated(tree: ast.AST) -> Iterator[tuple[ast.Call, ast.AST]]:
    """Every call that shows a text, with each literal in it that did not come through `tr`."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and shows_text(node):
            named = [word.value for word in node.keywords if word.arg in {"text", "title", "toolTip"}]
            for argument in [*node.args, *named]:
                yield from ((node, literal) for literal in bare_words(argument))


def test_every_word_of_the_window_can_be_translated() -> None:
    files = python_files(PACKAGE / "ui")
    assert files
    trees = [(path, ast.parse(path.read_text(encoding="utf-8"))) for path in files]
    found = [(path, call, literal) for path, tree in trees for call, literal in untranslated(tree)]
    places = [f"{place(path, word)} {called_name(call)}({ast.unparse(word)})" for path, call, word in found]
    assert places == []


def test_what_is_translated_is_a_fixed_text() -> None:
    # A catalogue is keyed by the text in the code, so values go in afterwards, with .format.
    mixed = []
    for path in python_files(PACKAGE):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and called_name(node) in TRANSLATE and node.args:
                text = node.args[0]
                if isinstance(text, ast.JoinedStr | ast.BinOp) or (
                    isinstance(text, ast.Call) and called_name(text) == "format"
                ):
                    mixed.append(f"{place(path, node)} {ast.unparse(node)}")
    assert mixed == []


@pytest.mark.parametrize(
    ("code", "words"),
    [
        ("QLabel('Pour now')", 1),
        ("label.setText(f'{n} minutes')", 1),
        ("label.setText('a' if late else 'b')", 2),
        ("label.setText('{n} min'.format(n=3))", 1),
        ("tabs.addTab(page, 'Melt')", 1),
        ("QLabel(tr('Pour now'))", 0),
        ("label.setText(tr('{n} minutes').format(n=names['x']))", 0),
        ("label.setText(tr('a') if kind == 'b' else '')", 0),
        ("label.setText('–')", 0),
        ("label.setText(f'<b style=\"color:{c}\">{n}</b>&nbsp;')", 0),
        ("label.setText(f'<b style=\"color:{c}\">late</b>')", 1),
        ("label.setObjectName('pour')", 0),
        ("window.setWindowTitle('candlebench')", 0),
        ("window.setWindowTitle('candlebench is open')", 1),
        ("QFileDialog.getSaveFileName(window, tr('Save'), 'melt.csv')", 0),
        ("log.warning('not kept')", 0),
        ("QMessageBox.warning(window, 'Too hot', tr('Take it off'))", 1),
    ],
)
def test_untranslated_words_are_found_in_code(code: str, words: int) -> None:
    assert len(list(untranslated(ast.parse(code)))) == words


def rows_without_source(table: dict[str, object], name: str) -> Iterator[str]:
    """Names of the rows that lack a `source`. A row holds a number, or nothing below it but plain values."""
    below: list[tuple[str, dict[str, object]]] = []
    for key, value in table.items():
        if isinstance(value, dict):
            below.append((f"{name}.{key}", value))
        elif isinstance(value, list):
            below += [(f"{name}.{key}[{n}]", row) for n, row in enumerate(value) if isinstance(row, dict)]
    holds_number = any(type(value) in {int, float} for value in table.values())
    if (holds_number or not below) and not str(table.get("source", "")).strip():
        yield name
    for row_name, row in below:
        yield from rows_without_source(row, row_name)


def test_every_row_of_the_data_tables_names_its_source() -> None:
    files = sorted((ROOT / "resources" / "data").rglob("*.toml"))
    assert files
    tables = [(path.name, tomllib.loads(path.read_text(encoding="utf-8"))) for path in files]
    assert [row for name, table in tables for row in rows_without_source(table, name)] == []

"""Who may import whom. Each rule was broken once on purpose to see it fail (see `test_a_*`)."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]

# importer prefix -> prefixes it must never import, also not lazily or for typing
FORBIDDEN = {
    "core": ("app", "PySide6", "pyqtgraph", "shiboken6", "matplotlib", "pickle"),
    "app.plots": ("app.tables", "app.panels", "app.printing", "app.edits", "app.commands"),
    "app.tables": ("app.plots", "app.panels", "app.printing", "app.edits", "app.commands"),
    "app.panels": ("app.plots", "app.tables", "app.printing", "app.edits", "app.commands"),
    "app.printing": (
        "PySide6.QtWidgets",
        "pyqtgraph",
        "app.plots",
        "app.tables",
        "app.panels",
        "app.edits",
        "app.commands",
        "app.document",
        "app.window",
    ),
    "app.headless": ("PySide6.QtWidgets", "pyqtgraph", "app.plots", "app.tables", "app.panels"),
    "app.document": ("app.commands", "app.edits", "app.plots", "app.panels", "app.window"),
    "app.commands": ("app.edits", "app.plots", "app.tables", "app.panels", "app.window"),
    "app.edits": ("app.plots", "app.tables", "app.panels", "app.window", "app.view_state"),
    "app.view_state": ("app.document", "app.edits", "app.commands", "app.window"),
    "app.palette": ("PySide6",),
}
# lowest first: a room of core imports only rooms that stand before it
CORE_ORDER = (
    "core.arrays",
    "core.errors",
    "core.atomic_file",
    "core.notice",
    "core.units",
    "core.file_bytes",
    "core.sweep",
    "core.bands",
    "core.band_tables",
    "core.reflection",
    "core.smith",
    "core.interpolation",
    "core.analysis",
    "core.q_factor",
    "core.figures",
    "core.reading",
    "core.picture_request",
    "core.bench",
    "core.bench_file",
    "core.soundness",
    "core.comparison",
    "core.columns",
    "core.report",
    "core.export",
)


def modules(root: Path) -> dict[str, Path]:
    found = {}
    for package in ("core", "app"):
        for path in sorted((root / package).rglob("*.py")):
            parts = list(path.relative_to(root).with_suffix("").parts)
            if parts[-1] == "__init__":
                parts.pop()
            found[".".join(parts)] = path
    return found


def imports(source: str, *, with_typing: bool = True) -> set[str]:
    """Every module named by an import statement, at any depth."""
    found: set[str] = set()
    skipped: set[ast.AST] = set()
    tree = ast.parse(source)
    for node in ast.walk(tree):
        if isinstance(node, ast.If) and ast.unparse(node.test).endswith("TYPE_CHECKING"):
            skipped.update(child for body in node.body for child in ast.walk(body))
    for node in ast.walk(tree):
        if node in skipped and not with_typing:
            continue
        if isinstance(node, ast.Import):
            found.update(alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "relative imports hide who imports whom"
            module = node.module or ""
            found.update(f"{module}.{alias.name}" for alias in node.names)
            found.add(module)
    return found


def is_under(name: str, prefix: str) -> bool:
    return name == prefix or name.startswith(prefix + ".")


def broken_rules(importer: str, imported: set[str]) -> list[str]:
    return [
        f"{importer} imports {name}"
        for prefix, forbidden in FORBIDDEN.items()
        if is_under(importer, prefix)
        for name in sorted(imported)
        if any(is_under(name, bad) for bad in forbidden)
    ]


def room(name: str) -> int | None:
    places = [i for i, prefix in enumerate(CORE_ORDER) if is_under(name, prefix)]
    return places[0] if places else None


def upward_imports(importer: str, imported: set[str]) -> list[str]:
    own = room(importer)
    if own is None:
        return []
    return [
        f"{importer} imports {name}, which stands above it"
        for name in sorted(imported)
        for other in [room(name)]
        if other is not None and other > own
    ]


@pytest.mark.parametrize(("name", "path"), modules(ROOT).items(), ids=modules(ROOT))
def test_a_module_imports_only_what_its_room_allows(name, path):
    assert broken_rules(name, imports(path.read_text("utf-8"))) == []


@pytest.mark.parametrize(
    ("name", "path"),
    [item for item in modules(ROOT).items() if item[0].startswith("core.")],
    ids=[name for name in modules(ROOT) if name.startswith("core.")],
)
def test_core_imports_only_downwards(name, path):
    assert room(name) is not None, f"{name} has no place in CORE_ORDER"
    found = imports(path.read_text("utf-8"))
    assert upward_imports(name, found) == []


def test_there_is_no_import_cycle():
    known = modules(ROOT)
    graph = {
        name: {
            other
            for wanted in imports(path.read_text("utf-8"), with_typing=False)
            for other in known
            # "from core.reading import text" names the package too: that is no cycle.
            if wanted == other and not is_under(name, other)
        }
        for name, path in known.items()
    }
    done: set[str] = set()

    def visit(name: str, trail: tuple[str, ...]) -> None:
        assert name not in trail, " -> ".join((*trail, name))
        if name not in done:
            for other in sorted(graph[name]):
                visit(other, (*trail, name))
            done.add(name)

    for name in graph:
        visit(name, ())


def test_a_broken_rule_is_seen():
    assert broken_rules("core.figures", imports("from PySide6 import QtCore"))
    assert broken_rules("core.figures", imports("def f():\n    import app.window"))
    assert broken_rules("app.plots.swr_plot", imports("from app import edits"))
    assert broken_rules("app.printing.layout", imports("from PySide6.QtWidgets import QWidget"))
    assert upward_imports("core.sweep", imports("from core.figures import figures"))


def test_only_the_window_assembles():
    """Nobody but the start of the program imports the window."""
    for name, path in modules(ROOT).items():
        if name not in ("app.window", "app.__main__"):
            assert not any(
                is_under(found, "app.window") for found in imports(path.read_text("utf-8"))
            ), name


def test_no_reader_can_run_what_is_in_a_file():
    """Unpickling runs code; scikit-rf's Network(path) unpickles before it parses."""
    for path in modules(ROOT).values():
        source = path.read_text("utf-8")
        for bad in (
            "pickle.",
            "skrf.Network(",
            "skrf.read(",
            "eval(",
            "exec(",
            "allow_pickle=True",
        ):
            assert bad not in source.replace(".exec(", "").replace("literal_eval(", ""), (path, bad)

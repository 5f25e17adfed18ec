"""Who may import whom. Each rule was broken once on purpose to see it fail (see `test_a_*`).

Modules are named here without the ``fairlead.`` that stands before all of them.
"""

from __future__ import annotations

import ast
import tomllib
from functools import cache
from pathlib import Path

ROOT = Path(__file__).parents[1]

# importer prefix -> prefixes it must never import, also not lazily or for typing
FORBIDDEN = {
    "core": ("app", "PySide6", "pyqtgraph", "shiboken6", "matplotlib", "pickle"),
    "app.plots": (
        *("app.tables", "app.panels", "app.printing", "app.handlers", "app.shell"),
        *("app.document.edits", "app.document.undo_commands"),
    ),
    "app.tables": (
        *("app.plots", "app.panels", "app.printing", "app.handlers", "app.shell"),
        *("app.document.edits", "app.document.undo_commands"),
    ),
    "app.panels": (
        *("app.plots", "app.tables", "app.printing", "app.handlers", "app.shell"),
        *("app.document.edits", "app.document.undo_commands"),
    ),
    "app.printing": (
        *("PySide6.QtWidgets", "pyqtgraph", "app.plots", "app.tables", "app.panels"),
        *("app.document", "app.files", "app.handlers", "app.shell"),
    ),
    "app.drawing": (
        *("PySide6.QtWidgets", "pyqtgraph", "app.plots", "app.tables", "app.panels"),
        *("app.printing", "app.document", "app.files", "app.handlers", "app.shell"),
    ),
    "app.headless": (
        *("PySide6.QtWidgets", "pyqtgraph", "app.plots", "app.tables", "app.panels"),
        *("app.handlers", "app.shell"),
    ),
    "app.look": (
        *("app.document", "app.files", "app.plots", "app.tables", "app.panels", "app.printing"),
        *("app.handlers", "app.shell"),
    ),
    "app.look.palette": ("PySide6",),
    "app.document": (
        *("app.files", "app.plots", "app.tables", "app.panels", "app.printing"),
        *("app.handlers", "app.shell"),
    ),
    "app.document.document": ("app.document.undo_commands", "app.document.edits"),
    "app.document.undo_commands": ("app.document.edits",),
    "app.document.edits": ("app.document.view_state",),
    "app.document.view_state": ("app.document",),
    "app.files": (
        *("app.plots", "app.tables", "app.panels", "app.printing", "app.handlers", "app.shell"),
    ),
    "app.handlers": ("app.shell.window", "app.shell.workspace"),
}
# importer, what it imports, why: what a rule of FORBIDDEN must let through
EXCEPTIONS = {("app.document.view_state", "app.document")}  # its own package
# lowest first: a room of core imports only rooms that stand before it
CORE_ORDER = (
    "core.arrays",
    "core.names",
    "core.errors",
    "core.causes",
    "core.paths",
    "core.originals",
    "core.atomic_file",
    "core.notice",
    "core.units",
    "core.file_bytes",
    "core.traced",
    "core.traced_text",
    "core.sweep",
    "core.bands",
    "core.band_tables",
    "core.own_bands",
    "core.reflection",
    "core.picture_trace",
    "core.smith",
    "core.feed_line",
    "core.line_types",
    "core.line_measured",
    "core.line_text",
    "core.transform",
    "core.uncertainty.interval",
    "core.uncertainty.noise",
    "core.uncertainty.outliers",
    "core.uncertainty.sampling",
    "core.uncertainty.rounded",
    "core.uncertainty.traced_dip",
    "core.soundness.finding",
    "core.analysis.bounded",
    "core.analysis.interpolation",
    "core.analysis.dips",
    "core.analysis.segments",
    "core.analysis.resonances",
    "core.analysis.analysis",
    "core.analysis.q_factor",
    "core.analysis",
    "core.json_values",
    "core.verdict",
    "core.in_band",
    "core.figures",
    "core.guarded_figures",
    "core.uncertainty",
    "core.views",
    "core.reading",
    "core.transform.step",
    "core.transform.renormalise",
    "core.transform.frequency_scale",
    "core.feed_line",
    "core.line_types",
    "core.line_measured",
    "core.line_text",
    "core.transform",
    "core.document.advice_request",
    "core.document.picture_request",
    "core.document.entry",
    "core.document.session",
    "core.document.edits",
    "core.document",
    "core.bench_file",
    "core.soundness",
    "core.comparison",
    "core.figure_table",
    "core.group_table",
    "core.group_report",
    "core.group_csv",
    "core.table_lines",
    "core.marker_table",
    "core.report",
    "core.over_time",
    "core.advice.radio",
    "core.advice.budget",
    "core.advice.places",
    "core.advice.differences",
    "core.advice.compromise",
    "core.advice.at_feed",
    "core.advice.tuning",
    "core.advice.elements",
    "core.advice.match_solutions",
    "core.advice.matching",
    "core.advice.asked",
    "core.advice.answers",
    "core.advice.requested",
    "core.advice.cautions",
    "core.advice.wording",
    "core.advice.advice_report",
    "core.advice",
    "core.report_page",
    "core.planning.needs",
    "core.planning.asked",
    "core.planning.words",
    "core.planning.meets",
    "core.planning",
    "core.onair.reports",
    "core.onair.comparison",
    "core.onair.table",
    "core.onair.lines",
    "core.onair.typed",
    "core.onair.predicted",
    "core.onair.words",
    "core.onair.written",
    "core.onair",
    "core.export",
)


# What was measured is for these; everybody else takes what is seen, `Entry.sweep`.
MAY_TOUCH_MEASURED = ("core.document", "core.reading", "core.bench_file", "core.export")
# Who works out or draws what lies between the points; files, tables, handlers and menus never do.
MAY_IMPORT_ANALYSIS = (
    *("core.analysis", "core.figures", "core.comparison", "core.soundness", "core.uncertainty"),
    *(
        "core.in_band",
        "core.guarded_figures",
        "core.columns",
        "core.figure_table",
        "core.views",
        "core.marker_table",
        "core.advice",
    ),
    *("app.document.document", "app.plots", "app.drawing", "app.printing", "app.panels.readout"),
    *("app.headless.check", "app.headless.advise"),
)


@cache
def modules() -> dict[str, Path]:
    found = {}
    for package in ("core", "app"):
        for path in sorted((ROOT / package).rglob("*.py")):
            parts = list(path.relative_to(ROOT).with_suffix("").parts)
            if parts[-1] == "__init__":
                parts.pop()
            found[".".join(parts)] = path
    return found


def imports(source: str) -> set[str]:
    """Every module of ours or others named by an import statement, at any depth."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            found.update(alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "relative imports hide who imports whom"
            module = node.module or ""
            found.update(f"{module}.{alias.name}" for alias in node.names)
            found.add(module)
    return {name.removeprefix("fairlead.") for name in found if name != "fairlead"}


@cache
def imported_by(name: str) -> frozenset[str]:
    return frozenset(imports(modules()[name].read_text("utf-8")))


def touches_measured(source: str) -> bool:
    """Whether an attribute called ``measured`` is read, at any depth."""
    return any(
        isinstance(node, ast.Attribute) and node.attr == "measured"
        for node in ast.walk(ast.parse(source))
    )


def is_under(name: str, prefix: str) -> bool:
    return name == prefix or name.startswith(prefix + ".")


def broken_rules(importer: str, imported: set[str] | frozenset[str]) -> list[str]:
    return [
        f"{importer} imports {name}"
        for prefix, forbidden in FORBIDDEN.items()
        if is_under(importer, prefix)
        for name in sorted(imported)
        if any(is_under(name, bad) for bad in forbidden) and (importer, name) not in EXCEPTIONS
    ]


def room(name: str) -> int | None:
    places = [i for i, prefix in enumerate(CORE_ORDER) if is_under(name, prefix)]
    return places[0] if places else None


def upward_imports(importer: str, imported: set[str] | frozenset[str]) -> list[str]:
    own = room(importer)
    if own is None:
        return [f"{importer} has no place in CORE_ORDER"]
    return [
        f"{importer} imports {name}, which stands above it"
        for name in sorted(imported)
        for other in [room(name)]
        if other is not None
        and other > own
        # "from fairlead.core.reading import text" names the package too: that is no way up.
        and not is_under(importer, name)
    ]


def cycles(graph: dict[str, set[str]]) -> list[str]:
    """Every way that leads back to where it began, the first found from each module."""
    done: set[str] = set()
    found: list[str] = []

    def visit(name: str, trail: tuple[str, ...]) -> None:
        if name in trail:
            found.append(" -> ".join((*trail[trail.index(name) :], name)))
        elif name not in done:
            for other in sorted(graph[name]):
                visit(other, (*trail, name))
            done.add(name)

    for name in graph:
        visit(name, ())
    return found


def test_every_module_imports_only_what_its_room_allows():
    assert [row for name in modules() for row in broken_rules(name, imported_by(name))] == []


def test_core_imports_only_downwards():
    rooms = [name for name in modules() if is_under(name, "core") and name != "core"]
    assert [row for name in rooms for row in upward_imports(name, imported_by(name))] == []


def test_there_is_no_import_cycle_also_not_for_typing_or_late():
    graph = {
        name: {other for other in imported_by(name) & modules().keys() if not is_under(name, other)}
        for name in modules()
    }
    assert cycles(graph) == []


def test_only_a_few_rooms_touch_what_was_measured():
    """Nobody judges or draws a sweep other than the one that everybody sees."""
    assert [
        name
        for name, path in modules().items()
        if not any(is_under(name, room) for room in MAY_TOUCH_MEASURED)
        and touches_measured(path.read_text("utf-8"))
    ] == []


def test_only_a_few_rooms_import_the_analysis():
    """The others get figures, rows or views, so that nothing is worked out in two ways."""
    assert [
        name
        for name in modules()
        if name != "core"  # hands its names on to scripts
        and not any(is_under(name, room) for room in MAY_IMPORT_ANALYSIS)
        and any(is_under(found, "core.analysis") for found in imported_by(name))
    ] == []


def test_a_broken_rule_is_seen():
    assert broken_rules("core.figures", imports("from PySide6 import QtCore"))
    assert broken_rules("core.figures", imports("def f():\n    import fairlead.app.window"))
    assert broken_rules(
        "app.plots.frequency_plot", imports("from fairlead.app.document import edits")
    )
    assert broken_rules("app.printing.layout", imports("from PySide6.QtWidgets import QWidget"))
    assert upward_imports("core.sweep", imports("from fairlead.core.figures import figures"))
    assert upward_imports("core.unheard_of", set())
    assert touches_measured("def f(entry):\n    return len(entry.measured)")
    assert not touches_measured("measured = reading.sweep")
    assert cycles({"a": {"b"}, "b": {"c"}, "c": {"b"}}) == ["b -> c -> b"]


def test_only_the_start_imports_the_window():
    assert [
        name
        for name in modules()
        if name not in ("app.shell.window", "app.__main__")
        and any(is_under(found, "app.shell.window") for found in imported_by(name))
    ] == []


def test_no_reader_can_run_what_is_in_a_file():
    """Unpickling runs code; scikit-rf's Network(path) unpickles before it parses."""
    bad = ("pickle.", "skrf.Network(", "skrf.read(", "eval(", "exec(", "allow_pickle=True")
    assert [
        (name, word)
        for name, path in modules().items()
        for word in bad
        if word in path.read_text("utf-8").replace(".exec(", "").replace("literal_eval(", "")
    ] == []


def test_every_package_is_installed():
    """The list in pyproject.toml is written by hand: setuptools finds no mapped packages."""
    told = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["tool"]["setuptools"]
    ours = {f"fairlead.{name}" for name, path in modules().items() if path.name == "__init__.py"}
    assert set(told["packages"]) == ours | {"fairlead.app.data.icons", "fairlead.app.data.samples"}


# Words that look at a path, and the modules that may say them: the guarded place, the two that
# read and write files, the walk through a folder, and what lies in our own package.
LOOKS = (
    *(
        ".is_file(",
        ".is_dir(",
        ".exists(",
        ".iterdir(",
        ".glob(",
        ".stat()",
        ".lstat(",
        ".resolve(",
    ),
    *("os.stat(", "os.lstat(", "os.listdir(", "os.scandir(", ".isfile(", ".isdir(", ".samefile("),
)
MAY_LOOK = {
    *("core.paths", "core.atomic_file", "core.file_bytes", "core.reading.files"),
    "app.look.resources",
}
# Words that write a file: the guard against writing over originals stands in one place.
WRITES = ("QSaveFile", "QFile(", ".write_text(", ".write_bytes(", "os.replace(", ".save(path")
MAY_WRITE = {"core.atomic_file"}


def said_by(words: tuple[str, ...], allowed: set[str]) -> list[tuple[str, str]]:
    return [
        (name, word)
        for name, path in modules().items()
        if name not in allowed
        for word in words
        if word in path.read_text("utf-8")
    ]


def test_paths_are_looked_at_in_one_guarded_place():
    """A path may raise, block or lead to a device: `core.paths` knows that."""
    assert said_by(LOOKS, MAY_LOOK) == []
    assert said_by(LOOKS, set()) != []


def test_files_are_written_in_one_guarded_place():
    """`core.atomic_file` never writes over an original, and tells the watch what it writes."""
    assert said_by(WRITES, MAY_WRITE) == []
    assert said_by(WRITES, set()) != []


def test_typed_numbers_are_read_in_one_place():
    """Qt's own fields follow the locale: where the comma is decimal, "85.5" would be 855."""
    words = ("SpinBox(", "DoubleValidator", "IntValidator", ".toDouble(", ".toFloat(", ".toInt(")
    assert said_by(words, set()) == []

"""Core is for scripts too: every module of it can be imported, and none brings a window along."""

from __future__ import annotations

import importlib
import pkgutil
import subprocess
import sys

import pytest

from fairlead import core

MODULES = sorted(
    module.name for module in pkgutil.walk_packages(core.__path__, prefix="fairlead.core.")
)


@pytest.mark.parametrize("name", MODULES)
def test_a_module_of_core_can_be_imported_and_says_what_it_is_for(name):
    assert importlib.import_module(name).__doc__


def test_all_of_core_brings_neither_qt_nor_plots():
    code = (
        f"import importlib, sys; [importlib.import_module(name) for name in {MODULES!r}]; "
        "print(sorted({*(name.partition('.')[0] for name in sys.modules), *sys.modules}))"
    )
    done = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)
    for package in ("PySide6", "shiboken6", "pyqtgraph", "matplotlib", "fairlead.app"):
        assert f"'{package}'" not in done.stdout, package

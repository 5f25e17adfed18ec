"""The names for scripts, and README's example of them, word for word."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

from fairlead import core

ROOT = Path(__file__).parents[2]


def test_every_name_for_scripts_is_there_and_says_what_it_is_for():
    assert core.__all__ == sorted(core.__all__)
    for name in core.__all__:
        assert getattr(core, name).__doc__, name
    assert set(core.__all__) <= set(dir(core))
    with pytest.raises(AttributeError, match="no attribute 'nothing'"):
        core.nothing  # noqa: B018 - asking is the test


def test_asking_for_the_package_loads_nothing_and_a_name_only_what_it_needs():
    code = """
import sys
import fairlead.core
print("numpy" in sys.modules, sum(name.startswith("fairlead.core.") for name in sys.modules))
from fairlead.core import FairleadError
print("numpy" in sys.modules, fairlead.core.FairleadError is FairleadError)
"""
    done = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)
    assert done.stdout.split() == ["False", "0", "False", "True"]


def test_readmes_example_gives_what_readme_says():
    readme = (ROOT / "README.md").read_text("utf-8")
    found = re.search(
        r"<!-- script -->\n```python\n(.+?)```.+?```text\n(.+?)```", readme, re.DOTALL
    )
    assert found is not None
    code, told = found.groups()
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", code],
        cwd=ROOT,
        capture_output=True,
        encoding="utf-8",
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout == told

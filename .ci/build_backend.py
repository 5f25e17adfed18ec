"""setuptools with two of its habits changed; pip calls this one (pyproject.toml, build-system).

setuptools keeps what it has copied into build/ and packs it again, also modules that are long gone
from the sources. And its source archive leaves out what an installed program does not need, such as
tests, unless a MANIFEST.in stands beside pyproject.toml; ours stands beside this file.
"""

from __future__ import annotations

import shutil
from pathlib import Path

from setuptools import build_meta
from setuptools.build_meta import (
    build_editable,
    get_requires_for_build_editable,
    get_requires_for_build_sdist,
    get_requires_for_build_wheel,
    prepare_metadata_for_build_editable,
    prepare_metadata_for_build_wheel,
)
from setuptools.command.egg_info import manifest_maker

__all__ = [
    "build_editable",
    "build_sdist",
    "build_wheel",
    "get_requires_for_build_editable",
    "get_requires_for_build_sdist",
    "get_requires_for_build_wheel",
    "prepare_metadata_for_build_editable",
    "prepare_metadata_for_build_wheel",
]

ROOT = Path(__file__).parents[1]

manifest_maker.template = ".ci/MANIFEST.in"


def build_wheel(folder: str, settings: dict | None = None, metadata: str | None = None) -> str:
    """The wheel of what stands in the sources now, and of nothing that stood there before."""
    shutil.rmtree(ROOT / "build", ignore_errors=True)
    return build_meta.build_wheel(folder, settings, metadata)


def build_sdist(folder: str, settings: dict | None = None) -> str:
    """The source archive; its list of files is made again, not added to."""
    for told in ROOT.glob("*.egg-info/SOURCES.txt"):
        told.unlink()
    return build_meta.build_sdist(folder, settings)

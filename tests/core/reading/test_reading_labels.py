"""What a file's name is used for: a label, and a hint at the ports."""

from __future__ import annotations

import pytest
from touchstone_text import read

from fairlead.core.reading.label import label_of, ports_in_name


@pytest.mark.parametrize(
    ("file", "label"),
    [
        ("unit 1.s1p", "unit 1"),
        ("unit 1.v2.s1p", "unit 1.v2"),
        ("sweeps/wet/unit 1.S1P", "unit 1"),
        ("dry 1.5m", "dry 1.5m"),
        ("dipole", "dipole"),
        ("dipole.txt", "dipole"),
        ("a.s12p", "a"),
        (".s1p", "unnamed"),
        ("roof dipole/.s1p", "roof dipole"),
        (" .s1p", "unnamed"),
        ("dipole ohne Ä.ts", "dipole ohne Ä"),
        ("dipole. a sentence", "dipole. a sentence"),
    ],
)
def test_a_label_is_the_name_without_its_ending(file, label):
    assert label_of(file) == label
    assert read("# MHz S RI R 50\n1 0 0.5\n2 0 0.5\n", file).label == label


@pytest.mark.parametrize(
    ("file", "ports"),
    [
        ("a.s1p", 1),
        ("a.S2P", 2),
        ("b/a.z12p", 12),
        ("a.ts", None),
        ("s2p", None),
        ("a.s2p.txt", None),
    ],
)
def test_ports_that_a_name_claims(file, ports):
    assert ports_in_name(file) == ports

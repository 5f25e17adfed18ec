"""Amateur band edges by ITU Region, row by row.

Sources: 47 CFR 97.301 (1 September 2021) and 97.305 (31 May 2024); 47 CFR Part 97, older edition
with the edges by Region; IARU Region 1 HF pages quoting Radio Regulations Article 5; IARU Region
1 HF band plan of 16 October 2020; IARU Region 2 band plan of 2008; IARU Region 3 document R3-004
of September 2019; notes on WRC-19 of IARU Region 2 and RSGB. That 30 m to 10 m have the same
edges in all Regions is Radio Regulations Article 5 from memory.
"""

from __future__ import annotations

from itertools import pairwise

import pytest

from fairlead.core.band_tables import ALLOCATIONS, allocations, find_band

# name; MHz in Region 1, 2, 3; None: no allocation
ROWS = [
    ("160 m", (1.810, 1.850), (1.800, 2.000), (1.800, 2.000)),
    ("80 m", (3.500, 3.800), (3.500, 4.000), (3.500, 3.900)),
    ("60 m", (5.3515, 5.3665), (5.3515, 5.3665), (5.3515, 5.3665)),
    ("40 m", (7.000, 7.200), (7.000, 7.300), (7.000, 7.200)),
    ("30 m", (10.100, 10.150), (10.100, 10.150), (10.100, 10.150)),
    ("20 m", (14.000, 14.350), (14.000, 14.350), (14.000, 14.350)),
    ("17 m", (18.068, 18.168), (18.068, 18.168), (18.068, 18.168)),
    ("15 m", (21.000, 21.450), (21.000, 21.450), (21.000, 21.450)),
    ("12 m", (24.890, 24.990), (24.890, 24.990), (24.890, 24.990)),
    ("10 m", (28.000, 29.700), (28.000, 29.700), (28.000, 29.700)),
    ("6 m", (50.0, 52.0), (50.0, 54.0), (50.0, 54.0)),
    ("2 m", (144.0, 146.0), (144.0, 148.0), (144.0, 148.0)),
    ("1.25 m", None, (222.0, 225.0), None),
    ("70 cm", (430.0, 440.0), (420.0, 450.0), (430.0, 440.0)),
    ("33 cm", None, (902.0, 928.0), None),
    ("23 cm", (1240.0, 1300.0), (1240.0, 1300.0), (1240.0, 1300.0)),
]
PUBLISHED = [
    (name, region, edges)
    for name, *by_region in ROWS
    for region, edges in zip((1, 2, 3), by_region, strict=True)
    if edges is not None
]


@pytest.mark.parametrize(("name", "region", "edges"), PUBLISHED)
def test_edges_are_the_published_ones_to_the_hertz(name, region, edges):
    band = find_band(name, region)
    assert (band.low_hz, band.high_hz) == tuple(round(mhz * 1e6) for mhz in edges)
    assert band.name == f"{name}, Region {region}"


def test_there_is_no_row_without_a_publication():
    assert {(row.name, row.region) for row in ALLOCATIONS} == {
        (name, region) for name, region, _ in PUBLISHED
    }


@pytest.mark.parametrize("region", [1, 2, 3])
def test_bands_of_a_region_run_from_long_to_short_waves_without_overlap(region):
    edges = [(row.low_hz, row.high_hz) for row in allocations(region)]
    assert all(low < high for low, high in edges)
    assert all(one[1] < other[0] for one, other in pairwise(edges))


def test_every_row_names_its_source():
    letters = set("abcdefgim")
    assert all(row.source and set(row.source) <= letters for row in ALLOCATIONS)

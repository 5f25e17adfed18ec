"""The verdict that is printed: by the intervals of the figures, and by what the checks found."""

from __future__ import annotations

import numpy as np
import pytest
from circuits import SeriesCircuit, behind_line, complex_noise

from fairlead.core.analysis.analyses import Analyses
from fairlead.core.bands import Band
from fairlead.core.comparison.knowledge import at_once, compare_known, knowledge_of
from fairlead.core.comparison.rows import Row, compare
from fairlead.core.document.bench import Bench
from fairlead.core.figure_table import FIGURES
from fairlead.core.reading.reading import Reading
from fairlead.core.report import as_json, as_markdown, as_text
from fairlead.core.sweep import ScalarSweep, Sweep
from fairlead.core.uncertainty.error_model import ErrorModel
from fairlead.core.verdict import PENDING

BAND = Band(50e6, 52e6)
HZ = np.linspace(46e6, 56e6, 401)
NOISE = complex_noise(401, 0.0005, 4)
ANTENNA = SeriesCircuit(51e6, 62, 8).reflection(HZ) + NOISE
UHF = Band(430e6, 440e6)
UHF_HZ = np.linspace(400e6, 470e6, 701)
OPEN_CABLE = behind_line(np.ones(701), UHF_HZ, 25.0, loss_db=7.0) + complex_noise(701, 0.0005, 1)


def bench(gamma, band=BAND, limit=2.0, hz=HZ, is_scalar=False):
    sweep = ScalarSweep(hz, np.abs(gamma)) if is_scalar else Sweep(hz, gamma)
    return Bench().with_readings([Reading(sweep, "dry", "")]).with_band(band).with_limit(limit)


def final(of):
    return compare_known(of)[0].figures.verdict


def quick(of):
    return compare(of)[0].figures.verdict


def test_a_sound_sweep_is_judged_as_before():
    assert final(bench(ANTENNA)).covers == quick(bench(ANTENNA)).covers == "yes"
    assert final(bench(ANTENNA, limit=1.3)).covers == "no"


def test_a_limit_inside_the_interval_cannot_be_told():
    worst = compare_known(bench(ANTENNA))[0].figures.worst_swr
    found = final(bench(ANTENNA, limit=worst + 1e-4))
    assert found.covers == "cannot tell"
    assert "within the noise" in found.reason


def test_the_analyzers_error_opens_it_further():
    """At |G| = 0.2 (SWR 1.5), 30 dB allow 0.168 to 0.232: SWR 1.40 to 1.60 (the one-port bound)."""
    own = bench(ANTENNA, limit=1.55)
    assert final(own).covers == "yes"
    stated = own.with_accuracy([1], ErrorModel(directivity_db=30.0))
    assert final(stated).covers == "cannot tell"
    assert "within the analyzer's error" in final(stated).reason
    assert final(stated.with_limit(1.65)).covers == "yes"
    assert final(stated.with_limit(1.35)).covers == "no"


def test_also_in_a_part_of_the_band_where_the_worst_is_not_known():
    part = bench(ANTENNA, Band(50e6, 60e6), limit=4.5)
    highest = compare_known(part)[0].figures.highest_swr
    assert highest > 4.5
    assert final(part).covers == "no"
    stated = part.with_accuracy([1], ErrorModel(directivity_db=20.0))
    assert final(stated).covers == "cannot tell"


def test_an_open_cable_covers_no_band():
    found = final(bench(OPEN_CABLE, UHF, hz=UHF_HZ))
    assert quick(bench(OPEN_CABLE, UHF, hz=UHF_HZ)).covers == "yes"
    assert found.covers == "cannot tell"
    assert found.reason.startswith("at most SWR 1.5")
    assert found.reason.endswith("but a lossy cable with nothing at its end would show the same")
    assert final(bench(OPEN_CABLE, UHF, hz=UHF_HZ, is_scalar=True)).covers == "cannot tell"


def test_who_says_that_it_was_taken_at_the_feed_point_has_no_cable():
    at_feed = bench(OPEN_CABLE, UHF, hz=UHF_HZ).with_plane(1, "feed")
    assert final(at_feed).covers == "yes"


def test_a_changed_plane_is_judged_again():
    analyses, at_radio = Analyses(), bench(OPEN_CABLE, UHF, hz=UHF_HZ)
    before = knowledge_of(at_radio, analyses)
    after = knowledge_of(at_radio.with_plane(1, "feed"), analyses, before)
    assert [one.figures[1].verdict.covers for one in (before, after)] == ["cannot tell", "yes"]


@pytest.mark.parametrize(
    ("gamma", "why"),
    [
        (0.02 * np.exp(1j * HZ / 3e6) + NOISE, "a termination would show the same"),
        (np.full(401, 0.2 + 0.1j), "many points have the same values"),
        (np.where(HZ < 51e6, ANTENNA, ANTENNA + 0.1), "the curve jumps in the band"),
    ],
)
def test_what_the_checks_doubt_is_not_decided(gamma, why):
    found = final(bench(gamma))
    assert found.covers == "cannot tell"
    assert why in found.reason


def test_a_finding_outside_the_band_leaves_the_verdict():
    gamma = np.where(HZ < 54e6, ANTENNA, ANTENNA + 0.1)
    assert final(bench(gamma)).covers == "yes"


def test_too_much_coming_back_elsewhere_proves_an_error_here():
    """|G| = 1.1 at the low end: a tenth of |G| = 0.2 may be wrong too, SWR 1.44 to 1.56."""
    gamma = ANTENNA * np.where(HZ < 47e6, 1.1 / np.abs(ANTENNA[0]), 1)
    assert final(bench(gamma, limit=1.53)).covers == "cannot tell"
    assert "above 1 elsewhere proves" in final(bench(gamma, limit=1.53)).reason
    assert final(bench(gamma, limit=1.6)).covers == "yes"


def test_without_noise_the_value_is_itself():
    """No fit has an interval where the noise cannot be told: the points alone say it."""
    hz = np.linspace(49e6, 53e6, 9)
    gamma = SeriesCircuit(51e6, 62, 8).reflection(hz)
    own = bench(gamma, hz=hz)
    worst = compare(own)[0].figures.worst_swr
    assert compare(own)[0].analysis.noise.sigma is None
    assert final(own.with_limit(worst)).covers == "yes"
    assert final(own.with_limit(worst - 1e-9)).covers == "no"


def test_total_reflection_is_over_every_limit():
    assert final(bench(np.exp(-1j * HZ / 9e6), limit=50.0)).covers == "no"


def test_the_reason_stands_below_the_table_and_in_json():
    own = bench(OPEN_CABLE, UHF, hz=UHF_HZ)
    line = "dry: cannot tell whether it covers the band: at most SWR 1.5"
    assert line in as_text(own)
    assert line in as_markdown(own)
    assert as_json(own)["sweeps"][0]["verdict"]["reason"] == final(own).reason
    assert "cannot tell whether" not in as_text(bench(ANTENNA))


def test_at_once_there_is_no_verdict_before_the_checks_have_run():
    """An unconnected cable in a window: dots, never "yes", then "cannot tell"."""
    hz = np.linspace(400e6, 470e6, 201)
    db = 8.0 * np.sqrt(hz / 435e6)
    cable = 10 ** (-db / 10) * np.exp(-4j * np.pi * hz * 25 / (0.66 * 299_792_458))
    bench = Bench().with_readings([Reading(Sweep(hz, cable), "cable", "cable.s1p")])
    bench = bench.with_band(Band(430e6, 440e6))
    (entry,), analyses = bench.entries, Analyses()
    analysis = analyses.of(entry.sweep, 50.0)
    first = at_once(bench, entry, analysis)
    assert first.verdict is PENDING
    row = Row(entry, analysis, first, None)
    assert next(spec for spec in FIGURES if spec.id == "verdict").cell(row) == "…"
    known = knowledge_of(bench, analyses)
    assert known.figures[entry.key].verdict.covers == "cannot tell"
    later = at_once(bench, entry, analysis).verdict
    assert (later.covers, later.is_pending) == ("cannot tell", False)
    assert later.reason.endswith("a lossy cable with nothing at its end would show the same")
    beyond = bench.with_band(Band(480e6, 490e6))
    assert not at_once(beyond, entry, analyses.of(entry.sweep, 50.0)).verdict.is_pending

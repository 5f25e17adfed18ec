"""Cutting to length: an antenna solver's dipole, and what two sweeps say of a millimetre."""

from __future__ import annotations

import pytest

from fairlead.core.advice.tuning import BestMatch, Slope, slope_of, trim, trim_by_slope
from fairlead.core.errors import FairleadError
from fairlead.core.uncertainty.interval import Interval


def test_a_dipole_too_long_by_one_part_in_sixty():
    """985 mm resonant at 145.512 MHz (NEC-2, see tests/published): 16.56 mm less for 148 MHz."""
    found = trim(BestMatch(145.512e6), 148e6, 985.0, "whole")
    assert found.direction == "shorter"
    assert found.change_mm == pytest.approx(-16.56, abs=0.005)
    assert found.change_percent == pytest.approx(-1.681, abs=5e-4)
    assert found.first_mm == pytest.approx(8.28, abs=0.005)
    assert found.stop_mm == pytest.approx(985 - 16.56, abs=0.005)
    assert found.offset_hz == pytest.approx(-2.488e6)


def test_what_is_not_certain_is_not_cut():
    found = trim(BestMatch(145.5e6, 0.5e6), 148e6, 985.0, "whole")
    assert found.change == Interval(
        pytest.approx(985 * (145 / 148 - 1)), pytest.approx(985 * (146 / 148 - 1))
    )
    assert found.stop_mm == pytest.approx(985 * 146 / 148)
    careful = trim(BestMatch(147e6, 0.9e6), 148e6, 985.0, "whole")
    assert careful.first_mm == pytest.approx(985 * (1 - 147.9 / 148))


def test_on_target_as_far_as_it_is_known():
    for best in (BestMatch(148.1e6, 0.2e6), BestMatch(148e6)):
        found = trim(best, 148e6, 985.0, "whole")
        assert (found.direction, found.first_mm, found.stop_mm) == ("leave", None, None)


def test_too_high_means_longer():
    found = trim(BestMatch(150e6), 148e6, 985.0, "whole")
    assert found.direction == "longer"
    assert found.change_mm == pytest.approx(13.31, abs=0.005)
    assert found.stop_mm == pytest.approx(998.31, abs=0.005)


def test_of_a_part_only_a_first_step_is_known():
    found = trim(BestMatch(145.5e6), 148e6, 500.0, "part")
    assert (found.change_mm, found.change_percent, found.stop_mm) == (None, None, None)
    assert found.direction == "shorter"
    assert found.first_mm == pytest.approx(500 * (1 - 145.5 / 148) / 2)


def test_two_sweeps_say_what_a_millimetre_does():
    slope = slope_of(BestMatch(50.4e6, 3e3), BestMatch(50.6e6, 4e3), 5.0, 0.5)
    assert slope.hz_per_mm == pytest.approx(40e3)
    # 2.5 % of the shift and 10 % of the cut, in quadrature.
    assert slope.interval.high - 40e3 == pytest.approx(40e3 * (0.025**2 + 0.1**2) ** 0.5)
    found = trim_by_slope(BestMatch(50.6e6, 4e3), 51e6, slope, 1380.0)
    assert found.direction == "shorter"
    assert found.change_mm == pytest.approx(-10.0)
    assert found.change.low < -10 < found.change.high < 0
    assert found.stop_mm == pytest.approx(1380 + found.change.high)
    assert found.first_mm == pytest.approx(5.0)


def test_without_intervals_a_slope_is_only_a_number():
    slope = slope_of(BestMatch(50.4e6), BestMatch(50.6e6, 4e3), 5.0)
    assert slope.interval is None
    found = trim_by_slope(BestMatch(50.6e6, 4e3), 51e6, slope)
    assert (found.change, found.stop_mm, found.change_percent) == (None, None, None)
    assert found.change_mm == pytest.approx(-10.0)


def test_an_antenna_that_a_cut_lowers_has_to_grow():
    """A part whose shortening lowers the best match: the sign follows the sweeps."""
    slope = slope_of(BestMatch(50.6e6, 1e3), BestMatch(50.4e6, 1e3), 5.0, 0.1)
    found = trim_by_slope(BestMatch(50.4e6, 1e3), 51e6, slope)
    assert found.direction == "longer"
    assert found.change_mm == pytest.approx(15.0)


def test_a_cut_that_moved_nothing_for_certain_teaches_nothing():
    slope = slope_of(BestMatch(50.4e6, 50e3), BestMatch(50.41e6, 50e3), 5.0)
    found = trim_by_slope(BestMatch(50.41e6, 50e3), 51e6, slope, 1380.0)
    assert (found.change_mm, found.first_mm, found.stop_mm) == (None, None, None)
    assert found.direction == "shorter"


@pytest.mark.parametrize(("after_hz", "cut_mm"), [(50.4e6, 5.0), (50.6e6, 0.0)])
def test_no_cut_and_no_shift_are_refused(after_hz, cut_mm):
    with pytest.raises(FairleadError, match="do not say what a millimetre does"):
        slope_of(BestMatch(50.4e6), BestMatch(after_hz), cut_mm)


def test_what_does_not_exist_is_refused():
    with pytest.raises(FairleadError, match="length"):
        trim(BestMatch(50e6), 51e6, 0.0, "whole")
    with pytest.raises(FairleadError, match="target"):
        trim(BestMatch(50e6), -1.0, 10.0, "whole")
    with pytest.raises(FairleadError, match="target"):
        trim_by_slope(BestMatch(50e6), float("inf"), Slope(1.0, None))

import numpy as np
import pytest

from fairlead.core.arrays import distinct, median


@pytest.mark.parametrize("count", [1, 2, 3, 10, 11])
def test_median_is_numpys(count):
    values = np.random.default_rng(count).normal(size=count)
    assert median(values) == pytest.approx(np.median(values), rel=1e-15)


@pytest.mark.parametrize("values", [[], [3], [3, 1, 3, 2, 1], [5, 5, 5]])
def test_distinct_is_numpys_unique(values):
    values = np.array(values, dtype=np.intp)
    assert distinct(values).tolist() == np.unique(values).tolist()

import numpy as np
import pytest

from core.arrays import median


@pytest.mark.parametrize("count", [1, 2, 3, 10, 11])
def test_median_is_numpys(count):
    values = np.random.default_rng(count).normal(size=count)
    assert median(values) == pytest.approx(np.median(values), rel=1e-15)

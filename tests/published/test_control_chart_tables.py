"""Average run lengths against the published tables."""

import pytest

from diagnose.calculations.control_charts import cusum_run_length


@pytest.mark.parametrize(
    ("limit", "shift", "published"),
    [(4.0, 0.0, 168), (5.0, 0.0, 465), (4.0, 1.0, 8.38), (5.0, 1.0, 10.4), (4.0, 2.0, 3.34), (5.0, 2.0, 4.01)],
)
def test_cusum_run_lengths_agree_with_montgomery(limit, shift, published):
    """Montgomery, Statistical quality control, tabular cusum with k = 0.5: within 4 % (Siegmund approximates)."""
    assert cusum_run_length(limit, 0.5, shift) == pytest.approx(published, rel=0.04)

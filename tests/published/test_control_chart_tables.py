"""Average run lengths against the published tables."""

import pytest

from diagnose.calculations.control_charts import cusum_run_length, ewma_run_length


@pytest.mark.parametrize(
    ("limit", "shift", "published"),
    [(4.0, 0.0, 168), (5.0, 0.0, 465), (4.0, 1.0, 8.38), (5.0, 1.0, 10.4), (4.0, 2.0, 3.34), (5.0, 2.0, 4.01)],
)
def test_cusum_run_lengths_agree_with_montgomery(limit, shift, published):
    """Montgomery, Statistical quality control, tabular cusum with k = 0.5: within 4 % (Siegmund approximates)."""
    assert cusum_run_length(limit, 0.5, shift) == pytest.approx(published, rel=0.04)


@pytest.mark.parametrize(
    ("weight", "limit", "shift", "published"),
    [
        (0.1, 2.814, 0.0, 500),
        (0.1, 2.814, 1.0, 10.3),
        (0.25, 2.998, 0.0, 500),
        (0.25, 2.998, 1.0, 11.1),
        (0.1, 2.814, 0.5, 31.3),
    ],
)
def test_ewma_run_lengths_agree_with_lucas_and_saccucci(weight, limit, shift, published):
    """Lucas and Saccucci, Technometrics 32 (1990), table of schemes with 500 between false alarms: within 3 %."""
    assert ewma_run_length(limit, weight, shift) == pytest.approx(published, rel=0.03)

"""Slopes, spectra, spreads and persistence against scipy, numpy and statsmodels, and against worked textbook values."""

import random

import pytest

from diagnose.calculations.baseline import robust_spread
from diagnose.calculations.spectrum import transform, without_trend
from diagnose.calculations.trends import trend

SEEDS = (1, 2, 3, 4)


def noisy_line(seed, count=30):
    noise = random.Random(seed)
    times = sorted(noise.uniform(0, 60) for _ in range(count))
    return times, [60 + 0.2 * at + noise.gauss(0, 1) for at in times]


@pytest.mark.parametrize("seed", SEEDS)
def test_the_slope_and_its_interval_are_those_of_scipy(seed):
    """Theil 1950 and Sen, JASA 63 (1968), 1379: the same median slope, and an interval at most a rank wider or narrower."""
    stats = pytest.importorskip("scipy.stats")
    times, values = noisy_line(seed)
    ours, theirs = trend(times, values), stats.theilslopes(values, times, alpha=0.95)
    assert ours.slope == pytest.approx(theirs[0], rel=1e-12)
    width = theirs[3] - theirs[2]
    assert (ours.low, ours.high) == pytest.approx((theirs[2], theirs[3]), abs=0.05 * width)


def test_sens_worked_example():
    """Sen 1968, the example of seven points (from memory): median slope 4; ours at 95 % holds his 93 % interval, 26/7 to 35/8."""
    times, values = [1, 2, 3, 4, 10, 12, 18], [9, 15, 19, 20, 45, 55, 78]
    line = trend(times, values)
    assert line.slope == pytest.approx(4.0)
    assert line.low <= 26 / 7 <= 35 / 8 <= line.high


@pytest.mark.parametrize("count", [8, 64, 512])
def test_the_transform_is_that_of_numpy(count):
    """Cooley and Tukey 1965: the discrete Fourier transform to twelve figures."""
    fft = pytest.importorskip("numpy.fft")
    noise = random.Random(count)
    values = [noise.gauss(0, 1) for _ in range(count)]
    assert transform(values) == pytest.approx(list(fft.fft(values)), abs=1e-9)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_straight_line_taken_out_is_that_of_scipy(seed):
    """Least squares over an even grid."""
    signal = pytest.importorskip("scipy.signal")
    _, values = noisy_line(seed)
    assert without_trend(values)[0] == pytest.approx(list(signal.detrend(values)), abs=1e-9)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_robust_spread_is_that_of_scipy(seed):
    """Median absolute deviation, scaled to sigma of a normal distribution (Hampel 1974)."""
    stats = pytest.importorskip("scipy.stats")
    _, values = noisy_line(seed)
    assert robust_spread(values) == pytest.approx(stats.median_abs_deviation(values, scale="normal"), rel=1e-4)

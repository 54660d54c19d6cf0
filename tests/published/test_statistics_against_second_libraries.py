"""Slopes, spectra, spreads and persistence against scipy, numpy and statsmodels, and against worked textbook values."""

import math
import random

import pytest

from diagnose.calculations.baseline import huber, persistence, robust_spread, widened
from diagnose.calculations.spectrum import _chance, transform, without_trend
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


@pytest.mark.parametrize("seed", SEEDS)
def test_hubers_proposal_2_is_that_of_statsmodels(seed):
    """Huber 1964, corner at 2.5 sigma: centre and sigma within 1 % of a second library; nothing gross among them."""
    robust = pytest.importorskip("statsmodels.robust.scale")
    noise = random.Random(seed)
    values = [noise.gauss(60, 2) for _ in range(180)] + [noise.uniform(63, 67) for _ in range(12)]
    centre, sigma = robust.Huber(c=2.5, tol=1e-10)(values)
    ours = huber(values)
    assert ours[0] == pytest.approx(float(centre), abs=0.02)
    assert ours[1] == pytest.approx(float(sigma), rel=0.01)


@pytest.mark.parametrize("seed", SEEDS)
def test_persistence_is_the_autocorrelation_of_statsmodels(seed):
    """Lag-one autocorrelation, less Kendall's correction (1 + 3 r) / n (Biometrika 41 (1954), 403)."""
    tools = pytest.importorskip("statsmodels.tsa.stattools")
    noise, value, values = random.Random(seed), 0.0, []
    for _ in range(120):
        value = 0.6 * value + noise.gauss(0, 1)
        values.append(value)
    middle = sum(values) / len(values)
    theirs = float(tools.acf(values, nlags=1)[1])
    assert persistence([one - middle for one in values]) == pytest.approx(theirs + (1 + 3 * theirs) / 120, abs=1e-9)


def test_lasting_scatter_widens_a_chart_as_published():
    """Johnson and Bagshaw 1974: sums of an AR(1) scatter sqrt((1 + r) / (1 - r)) as much; checked by simulation, 6 %."""
    noise, sums, lasting, length = random.Random(8), [], 0.6, 400
    for _ in range(1500):
        value, total = noise.gauss(0, 1), 0.0
        for _ in range(length):
            value = lasting * value + noise.gauss(0, (1 - lasting**2) ** 0.5)
            total += value
        sums.append(total / length**0.5)
    spread = (sum(one * one for one in sums) / len(sums)) ** 0.5
    assert spread == pytest.approx(widened(lasting, 10**9, 0.0), rel=0.06)


@pytest.mark.parametrize("ratio", [2.0, 8.0, 15.0])
def test_the_chance_of_a_peak_being_noise_is_an_f_ratio(ratio):
    """Percival and Walden 1993, chapter 10: power over a mean of m noise bins is F(2, 2 m); a median is worth half its bins."""
    stats = pytest.importorskip("scipy.stats")
    power = [math.log(2)] * 30  # exponential noise of mean one has this median
    power[15] = ratio
    assert _chance(power, 15) == pytest.approx(float(stats.f.sf(ratio, 2, 20)), rel=1e-9)

"""This machine's own normal, the charts against it, and trends."""

import random

import pytest

from diagnose.calculations.baseline import baseline
from diagnose.calculations.control_charts import cusum, cusum_run_length, limit_for
from diagnose.calculations.trends import Trend, time_to, trend


def test_bad_readings_do_not_bend_the_normal():
    """One reading in ten thrown far out moves centre and spread by less than a quarter of sigma."""
    noise = random.Random(1)
    values = [noise.gauss(60, 1) for _ in range(200)]
    spoilt = [200.0 if at % 10 == 0 else value for at, value in enumerate(values)]
    clean, dirty = baseline(values), baseline(spoilt)
    assert dirty.centre == pytest.approx(clean.centre, abs=0.25)
    assert dirty.spread == pytest.approx(clean.spread, rel=0.35)


def test_load_and_ambient_are_taken_into_account():
    """Slopes of load and ambient come out of a noisy history, and a hot day at full load scores as normal."""
    noise = random.Random(2)
    load = [noise.uniform(50, 100) for _ in range(60)]
    ambient = [noise.uniform(0, 35) for _ in range(60)]
    values = [40 + 0.2 * x + 0.5 * y + noise.gauss(0, 0.3) for x, y in zip(load, ambient, strict=True)]
    normal = baseline(values, [load, ambient])
    assert normal.slopes == pytest.approx((0.2, 0.5), abs=0.02)
    assert abs(normal.score(40 + 20 + 17.5, [100, 35])) < 2
    assert normal.score(85.0, [100, 35]) > 10


def test_what_did_not_move_in_the_history_has_no_slope():
    """A load that never changed is left out instead of dividing by nothing."""
    normal = baseline([10.0, 10.1, 9.9, 10.0, 10.2, 9.8], [[80.0] * 6])
    assert normal.slopes == (0.0,)


def test_no_history_is_an_error():
    """A normal of nothing cannot be."""
    with pytest.raises(ValueError, match="history"):
        baseline([])


def test_the_stated_false_alarm_rate_holds_for_cusum():
    """With a limit set for one false alarm in 200 blocks, the mean of 300 simulated runs is within a sixth of it."""
    noise, limit, lengths = random.Random(3), limit_for(200.0), []
    for _ in range(300):
        alarm = cusum((noise.gauss(0, 1) for _ in range(5000)), limit)
        lengths.append(alarm.at + 1)
    assert sum(lengths) / len(lengths) == pytest.approx(200, rel=0.17)


def test_a_change_is_dated_to_where_it_began():
    """A step of two sigma at block 50 is dated within six blocks and seen to go down."""
    noise = random.Random(5)
    scores = [noise.gauss(0 if at < 50 else -2, 1) for at in range(80)]
    alarm = cusum(scores, limit_for(5000.0))
    assert alarm.at < 62
    assert abs(alarm.since - 50) <= 6
    assert not alarm.upward


def test_a_shift_is_noticed_sooner_than_no_shift_is_called():
    """The run length under a shift is far shorter than without, by the same arithmetic."""
    assert cusum_run_length(5.0, shift=1.0) < 15
    assert cusum_run_length(5.0) > 400


def test_the_interval_of_a_slope_covers_the_truth():
    """In 200 noisy lines the 95 % interval holds the true slope at least 180 times."""
    noise, held = random.Random(6), 0
    for _ in range(200):
        line = trend(range(20), [0.3 * at + noise.gauss(0, 1) for at in range(20)])
        held += line.low <= 0.3 <= line.high
    assert held >= 180


def test_a_slope_that_may_be_nothing_reaches_the_limit_perhaps_never():
    """The latest time is open when standing still is within the interval; moving away never reaches it."""
    until = time_to(80.0, Trend(0.2, -0.1, 0.5, 70.0))
    assert (until.expected, until.soonest, until.latest) == (50.0, 20.0, None)
    assert time_to(80.0, Trend(-0.2, -0.5, -0.1, 70.0)).expected is None
    assert time_to(80.0, Trend(0.2, 0.1, 0.5, 81.0)).expected == 0.0


@pytest.mark.parametrize("points", [[1.0, 2.0, 3.0], [1.0]])
def test_too_few_points_have_no_trend(points):
    """Fewer than four points draw no line."""
    assert trend(range(len(points)), points) is None

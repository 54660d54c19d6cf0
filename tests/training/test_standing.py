"""Levels, intervals and what many results tell."""

from math import isnan

import pytest

from diagnose.training.results import Result, by, items
from diagnose.training.standing import standing


def result(item, trainee, mark):
    """Return a result with nothing else of interest."""
    return Result(
        "a",
        item=item,
        format="open",
        trainee=trainee,
        team="",
        course="",
        at="2026-01-01",
        mark=mark,
        unsafe=False,
        causes=("cause",),
        subsystem="",
        parts={},
        certainty=0,
        checks=(),
        minutes=0.0,
    )


def test_no_level_from_fewer_than_twenty_cases():
    """Nineteen perfect cases give no level, the twentieth does."""
    assert standing([(100.0, False)] * 19).level == "too-few"
    assert standing([(100.0, False)] * 20).level == "passed"


def test_one_unsafe_case_among_the_last_twenty_keeps_from_passing():
    """An old unsafe case is outlived by twenty safe ones, a recent one is not."""
    good = [(95.0, False)] * 20
    assert standing([(0.0, True), *good]).level == "passed"
    assert standing([*good, (0.0, True)]).level == "unsafe"


def test_the_interval_must_clear_the_pass_mark():
    """A mean just above the mark with much spread does not pass."""
    wide = standing([(100.0, False), (25.0, False)] * 10)
    assert wide.mean > 60.0 > wide.low
    assert wide.level == "not-passed"


def test_the_interval_is_students():
    """Twenty marks of spread 37.5 about their mean: half-width t(19) s / sqrt(20) = 2.093 x 38.475 / 4.472."""
    one = standing([(100.0, False), (25.0, False)] * 10)
    assert one.high - one.mean == pytest.approx(2.093 * 38.475 / 4.472, rel=1e-3)


def test_item_analysis_finds_the_question_that_tells_good_from_weak():
    """A question passed by the able alone discriminates, one passed at random does not."""
    able = {"t1": 90.0, "t2": 70.0, "t3": 50.0, "t4": 30.0}
    rows = [result(f"plain-{at}", who, mark) for at in range(3) for who, mark in able.items()]
    rows += [result("sharp", who, mark) for who, mark in able.items()]
    rows += [result("odd", who, mark) for who, mark in zip(able, (10.0, 90.0, 20.0, 80.0), strict=True)]
    found = {one.item: one for one in items(rows)}
    assert found["sharp"].discrimination > 0.8
    assert abs(found["odd"].discrimination) < 0.6
    assert found["sharp"].difficulty == pytest.approx(0.6)


def test_discrimination_is_unknown_from_two_trainees():
    """Two points always lie on a line and tell nothing."""
    assert isnan(items([result("a", who, 50.0) for who in ("t1", "t2")])[0].discrimination)


def test_groups_are_kept_apart():
    """Standing by trainee counts each one's own results."""
    rows = [result("a", "t1", 10.0), result("a", "t2", 90.0), result("b", "t2", 70.0)]
    found = by(rows, lambda row: [row.trainee])
    assert (found["t1"].mean, found["t2"].mean, found["t2"].cases) == (10.0, 80.0, 2)

"""All the ways in which conditions hold, asked through queries."""

from __future__ import annotations

import pytest

from diagnose.engine import AllOf, AnyOf, Count, CountDistinct, Engine, Fact, Guard, Match, Not, Test, Unknown, Var

x, y, z = Var("x"), Var("y"), Var("z")


@pytest.fixture
def trains():
    """Three trains, their platforms and their minutes late."""
    engine = Engine([])
    engine.tell(
        *(Fact(train, "leaves-from", platform) for train, platform in [("red", 1), ("blue", 1), ("green", 2)]),
        *(Fact(train, "late", minutes) for train, minutes in [("red", 5), ("blue", 0), ("green", 12)]),
        Fact("blue", "full", 1),
    )
    return engine


@pytest.mark.parametrize(
    ("conditions", "expected"),
    [
        ([Match(x, "late", Test("above", 3))], ["green", "red"]),
        ([Match(x, "late", 5)], ["red"]),
        ([Match(x, "late", y), Guard(y, "below", 12)], ["blue", "red"]),
        ([Guard(y, "above", z), Match("red", "late", z), Match(x, "late", y)], ["green"]),
        ([Match(x, "late", y), Match("red", "late", z), Guard(y, "at-least", z, 2, 2)], ["green"]),
        ([Match(x, "leaves-from", y), Not(Match(z, "leaves-from", y), Guard(x, "differs", z))], ["green"]),
        ([Match(x, "late", y), Unknown(x, "full")], ["green", "red"]),
        ([Match(x, "late", y), Not(Unknown(x, "full"))], ["blue"]),
        ([AnyOf(Match(x, "full", 1), AllOf(Match(x, "late", y), Guard(y, "above", 10)))], ["blue", "green"]),
        (
            [Match(x, "late", y), Count((Match(x, "full", 1), Match(x, "late", 0), Match(x, "late", 5)), 1, 1)],
            ["red"],
        ),
        ([Match(x, "late", z), Count((Match(x, "full", 1), Match(x, "late", 0)), 2)], ["blue"]),
        ([Match(x, "leaves-from", y), CountDistinct(z, (Match(z, "leaves-from", y),), 2)], ["blue", "red"]),
        ([Match(x, "leaves-from", y), CountDistinct(z, (Match(z, "leaves-from", y),), 0, 1)], ["green"]),
        ([Match(x, "late", x)], []),
    ],
)
def test_what_is_found(trains, conditions, expected):
    """Each kind of condition finds just the trains that it describes, in whatever order the conditions are written."""
    for ordered in (conditions, conditions[::-1]):
        assert sorted({found["x"] for found in trains.matches(*ordered)}) == expected


def test_no_conditions_hold_once():
    """Asking for nothing finds one way, with nothing bound."""
    assert list(Engine([]).matches()) == [{}]


def test_a_binding_comes_once(trains):
    """Two alternatives that both hold give one binding, not two."""
    assert list(trains.matches(AnyOf(Match(x, "full", 1), Match(x, "late", 0)))) == [{"x": "blue"}]


def test_a_query_with_an_open_comparison_is_refused(trains):
    """A query is checked as a rule is: comparing what nothing binds is an error, not an empty answer."""
    with pytest.raises(ValueError, match="'z', which no match binds"):
        list(trains.matches(Match(x, "late", y), Guard(z, "above", 1)))

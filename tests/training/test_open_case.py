"""A case uncovered check by check."""

import pytest

from diagnose.consultation.replay import replay
from diagnose.training.open_case import OpenCase, ambiguity, walk


@pytest.mark.parametrize("name", ["course-oil-low-before-the-start", "course-wet-line", "course-water-not-turned-on"])
def test_the_programs_own_path_is_that_of_the_consultation(cases, knowledge, name):
    """A walk asks the same questions in the same order as a replayed consultation."""
    case = cases[name]
    asked = [look.finding for look in walk(case, knowledge, 8).looks]
    assert asked == list(replay(case, knowledge).questions)


def test_the_programs_own_checks_lose_little(cases, knowledge):
    """Along the program's own path next to nothing is lost against the best check."""
    looks = walk(cases["course-wet-line"], knowledge, 8).looks
    assert sum(look.choice.regret for look in looks) < 0.25 * sum(look.choice.bits for look in looks)


def test_a_check_that_tells_nothing_loses_what_the_best_would_have_told(oil_case, knowledge):
    """A finding that the beliefs do not hang on has no bits and all the regret."""
    opened = OpenCase(oil_case, knowledge)
    gains = opened.situation.gains
    silent = next(one.id for one in opened.left() if gains.get(one.id, 0.0) == 0.0 and one.reading is None)
    look = opened.look(silent)
    assert look.choice.bits == 0.0
    assert look.choice.regret == look.choice.best_bits > 0.0
    assert look.choice.apart[0] is False


def test_nothing_known_or_not_the_operators_can_be_looked_at(oil_case, knowledge):
    """What is open holds neither the report nor what a look has shown, and is all the operator's."""
    opened = OpenCase(oil_case, knowledge)
    opened.look("oiler-bottle")
    names = {one.id for one in opened.left()}
    assert not names & {"bearing-oil-level", "oiler-bottle"}
    assert {one.who for one in opened.left()} == {"operator"}


def test_ambiguity_of_even_shares_is_the_logarithm_of_their_number():
    """Eight causes alike are three bits, one sure cause is none."""
    assert ambiguity(dict.fromkeys("abcdefgh", 0.125)) == pytest.approx(3.0)
    assert ambiguity({"a": 1.0, "b": 0.0}) == 0.0

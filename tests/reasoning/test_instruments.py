"""A number near a limit counts by the accuracy of the gauge that showed it, from the profile to the ranking."""

from __future__ import annotations

from itertools import pairwise
from math import sqrt

import pytest

from diagnose.knowledge import library
from diagnose.reasoning.instruments import accuracy
from diagnose.reasoning.situation import Said, Situation
from diagnose.values.quantity import Quantity

KNOWLEDGE = library.load(site=library.demo_site()).knowledge
PUMP = KNOWLEDGE.site.machines["BFP-2"]  # exhaust pressure usually 2.0 bar gauge; from 2.4, a fifth over, it is high
EXHAUST = KNOWLEDGE.findings["exhaust-pressure"]
CAUSE = "exhaust-header-pressure-high"


def with_gauge(error):
    return PUMP._replace(instruments={"exhaust-pressure": Quantity(error, "bar")})


def likely(machine, pressure):
    """Return how likely the cause of a high exhaust pressure is after this number alone."""
    situation = Situation(KNOWLEDGE, machine, "loaded", [Said("exhaust-pressure", number=pressure)])
    return dict(situation.ranking())[CAUSE]


def test_the_profiles_gauge_goes_before_the_rules_figure():
    """A class 1.6 gauge of 25 bar errs by 0.4 bar at most, 0.23 bar standard uncertainty (JCGM 100:2008, 4.3.7)."""
    assert accuracy(EXHAUST, with_gauge(0.4)) == pytest.approx(0.4 / sqrt(3))
    assert accuracy(EXHAUST, PUMP) == EXHAUST.reading.accuracy
    assert accuracy(KNOWLEDGE.findings["sentinel-valve"], PUMP) == 0.0


def test_a_number_just_over_its_limit_weighs_more_from_a_better_gauge():
    """0.1 bar over the limit: a fine gauge makes the cause likelier than a coarse one, and both more than none."""
    base = dict(Situation(KNOWLEDGE, PUMP, "loaded").ranking())[CAUSE]
    coarse, fine = likely(with_gauge(0.4), 2.5), likely(with_gauge(0.03), 2.5)
    assert base < coarse < fine


def test_just_under_the_limit_it_is_the_other_way_round():
    """0.1 bar under the limit a fine gauge clears the cause more than a coarse one."""
    assert likely(with_gauge(0.03), 2.3) < likely(with_gauge(0.4), 2.3)


def test_across_the_limit_belief_moves_by_small_steps():
    """From 2.0 to 3.0 bar in steps of a fortieth the likelihood climbs by less than a tenth at a time, and belief with it."""
    said = [Said("exhaust-pressure", number=2.0 + at / 40) for at in range(41)]
    situations = [Situation(KNOWLEDGE, with_gauge(0.4), "loaded", [one]) for one in said]
    shares = [one._likelihood("exhaust-pressure-level")["high"] for one in situations]
    assert shares == sorted(shares)
    assert max(later - earlier for earlier, later in pairwise(shares)) < 0.1
    beliefs = [dict(one.ranking())[CAUSE] for one in situations]
    assert beliefs == sorted(beliefs)
    judged = [one.values("exhaust-pressure-level") for one in situations]
    turn = judged.index({"high"})
    assert judged[turn - 1] == {"normal"}  # the word turns here, the belief does not jump
    assert beliefs[turn] < 1.5 * beliefs[turn - 1]


@pytest.mark.parametrize("error", [0.03, 0.1, 0.4])
def test_far_from_the_limit_the_gauge_does_not_matter(error):
    """Five errors beyond the limit any gauge says the same."""
    assert likely(with_gauge(error), 2.4 + 5 * 0.4) == pytest.approx(likely(PUMP, 4.4), abs=1e-6)

"""Readings that follow from others: superheat of the inlet steam and stage efficiency against the machine's own."""

from __future__ import annotations

from itertools import pairwise

import pytest

from diagnose.knowledge import library
from diagnose.reasoning.calculated import RESTS_ON, calculated, own_efficiency
from diagnose.reasoning.situation import Said, Situation

KNOWLEDGE = library.load(site=library.demo_site()).knowledge
PUMP = KNOWLEDGE.site.machines["BFP-2"]
USUAL = {"inlet-pressure": 17.0, "inlet-temperature": 260.0, "exhaust-pressure": 2.0, "exhaust-temperature": 165.0}


def told(**numbers):
    said = [Said(name.replace("_", "-"), number=value) for name, value in numbers.items()]
    return Situation(KNOWLEDGE, PUMP, "loaded", said)


def fallen(exhaust_temperature):
    """Return how likely the network takes it that the efficiency has fallen, from the reading alone."""
    situation = told(inlet_pressure=17.0, inlet_temperature=260.0, exhaust_pressure=2.0)
    situation.say(Said("exhaust-temperature", number=exhaust_temperature))
    return situation._likelihood("stage-efficiency-level")["fallen"]


def test_what_the_machine_shows_when_well_is_no_change():
    """Its own normal readings give its own efficiency, about 41 %, and a superheat of 53 K."""
    assert own_efficiency(PUMP) == pytest.approx(41.2, abs=0.5)
    worked = calculated(PUMP, USUAL)
    assert worked["stage-efficiency-change"] == pytest.approx(0.0, abs=1e-9)
    assert worked["inlet-superheat"] == pytest.approx(53, abs=1)


@pytest.mark.parametrize("name", USUAL)
def test_without_one_of_its_readings_nothing_follows(name):
    """Each calculated reading needs all of those it rests on."""
    worked = calculated(PUMP, {one: value for one, value in USUAL.items() if one != name})
    assert all(name not in RESTS_ON[one] for one in worked)


def test_an_efficiency_can_fall_while_the_exhaust_temperature_looks_usual():
    """19 K over its usual is inside the band of 20 K, but at usual steam it means eleven points of efficiency lost."""
    situation = told(inlet_pressure=17.0, inlet_temperature=260.0, exhaust_pressure=2.0, exhaust_temperature=184.0)
    assert situation.values("exhaust-temperature-level") == {"normal"}
    assert situation.values("stage-efficiency-level") == {"fallen"}
    before = dict(told(inlet_pressure=17.0).ranking())["nozzle-or-blade-erosion"]
    assert dict(situation.ranking())["nozzle-or-blade-erosion"] > before


def test_a_hot_exhaust_at_a_raised_pressure_is_no_loss_of_efficiency():
    """At 3 bar gauge the exhaust belongs some 17 K higher: the efficiency is as usual."""
    situation = told(inlet_pressure=17.0, inlet_temperature=260.0, exhaust_pressure=3.0, exhaust_temperature=182.0)
    assert situation.values("stage-efficiency-level") == {"as-usual"}


def test_near_its_limit_the_efficiency_is_a_chance_and_not_a_cliff():
    """The likelihood of a fallen efficiency climbs with the exhaust temperature by small steps."""
    shares = [fallen(165.0 + step) for step in range(0, 32, 2)]
    assert shares == sorted(shares)
    assert max(later - earlier for earlier, later in pairwise(shares)) < 0.25
    assert shares[0] < 0.1
    assert shares[-1] > 0.9


def test_a_reading_taken_back_takes_what_followed_with_it():
    """Without the exhaust temperature nothing is known of the efficiency."""
    situation = told(inlet_pressure=17.0, inlet_temperature=260.0, exhaust_pressure=2.0, exhaust_temperature=190.0)
    situation.unsay("exhaust-temperature")
    assert situation.values("stage-efficiency-level") == frozenset()


def test_a_reading_nobody_is_sure_of_makes_what_follows_unsure():
    """The same temperature told with doubt weighs less."""
    sure = told(inlet_pressure=17.0, inlet_temperature=260.0, exhaust_pressure=2.0, exhaust_temperature=190.0)
    unsure = told(inlet_pressure=17.0, inlet_temperature=260.0, exhaust_pressure=2.0)
    unsure.say(Said("exhaust-temperature", number=190.0, sure=False))
    both = [one._likelihood("stage-efficiency-level")["fallen"] for one in (sure, unsure)]
    assert both[1] < both[0]

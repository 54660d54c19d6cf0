"""The limits that results are held against, each with where it comes from; what is from memory says so here too."""

import math

import pytest

from diagnose.calculations.vibration_order import order_by_phase, order_of
from diagnose.consultation.worked_out.cooling import cooling_results
from diagnose.consultation.worked_out.steam import steam_results
from diagnose.knowledge import library
from diagnose.reasoning.calculated import inlet_superheat, stage_efficiency
from diagnose.reasoning.instruments import accuracy

KNOWLEDGE = library.load(site=library.demo_site()).knowledge
PUMP = KNOWLEDGE.site.machines["BFP-2"]
STEAM = ("inlet-pressure", "inlet-temperature", "exhaust-pressure", "exhaust-temperature")
USUAL = {name: PUMP.values[f"normal-{name}"].value for name in STEAM}


def error_of(work, names):
    """Propagate the gauges' standard uncertainties (JCGM 100:2008, 5.1.2) through a calculation at the pump's normal."""
    middle, total = work(USUAL), 0.0
    for name in names:
        one = accuracy(KNOWLEDGE.findings[name], PUMP)
        total += (work({**USUAL, name: USUAL[name] + one}) - middle) ** 2
    return math.sqrt(total)


def test_the_efficiency_counts_as_fallen_only_beyond_what_the_gauges_leave_open():
    """JCGM 100:2008, 5.1.2: the shipped accuracy of 3 % covers the gauges' own; 8 points, from memory, are over twice it."""
    error = error_of(stage_efficiency, STEAM)
    shipped = KNOWLEDGE.findings["stage-efficiency-change"].reading.accuracy
    assert error == pytest.approx(shipped, abs=0.5)
    assert 2 * error < 8


def test_the_superheat_counts_as_going_well_outside_what_the_gauges_leave_open():
    """JCGM 100:2008, 5.1.2: 10 K (common practice) is over twice the error of pressure and temperature together."""
    error = error_of(inlet_superheat, STEAM[:2])
    assert error == pytest.approx(KNOWLEDGE.findings["inlet-superheat"].reading.accuracy, abs=0.6)
    assert 2 * error < 10


@pytest.mark.parametrize(("celsius", "wet"), [(123.0, False), (121.0, True)])
def test_three_per_cent_of_moisture_is_wet(celsius, wet):
    """Common practice for small turbines: 3 % of moisture at the inlet, just under 122.7 C in the calorimeter at 150 psig."""
    steam = steam_results({"inlet-pressure": 10.3421, "calorimeter": celsius})
    (moisture,) = [one for one in steam.results if one.name.startswith("moisture")]
    assert moisture.warns == wet


@pytest.mark.parametrize(("readings", "name", "limit"), [
    ({"cooling-water-rise": 8.0}, "rise of the cooling water", 17.0),  # API cooling-water table, from memory
    ({"oil-in": 45.0, "oil-out": 60.0}, "rise of the oil through bearing and housing", 30.0),  # API 612:2014, 10.4.1
    ({"bearing-temperature-drive-end": 60.0, "ambient": 25.0}, "rise over the surroundings, drive end", 40.0),  # API 611 habit, from memory
])  # fmt: skip
def test_rises_are_held_against_their_documents(readings, name, limit):
    """The number shown beside each rise is the document's; the documents stand beside the cases above."""
    (one,) = [result for result in cooling_results(readings).results if result.name == name]
    assert one.limits[0].number == limit
    assert "API" in one.source


def test_misalignment_by_the_charts():
    """Textbook vibration charts, from memory: twice a turn from half of once a turn on; ends 180 degrees apart, give or take 30."""
    assert [order_of([(60, 1.0), (120, twice)], 3600) for twice in (0.45, 0.55)] == ["once-per-turn", "twice-or-axial"]
    assert [order_by_phase(at) for at in (145, 155, 205, 215)] == ["other", "twice-or-axial", "twice-or-axial", "other"]

"""What readings amount to: values, judgements against the site first and the standard then, and facts for the rules."""

from __future__ import annotations

import math

import pytest

from diagnose.calculations.laboratory import read_report
from diagnose.consultation.events import Answer
from diagnose.consultation.worked_out.answers import results_of_answers
from diagnose.consultation.worked_out.cooling import cooling_results
from diagnose.consultation.worked_out.oil import oil_results, report_results
from diagnose.consultation.worked_out.result import limit_words, value_words
from diagnose.consultation.worked_out.speed import log_results, speed_results
from diagnose.consultation.worked_out.steam import steam_results
from diagnose.consultation.worked_out.trend import trend_results
from diagnose.consultation.worked_out.vibration import order_results, phase_results, vibration_results
from diagnose.knowledge import library
from diagnose.values.problem import DiagnoseError

KNOWLEDGE = library.load(site=library.demo_site()).knowledge
MACHINES = KNOWLEDGE.site.machines
PUMP, FAN = MACHINES["BFP-2"], MACHINES["FDF-1"]
USUAL = {"inlet-pressure": 17.0, "inlet-temperature": 260.0, "exhaust-pressure": 2.0, "exhaust-temperature": 165.0}


def by_name(worked):
    return {one.name: one for one in worked.results}


def test_rated_steam_loses_no_power_and_shows_the_machines_own_efficiency():
    """At its own normal readings nothing warns, all of the power is there, and the exhaust is as warm as expected."""
    worked = steam_results(USUAL, PUMP)
    named = by_name(worked)
    assert not any(one.warns for one in worked.results)
    assert named["power left of the rated"].value == pytest.approx(100)
    assert named["exhaust temperature to expect"].value == pytest.approx(165, abs=0.1)
    assert named["apparent stage efficiency"].judged == "as usual"
    assert set(worked.facts) == set(USUAL)


def test_a_raised_exhaust_pressure_costs_power():
    """From 2 to 3 bar gauge the feed pump turbine loses about a seventh, all of it by the exhaust."""
    named = by_name(steam_results({**USUAL, "exhaust-pressure": 3.0}, PUMP))
    assert named["power lost by the exhaust pressure"].value == pytest.approx(0.143 * 220, rel=0.02)
    assert named["power lost by the inlet steam"].value == pytest.approx(0, abs=1e-9)


def test_steam_near_its_boiling_point_warns_unless_the_machine_is_rated_on_it():
    """3 K of superheat at 17 bar gauge warn; 15 K under the boiling point cannot be right."""
    near = by_name(steam_results({"inlet-pressure": 17.0, "inlet-temperature": 210.0}, PUMP))[
        "superheat of the inlet steam"
    ]
    below = by_name(steam_results({"inlet-pressure": 17.0, "inlet-temperature": 192.0}, PUMP))[
        "superheat of the inlet steam"
    ]
    assert near.warns
    assert "drains" in near.judged
    assert below.warns
    assert "cannot be right" in below.judged


def test_a_wet_exhaust_tells_no_efficiency_and_exhaust_above_inlet_is_refused():
    """At its boiling point the exhaust says nothing of the work done; steam does not run uphill."""
    named = by_name(steam_results({**USUAL, "exhaust-temperature": 134.5}, PUMP))
    assert "not to be told" in named["apparent stage efficiency"].value
    with pytest.raises(DiagnoseError, match="not below the inlet"):
        steam_results({"inlet-pressure": 2.0, "exhaust-pressure": 2.0})


def test_speeds_are_graded_by_the_machines_class_or_by_all():
    """A swing of 20 rpm either way at 3560 is beyond class D, the pump's; without a class all four limits stand."""
    swing = {"highest": 3580.0, "lowest": 3540.0}
    graded = by_name(speed_results(swing, PUMP))["speed variation, plus and minus"]
    assert graded.warns
    assert graded.judged == "beyond class D"
    free = by_name(speed_results(swing, rated=3560.0))["speed variation, plus and minus"]
    assert not free.warns
    assert [mark.number for mark in free.limits] == [0.75, 0.5, 0.25, 0.25]
    assert speed_results(swing, PUMP).facts == {"speed-swing": "40 rpm"}


@pytest.mark.parametrize(
    ("trips", "finding", "warns"),
    [
        ([3915, 3920, 3910], "within-tolerance", False),
        ([3990, 3985, 3992], "above-setting", True),
        ([3850, 3860, 3855], "below-setting", True),
        ([3896, 3910, 3925], "scattered", True),
    ],
)
def test_three_test_trips_become_the_finding_on_the_test(trips, finding, warns):
    """The finding of the rules follows from the three speeds and the machine's setting of 3916 rpm."""
    worked = speed_results({}, PUMP, trips=trips)
    assert worked.facts == {"overspeed-test": finding}
    assert by_name(worked)["overspeed trips"].warns == warns


@pytest.mark.parametrize(
    "speeds", [{"no-load": 3500.0, "full-load": 3600.0}, {"highest": 1.0, "lowest": 2.0}, {"peak": 3000.0}]
)
def test_speeds_the_wrong_way_round_are_refused(speeds):
    """A governor does not sag upward; one clear sentence instead of a negative figure."""
    with pytest.raises(DiagnoseError, match="wrong way round"):
        speed_results(speeds, PUMP)


def test_a_hunting_log_is_a_finding_and_a_swinging_load_is_none():
    """The same swing with the load standing still is the governor's, with the load moving against it the load's."""
    wave = [12 * math.sin(2 * math.pi * at / 11) for at in range(400)]
    speeds = [1480 + one + 0.4 * (at % 5) for at, one in enumerate(wave)]
    hunts = log_results(speeds, [70.0] * 400, 1.0, FAN, 1480.0, "")
    assert hunts.facts["speed-behaviour"] == "regular-swing"
    assert by_name(hunts)["hunting"].warns
    load = log_results(speeds, [70 - one / 8 for one in wave], 1.0, FAN, 1480.0, "")
    assert load.facts == {}
    assert not by_name(load)["hunting"].warns


def test_the_sites_limits_stand_before_the_standards_zones():
    """4.0 mm/s is over the pump's alarm of 3.5 and inside its limit of 4.5, and zone C by the standard."""
    worked = vibration_results({"vibration-velocity": 4.0}, PUMP)
    names = [one.name for one in worked.results]
    site, zone = (
        by_name(worked)["vibration of the bearing housing"],
        by_name(worked)["vibration of the bearing housing, zone C"],
    )
    assert names.index(site.name) < names.index(zone.name)
    assert site.judged == "over the site's alarm"
    assert [mark.number for mark in zone.limits] == [1.4, 2.8, 4.5]


def test_displacement_and_velocity_convert_both_ways():
    """2 mil at 3600 rpm are 6.77 mm/s rms, and back."""
    there = by_name(vibration_results({"displacement": 50.8, "frequency": 3600.0}))[
        "velocity of that displacement"
    ].value
    assert there == pytest.approx(6.77, abs=0.005)
    back = by_name(vibration_results({"vibration-velocity": there, "frequency": 3600.0}))[
        "displacement of that velocity"
    ]
    assert back.value == pytest.approx(50.8)


def test_without_a_power_the_zones_are_complained_of_and_the_conversion_stands():
    """What can be worked out is; what cannot is said."""
    worked = vibration_results({"displacement": 50.8, "frequency": 3600.0})
    assert worked.results
    assert "power" in worked.complaints[0]


def test_spectrum_and_phase_become_the_finding_on_the_order():
    """Twice a turn beside once, and ends moving against each other, both speak for misalignment."""
    assert order_results([(59.3, 5.0), (118.6, 4.0)], 3560.0).facts == {"vibration-order": "twice-or-axial"}
    assert phase_results(172.0).facts == {"vibration-order": "twice-or-axial"}
    assert phase_results(90.0).facts == {}
    values = KNOWLEDGE.findings["vibration-order"].values
    assert {"once-per-turn", "twice-or-axial", "below-half", "fractions-or-many", "random"} <= set(values)


def test_oil_is_judged_line_by_line_and_the_worst_is_the_finding():
    """Water goes before acid; a value without its new oil is not judged."""
    worked = oil_results({"water": 1500.0, "acid-number": 0.6, "acid-new": 0.1})
    assert [one.warns for one in worked.results] == [True, True]
    assert worked.facts == {"oil-lab-report": "water"}
    assert oil_results({"acid-number": 0.6}).facts == {}


def test_viscosity_when_warm_says_what_was_taken_for_granted():
    """VG 46 at 71.1 C is 14.4 mm2/s by an index of 100, and that index is named."""
    warm = oil_results({}, grade=46, at=71.1).results[0]
    assert warm.value == pytest.approx(14.4, rel=0.01)
    assert "index of 100" in warm.judged


def test_a_laboratory_report_keeps_its_complaints_and_shows_its_limits():
    """One good line, one that cannot be read, one past its limit."""
    lines = [
        "property,value,unit,new",
        "Water @ nothing,1,ppm,",
        "TAN,0.9,mg KOH/g,0.1",
        "Viscosity @ 40 °C,66,mm2/s,68",
    ]
    worked = report_results(read_report(lines))
    assert worked.facts == {"oil-lab-report": "acid-high"}
    assert len(worked.complaints) == 1
    acid = by_name(worked)["acid number"]
    assert [mark.number for mark in acid.limits] == pytest.approx([0.1, 0.2, 0.4])


def test_cooling_water_and_bearings():
    """12 l/min warmed by 8 K carry 6.7 kW; a bearing 49 K over its surroundings is too hot for a ring-oiled one."""
    worked = cooling_results(
        {
            "water-in": 28.0,
            "water-out": 36.0,
            "water-flow": 12.0,
            "bearing-temperature-drive-end": 79.0,
            "ambient": 30.0,
        },
        PUMP,
    )
    named = by_name(worked)
    assert named["heat carried by the water"].value == pytest.approx(6.70, abs=0.01)
    assert named["rise over the surroundings, drive end"].warns
    assert not named["bearing temperature, drive end"].warns
    assert worked.facts == {"cooling-water-rise": "8 K", "bearing-temperature-drive-end": "79 C"}


def test_a_trend_tells_when_its_limit_is_met_and_nothing_without_enough_readings():
    """Half a degree a day from 72 C meets 82 C in 20 days."""
    finding = KNOWLEDGE.findings["bearing-temperature-drive-end"]
    worked = trend_results(finding, range(9), [68 + 0.5 * day for day in range(9)], (None, 82.0), KNOWLEDGE)
    assert by_name(worked)["time to the limit"].value == "20 days"
    assert worked.facts == {"bearing-temperature-drive-end-trend": "rising"}
    with pytest.raises(DiagnoseError, match="Four readings"):
        trend_results(finding, range(3), [68.0, 69.0, 70.0], (None, 82.0), KNOWLEDGE)


def test_every_result_names_formula_and_source_and_every_fact_is_a_finding():
    """Nothing is shown without where it comes from; nothing is taken to the rules that they do not know."""
    works = [
        steam_results({**USUAL, "power": 220.0}, PUMP),
        speed_results({"no-load": 3600.0, "full-load": 3560.0, "peak": 3800.0}, PUMP, trips=[3915, 3920, 3910]),
        log_results([1480.0 + at % 3 for at in range(100)], [70.0] * 100, 1.0, FAN, 1480.0, ""),
        vibration_results({"vibration-velocity": 4.0, "shaft-vibration": 40.0}, MACHINES["AC-1"]),
        order_results([(59.3, 5.0)], 3560.0),
        oil_results({"viscosity": 45.0, "viscosity-100": 6.7, "water": 100.0}, grade=46, at=60.0, particles="18/16/13"),
        cooling_results({"oil-in": 45.0, "oil-out": 60.0, "cooling-water-rise": 8.0}, PUMP),
    ]
    for worked in works:
        assert all(one.formula and one.source for one in worked.results)
        assert set(worked.facts) <= set(KNOWLEDGE.findings)


def test_results_are_shown_in_the_sites_units():
    """A site that reads psig and F gets both, limits and temperature differences too."""
    other = KNOWLEDGE._replace(
        site=KNOWLEDGE.site._replace(units={"temperature": "F", "power": "hp", "steam-rate": "lb/kWh"})
    )
    named = by_name(steam_results({**USUAL, "exhaust-pressure": 3.0}, PUMP))
    assert value_words(named["boiling point at the inlet pressure"], other) == "405 F"
    assert value_words(named["power lost by the exhaust pressure"], other).endswith("hp")
    assert value_words(named["theoretical steam rate"], other).endswith("lb/kWh")
    assert limit_words(named["superheat of the inlet steam"], other).startswith("ample from 18 F difference")


def test_the_numbers_of_a_consultation_are_worked_out_and_odd_ones_left_out():
    """Steam, swing, vibration and cooling from what was answered; an exhaust above the inlet yields nothing of steam."""
    said = {
        **USUAL,
        "speed-swing": 40.0,
        "vibration-velocity": 2.0,
        "cooling-water-rise": 8.0,
        "bearing-temperature-drive-end": 60.0,
    }
    answers = {name: Answer(number=number) for name, number in said.items()}
    names = {one.name for one in results_of_answers(answers, PUMP)}
    assert {"apparent stage efficiency", "speed variation, plus and minus", "rise of the cooling water"} <= names
    odd = {**answers, "exhaust-pressure": Answer(number=30.0)}
    assert "apparent stage efficiency" not in {one.name for one in results_of_answers(odd, PUMP)}
    assert results_of_answers({"oil-ring": Answer(value="turning")}, PUMP) == ()


def test_a_throttling_calorimeter_tells_the_moisture():
    """150 psig and 122.7 C are 3 % of moisture; at its boiling point it tells only that the steam is too wet."""
    moist = by_name(steam_results({"inlet-pressure": 10.34, "calorimeter": 122.7}))["moisture of the inlet steam"]
    assert moist.value == pytest.approx(3.0, abs=0.1)
    assert by_name(steam_results({"inlet-pressure": 10.34, "calorimeter": 99.0}))["moisture of the inlet steam"].warns


def test_the_speed_to_expect_at_a_load_follows_the_regulation():
    """Half a load takes half the sag, measured or at the most that the class allows."""
    at_half = "speed to expect at 50 % load"
    measured = by_name(speed_results({"no-load": 3600.0, "full-load": 3580.0, "load": 50.0}, PUMP))[at_half]
    assert measured.value == pytest.approx(3590)
    by_class = by_name(speed_results({"no-load": 3600.0, "load": 50.0}, PUMP))[at_half]
    assert by_class.value == pytest.approx(3600 - 0.005 * 3560 / 2)
    assert "class D" in by_class.judged


def test_readings_that_cannot_both_be_right_name_the_other():
    """At 192 C water boils at about 12 bar gauge: what the gauge would show if the thermometer were right."""
    named = by_name(steam_results({"inlet-pressure": 17.0, "inlet-temperature": 192.0}, PUMP))
    assert named["pressure at which water boils there"].value == pytest.approx(12.06, abs=0.1)

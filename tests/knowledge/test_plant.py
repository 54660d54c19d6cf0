"""Sites and machines."""

import pytest

from diagnose.values.quantity import Quantity

from .samples import MACHINE, SITE, loaded, told


def site_with(old, new):
    assert old in MACHINE
    return {**SITE, "machines/BFP-2.yaml": MACHINE.replace(old, new)}


FAULTS = [
    ("machine: BFP-2", "machine: BFP 2", "2:10 bad-id 'BFP 2' cannot be an id. Use letters, digits and single hyphens."),
    ("governor-class: D", "governor-class: E", "unknown-word 'E' is not one of the words for this. Use one of: A, B, C, D."),
    ("governor-class: D", "governer-class: D", "unknown-key 'governer-class' is not a key of a machine. Did you mean 'governor-class'?"),
    ("sentinel-valve]", "sentinal-valve]", "unknown-feature There is no feature 'sentinal-valve'. Did you mean 'sentinel-valve'?"),
    ("drives: {kind: centrifugal pump, service: boiler feed}\n", "", "missing-key 'drives' is missing: a machine needs it."),
    ("speed: 3560 rpm", "speed: 3560", "3560 has no unit. Write '3560 rpm'."),
    ("speed: 3560 rpm", "sped: 3560 rpm", "unknown-key 'sped' is not a key of the ratings. Did you mean 'speed'?"),
    ("inlet-pressure: 17 bar gauge", "inlet-pressure: 17 bar", "'bar' does not say gauge or absolute. Write 'bar gauge' or 'bar absolute'."),
    ("exhaust-pressure-max: 2.6 bar gauge", "exhaust-pressure-max: 2.6 bar", "'bar' does not say gauge or absolute."),
    ("exhaust-pressure-max: 2.6 bar gauge", "exhaust-pressure-max: 120 C", "'C' is a unit of temperature, but pressure is wanted."),
    ("trip-speed: 3916 rpm", "gland-pressure-max: 2 bar", "does not say gauge, absolute or difference. Write 'bar gauge', 'bar absolute' or 'bar difference'."),
    ("trip-speed: 3916 rpm", "trip-speed: fast", "wrong-quantity 'fast' is not a number."),
    ("bearing-temperature: 61 C", "bearing-temprature: 61 C", "unknown-finding There is no finding or condition 'bearing-temprature'. Did you mean 'bearing-temperature'?"),
    ("bearing-temperature: 61 C", "bearing-temperature: 61 rpm", "'rpm' is a unit of speed, but temperature is wanted."),
    ("bearing-temperature: 61 C", "bearing-temperature: 610 C", "impossible-value 610 C is outside what this reading can show (-20 to 200 C)."),
    ("steam: north header", "stem: north header", "unknown-key 'stem' is not a key of what is shared. Did you mean 'steam'?"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "says"), FAULTS)
def test_a_faulty_machine_is_told_once(old, new, says, pure):
    """One problem in the machine's file says this."""
    lines = told(site=site_with(old, new), pure=pure)
    assert len(lines) == 1, lines
    assert says in lines[0]
    assert lines[0].startswith("machines/BFP-2.yaml:")


def test_a_machine_is_read_in_full():
    """Ratings, limits and normals are quantities by the names that rules use."""
    machine = loaded()[0].site.machines["BFP-2"]
    assert machine.values["rated-speed"] == Quantity(3560, "rpm")
    assert machine.values["exhaust-pressure-max"] == Quantity(2.6, "bar gauge")
    assert machine.values["normal-bearing-temperature"] == Quantity(61, "C")
    assert machine.normal_words == {"sentinel": "quiet"}
    assert machine.shares == {
        "steam-header": "north header",
        "exhaust-header": "LP header",
        "cooling-water-supply": "tower 2",
    }
    assert machine.procedures == {"exhaust pressure high": "OP-114"}
    assert machine.features == {"ring-oiled-bearings", "sentinel-valve", "drives-pump", "governor-class-d"}
    assert (machine.title, machine.governor_class, machine.drives_service) == ("BFP-2", "D", "boiler feed")


def test_limits_in_other_units_are_converted():
    """A limit in psi gauge is kept in bar gauge, a difference as a difference."""
    knowledge, problems = loaded(
        site=site_with(
            "exhaust-pressure-max: 2.6 bar gauge", "exhaust-pressure-max: 38 psi gauge, filter-max: 0.8 bar difference"
        )
    )
    assert not problems
    values = knowledge.site.machines["BFP-2"].values
    assert values["exhaust-pressure-max"].value == pytest.approx(2.62, abs=0.001)
    assert values["filter-max"] == Quantity(0.8, "bar")


def test_a_site_has_a_title_and_units_that_fit(pure):
    """A unit that leaves gauge or absolute open cannot be preferred."""
    site = {**SITE, "site.yaml": "site: North\nunits:\n  pressure: psi\n  heat: F\n"}
    lines = told(site=site, pure=pure)
    assert "site.yaml:3:13 wrong-unit 'psi' is not a unit for bar gauge. Write 'psi gauge' or 'psi absolute'." in lines
    assert any("site.yaml:4:9 wrong-unit 'heat' is not something measured here." in line for line in lines)
    assert loaded()[0].site.units == {"pressure": "psi gauge", "temperature": "F"}


def test_two_machines_of_one_id_are_told(pure):
    """The second names the place of the first."""
    lines = told(site={**SITE, "machines/copy.yaml": MACHINE}, pure=pure)
    assert lines == [
        "machines/copy.yaml:2:1 duplicate-id The machine 'BFP-2' is defined twice; the first is at machines/BFP-2.yaml:2:1. Rename one of them."
    ]

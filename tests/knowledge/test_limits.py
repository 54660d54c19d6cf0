"""What readings are compared with."""

import pytest

from diagnose.knowledge.model import Limit
from diagnose.values.quantity import Quantity

from .samples import loaded, told


def rule(limit, reading="exhaust-pressure"):
    return f"rules: [{{rule: r, source: from memory, conclude: {{exhaust-level: low}}, when: [{{reading: {reading}, above: {limit}}}]}}]"


READ = [
    ("2.9 bar gauge", Limit(Quantity(2.9, "bar gauge"), "")),
    ("machine.exhaust-pressure-max", Limit(None, "exhaust-pressure-max")),
    ("machine.rated-exhaust-pressure + 0.2 bar", Limit(None, "rated-exhaust-pressure", 1.0, 0.2)),
    ("machine.normal-exhaust-pressure - 0.2 bar", Limit(None, "normal-exhaust-pressure", 1.0, -0.2)),
    ("90 % of machine.rated-exhaust-pressure", Limit(None, "rated-exhaust-pressure", 0.9, 0.0)),
    ("102.5% of machine.own-limit", Limit(None, "own-limit", 1.025, 0.0)),
]


@pytest.mark.parametrize(("text", "limit"), READ)
def test_each_form_of_limit_is_read(text, limit):
    """A quantity, or a machine's value with factor and offset."""
    knowledge, problems = loaded(rule(text))
    assert not problems
    assert knowledge.rules["r"].when[0].limit == limit


def test_temperatures_are_offset_by_kelvin():
    """Ten kelvin above this machine's normal."""
    knowledge, problems = loaded(rule("machine.normal-bearing-temperature + 10 K", "bearing-temperature"))
    assert not problems
    assert knowledge.rules["r"].when[0].limit == Limit(None, "normal-bearing-temperature", 1.0, 10.0)


FAULTS = [
    (rule("2.9 bar"), "wrong-quantity 'bar' does not say gauge or absolute. Write 'bar gauge' or 'bar absolute'."),
    (rule("2.9"), "2.9 has no unit. Write '2.9 bar gauge'."),
    (rule("82 C"), "'C' is a unit of temperature, but pressure is wanted. Give it in bar gauge."),
    (rule("290 bar gauge"), "impossible-value 290 bar gauge can never be read: this reading goes from -1 to 30 bar gauge."),
    (rule("machine.rated-presure"), "unknown-rating A machine has no 'rated-presure'."),
    (rule("machine.rated-exhaust-presure"), "Did you mean 'rated-exhaust-pressure'?"),
    (rule("machine.rated-speed"), "wrong-unit machine.rated-speed is in rpm, this reading in bar gauge."),
    (rule("machine.normal-exhaust-presure"), "unknown-finding There is no finding or condition 'exhaust-presure'."),
    (rule("machine.normal-sentinel"), "not-a-reading 'sentinel' is not a number."),
    (rule("machine.normal-bearing-temperature"), "wrong-unit machine.normal-bearing-temperature is in C"),
    (rule("machine.exhaust-pressure-max + 10 C"), "'C' is a unit of temperature, but pressure difference is wanted."),
    (rule("machine.bearing-max + 10 C", "bearing-temperature"), "but temperature difference is wanted. Give it in K."),
    (rule("twice machine.rated-exhaust-pressure"), "not-a-limit 'twice machine.rated-exhaust-pressure' is not a limit. Write machine.NAME"),
    (rule("machine.Own"), "not-a-limit 'Own' is not the name of a machine's value."),
    (rule("machine.exhaust-pressure-max", "bearing-temperature"), "wrong-unit machine.exhaust-pressure-max is in bar gauge, this reading in C."),
]  # fmt: skip


@pytest.mark.parametrize(("text", "says"), FAULTS)
def test_a_faulty_limit_is_told_at_the_limit(text, says, pure):
    """One problem that stands where the limit is written."""
    lines = told(text, pure=pure)
    assert len(lines) == 1, lines
    assert says in lines[0]
    assert lines[0].startswith(f"rules/x0.yaml:1:{text.index('above: ') + 8} ")

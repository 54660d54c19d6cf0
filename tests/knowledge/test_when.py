"""Conditions as rules write them."""

import pytest

from diagnose.knowledge.model import AllOf, AnyOf, Compare, CountOf, Holds, Limit, MachineHolds, Not, Unknown
from diagnose.values.quantity import Quantity

from .samples import loaded, told


def rule(*when):
    return "rules:\n- rule: r\n  conclude: {exhaust-level: low}\n  source: from memory\n  when:\n" + "".join(
        f"  - {one}\n" for one in when
    )


def read(*when):
    knowledge, problems = loaded(rule(*when))
    assert not problems, [problem.line() for problem in problems]
    return knowledge.rules["r"].when


READ = [
    ("{sentinel: sounding}", Holds("sentinel", ("sounding",))),
    ("{bearing-oil-look: [milky, dark]}", Holds("bearing-oil-look", ("milky", "dark"))),
    ("{phase: run-up}", Holds("phase", ("run-up",))),
    ("{phase: [run-up, loaded]}", Holds("phase", ("run-up", "loaded"))),
    ("{feature: sentinel-valve}", Holds("feature", ("sentinel-valve",))),
    ("{unknown: sentinel}", Unknown("sentinel")),
    ("{not: {sentinel: quiet}}", Not(Holds("sentinel", ("quiet",)))),
    ("{any-of: [{sentinel: quiet}, {phase: loaded}]}", AnyOf((Holds("sentinel", ("quiet",)), Holds("phase", ("loaded",))))),
    ("{all-of: [{unknown: sentinel}]}", AllOf((Unknown("sentinel"),))),
    ("{count: [{sentinel: quiet}, {phase: loaded}], at-least: 2}", CountOf((Holds("sentinel", ("quiet",)), Holds("phase", ("loaded",))), 2)),
    ("{reading: bearing-temperature, above: 82 C}", Compare("bearing-temperature", "above", Limit(Quantity(82, "C"), ""))),
    (
        "{reading: bearing-temperature, at-least: 60 C, below: 70 C}",
        AllOf((Compare("bearing-temperature", "below", Limit(Quantity(70, "C"), "")), Compare("bearing-temperature", "at-least", Limit(Quantity(60, "C"), "")))),
    ),
    ("{machine: $a, exhaust-level: high, exhaust-header: $h}", MachineHolds("$a", {"exhaust-level": "high", "exhaust-header": "$h"}, ())),
    ("{machine: $a, sentinel: $s}", MachineHolds("$a", {"sentinel": "$s"}, ())),
]  # fmt: skip


@pytest.mark.parametrize(("text", "condition"), READ)
def test_each_form_of_condition_is_read(text, condition):
    """The text gives exactly this condition."""
    assert read(text) == (condition,)


def test_machines_that_must_differ_are_kept():
    """Other-than names the variables of the other machines."""
    second = read("{machine: $a, exhaust-level: high}", "{machine: $b, exhaust-level: high, other-than: [$a]}")[1]
    assert second.other_than == ("$a",)


FAULTS = [
    ("{sentinel: sounding, phase: loaded}", "6:26 two-conditions 'phase' does not belong in one condition with 'sentinel'. Write it as a condition of its own."),
    ("{readin: exhaust-pressure, above: 3 bar gauge}", "unknown-finding There is no finding or condition 'readin'."),
    ("{sentinel: loud}", "6:16 unknown-value 'sentinel' has no value 'loud'. Use one of: quiet, sounding."),
    ("just words", "6:5 wrong-shape Here stands a condition. Write {finding: value}."),
    ("{}", "wrong-shape Here stands a condition."),
    ("{reading: sentinel, above: 3 bar}", "not-a-reading 'sentinel' is not a number. Write {sentinel: value}."),
    ("{reading: exhaust-pressure}", "nothing-to-compare A comparison needs a limit."),
    ("{reading: exhaust-pressure, over: 3 bar gauge}", "two-conditions 'over' does not belong in one condition with 'reading'."),
    ("{count: [{sentinel: quiet}], at-least: 2}", "impossible-value 2 is not possible here. Give a number from 1 to 1."),
    ("{count: [{sentinel: quiet}]}", "missing-key 'at-least' is missing: say how many must hold."),
    ("{any-of: {sentinel: quiet}}", "wrong-shape 'any-of' holds a list of conditions."),
    ("{not: {machine: $a, sentinel: quiet}}", "machine-inside A machine cannot be bound inside another condition."),
    ("{machine: a, sentinel: quiet}", "not-a-variable 'a' is not a variable. Write a $ and a word, such as $a."),
    ("{machine: $a, sentinel: loud}", "unknown-value"),
    ("{machine: $a, header: $h}", "unknown-finding There is no finding or condition 'header'."),
    ("{machine: $a, sentinel: quiet, other-than: $b}", "2:9 unbound-variable No other machine is called $b."),
    ("{phase: running}", "unknown-word 'running'"),
    ("{feature: valve}", "unknown-feature"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "says"), FAULTS)
def test_a_faulty_condition_is_told(text, says, pure):
    """A problem with its place says this, and names only the rule's file."""
    lines = told(rule(text), pure=pure)
    assert any(says in line for line in lines), lines
    assert all(line.startswith("rules/x0.yaml:") for line in lines)


def test_a_rule_with_an_unreadable_condition_is_left_out():
    """Without one of its conditions a rule would hold too often."""
    knowledge, problems = loaded(rule("{phase: loaded}", "{sentinel: loud}"))
    assert problems
    assert "r" not in knowledge.rules

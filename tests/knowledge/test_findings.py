"""Findings and conditions."""

import pytest

from diagnose.knowledge.model import PHASES, Reading

from .samples import FINDING, loaded, told


def with_finding(rest, finding=FINDING):
    return f"findings: {{a: {{{finding}, {rest}}}}}"


FAULTS = [
    (with_finding("values: {x: normal, y: abnormal}", "ask: 'What?', source: from memory"), "missing-key 'how' is missing: say how an operator finds it out safely."),
    (with_finding("phases: [loaded]"), "1:12 values-or-reading A finding has 'values' or a 'reading', one of the two."),
    (with_finding("values: {x: normal, y: abnormal}, reading: {unit: C, plausible: [0, 9]}"), "values-or-reading"),
    (with_finding("values: {x: normal}"), "too-few-values A finding needs two values at least."),
    (with_finding("values: {x: abnormal, y: abnormal}"), "one-normal-value None of the values is normal; exactly one must be."),
    (with_finding("values: {x: normal, y: normal}"), "one-normal-value 2 of the values are normal; exactly one must be."),
    (with_finding("values: {x: normal, y: bad}"), "unknown-word 'bad'"),
    (with_finding("values: {x: normal, can't tell: abnormal}"), "reserved-value \"can't tell\" is an answer of its own.".replace('"', "'")),
    (with_finding("reading: {unit: bar, plausible: [0]}"), "too-few At least 2 must stand here."),
    (with_finding("reading: {unit: psi, plausible: [0, 9]}"), "unknown-unit 'psi' is not one of the units that readings are kept in. Pressures are kept in 'bar gauge', 'bar absolute' or, for a difference, 'bar'."),
    (with_finding("reading: {unit: bar guage, plausible: [0, 9]}"), "Did you mean 'bar gauge'?"),
    (with_finding("reading: {unit: C, plausible: [9, 0]}"), "plausible-range 'plausible' must begin with the least. Write [0, 9]."),
    (with_finding("reading: {unit: C, plausible: [-300, 9]}"), "impossible-value -300 C is less than can be. The least possible is -273.15 C."),
    (with_finding("reading: {unit: bar gauge, plausible: [-2, 9]}"), "impossible-value -2 bar gauge is less than can be."),
    (with_finding("reading: {unit: C, plausible: [0, 9], accuracy: -1}"), "impossible-value 'accuracy' must be"),
    (with_finding("reading: {unit: C, plausible: [0, 9, 10]}"), "plausible-range"),
    (with_finding("reading: {unit: C, plausible: [0, 9], limit: 3}"), "unknown-key 'limit' is not a key of a reading."),
    ("conditions: {c: {title: T, judged-from: [c], source: from memory}}", "judged-from-condition 'c' is judged from itself."),
    ("conditions: {c: {title: T, judged-from: [exhaust-level], source: from memory}}", "judged-from-condition 'c' is judged from the condition 'exhaust-level'."),
    ("conditions: {c: {title: T, judged-from: [exhaust-presure], source: from memory}}", "Did you mean 'exhaust-pressure'?"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "says"), FAULTS)
def test_a_faulty_finding_is_told(text, says, pure):
    """A problem in the added file says this; nothing is said of other files."""
    lines = told(text, pure=pure)
    assert any(says in line for line in lines), lines
    assert all(line.startswith("rules/x0.yaml:1:") for line in lines)
    assert len(lines) == 1


def test_a_finding_is_read_in_full():
    """Every key has its effect, in minutes and probabilities."""
    finding = loaded()[0].findings["bearing-oil-look"]
    assert finding.values == {"clear": True, "milky": False, "dark": False}
    assert finding.normal == "clear"
    assert finding.phases == {"pre-start", "loaded"}
    assert finding.needs == {"ring-oiled-bearings"}
    assert (finding.effort, finding.hazard, finding.can_tell, finding.misread) == (3.0, "none", 0.80, 0.05)
    assert finding.also_called == ("white oil", "oil like coffee with cream")
    assert not finding.concluded


def test_what_is_left_out_takes_its_default():
    """All phases, one minute, no hazard, operator, almost always, seldom."""
    finding = loaded()[0].findings["sentinel"]
    assert finding.phases == frozenset(PHASES)
    assert (finding.effort, finding.hazard, finding.who) == (1.0, "none", "operator")
    assert (finding.can_tell, finding.misread) == (0.985, 0.02)


def test_a_reading_knows_the_condition_that_judges_it():
    """Both ends of judged-from are joined; a reading that nothing judges stands alone."""
    findings = loaded()[0].findings
    assert findings["exhaust-pressure"].reading == Reading("bar gauge", (-1.0, 30.0), 0.2)
    assert findings["exhaust-pressure"].judged_as == "exhaust-level"
    assert findings["exhaust-level"].judged_from == ("exhaust-pressure",)
    assert findings["bearing-temperature"].judged_as is None


def test_a_condition_without_values_is_true_or_false():
    """False is the normal one."""
    condition = loaded()[0].findings["shared-header-problem"]
    assert condition.values == {"false": True, "true": False}
    assert condition.concluded


def test_bounds_may_carry_the_unit():
    """``0.2 bar gauge`` and 0.2 are the same accuracy; another unit is not."""
    knowledge, problems = loaded(with_finding("reading: {unit: mm, plausible: [0 mm, 9], accuracy: 0.2 mm}"))
    assert not problems
    assert knowledge.findings["a"].reading == Reading("mm", (0.0, 9.0), 0.2)

"""Evidence counted twice."""

import pytest

from .samples import told

SAME = "rules: [{{rule: r, source: from memory, symptom: {{bearing-oil-look: milky}}, causes: {{cooling-jacket-leak: rarely}}{}}}]"
JUDGED = """
conditions: {{oil-bad: {{title: T, judged-from: [bearing-oil-look], source: from memory}}}}
rules:
- {{rule: r, source: from memory, symptom: {{oil-bad: "true"}}, causes: {{cooling-jacket-leak: rarely}}{}}}
"""


def test_two_rules_with_causes_for_one_observation_are_told(pure):
    """The later rule is the fault, and names the earlier."""
    lines = told(SAME.format(""), pure=pure)
    assert len(lines) == 1
    assert "1:16 evidence-counted-twice 'bearing-oil-look: milky' has causes in the rule 'milky-oil' too" in lines[0]


@pytest.mark.parametrize("apart", [", lacks: [ring-oiled-bearings]", ", phases: [shutdown]"])
def test_rules_that_never_hold_together_are_no_fault(apart, pure):
    """Phases or features that exclude each other keep two rules apart."""
    other = f"""
findings: {{a: {{ask: "Q?", how: H, values: {{x: normal, y: abnormal}}, source: from memory}}}}
rules:
- {{rule: p, source: from memory, symptom: {{a: y}}, causes: {{cooling-jacket-leak: rarely}}, needs: [ring-oiled-bearings], phases: [loaded]}}
- {{rule: q, source: from memory, symptom: {{a: y}}, causes: {{cooling-jacket-leak: rarely}}{apart}}}
"""
    assert told(other, pure=pure) == []
    assert len(told(other.replace(apart, ""), pure=pure)) == 1


def test_conditions_that_exclude_each_other_keep_rules_apart(pure):
    """The same attribute with other values under when."""
    other = """
findings: {a: {ask: "Q?", how: H, values: {x: normal, y: abnormal}, source: from memory}}
rules:
- {rule: p, source: from memory, symptom: {a: y}, causes: {cooling-jacket-leak: rarely}, when: [{sentinel: sounding}]}
- {rule: q, source: from memory, symptom: {a: y}, causes: {cooling-jacket-leak: rarely}, when: [{sentinel: quiet}]}
"""
    assert told(other, pure=pure) == []
    assert len(told(other.replace("quiet}]", "sounding}]"), pure=pure)) == 1


def test_a_condition_and_what_it_is_judged_from_do_not_both_have_causes(pure):
    """The rule on the finding is the fault."""
    lines = told(JUDGED.format(""), pure=pure)
    assert len(lines) == 1
    assert "evidence-counted-twice 'oil-bad' is judged from 'bearing-oil-look', and both have causes" in lines[0]
    assert lines[0].startswith("rules/sample.yaml:")


def test_a_rule_without_causes_counts_nothing(pure):
    """Cautions and actions for the same observation may stand in several rules."""
    text = "rules: [{rule: r, source: from memory, symptom: {bearing-oil-look: milky}, caution: casing-pressure-high}]"
    assert told(text, pure=pure) == []

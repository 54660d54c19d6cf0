"""Rules as a whole."""

import pytest

from .samples import loaded, told


def rule(rest, head="rule: r, source: from memory"):
    return f"rules: [{{{head}, {rest}}}]"


FAULTS = [
    (rule("symptom: {sentinel: sounding}"), "1:16 rule-does-nothing The rule 'r' does nothing. Add 'causes', 'conclude', 'caution' or 'actions'."),
    (rule("conclude: {exhaust-level: low}"), "1:16 rule-without-condition Nothing says when this rule holds. Add 'symptom' or 'when'."),
    (rule("when: [{phase: loaded}], causes: {cooling-jacket-leak: usually}"), "1:65 causes-without-symptom 'causes' means nothing without 'symptom'."),
    (rule("symptom: {sentinel: sounding}, otherwise: rarely, caution: casing-pressure-high"), "'otherwise' means nothing without 'causes'."),
    (rule("symptom: {bearing-oil-look: dark, sentinel: quiet}, caution: casing-pressure-high"), "1:49 one-symptom A symptom is one finding with one value."),
    (rule("symptom: {bearing-oil-look: clear}, causes: {cooling-jacket-leak: usually}"), "1:40 symptom-is-normal 'clear' is the normal value of 'bearing-oil-look': no cause shows it."),
    (rule("when: [{phase: loaded}], conclude: {sentinel: quiet}"), "conclude-a-finding 'sentinel' is asked of the operator; a rule cannot conclude it."),
    (rule("symptom: {bearing-oil-look: dark}, causes: {cooling-jacket-leak: often}"), "unknown-word 'often' is not one of the words for this."),
    (rule("symptom: {bearing-oil-look: dark}, causes: {cooling-jacket-leak: {source: from memory}}"), "missing-key 'seen' is missing: a linked cause needs it."),
    (rule("symptom: {bearing-oil-look: dark}, causes: [cooling-jacket-leak]"), "wrong-shape Here stands 'cause: frequency word'."),
    (rule("caution: casing-pressure-high, when: [{machine: $a, sentinel: quiet}, {machine: $a, exhaust-level: high}]"), "variable-bound-twice Two conditions bind the same machine."),
    (rule("symptom: {bearing-oil-look: [dark, milky]}, caution: casing-pressure-high"), "wrong-shape Here stands a value, not a list."),
    ("rules: [{rule: r, when: [{phase: loaded}], caution: casing-pressure-high}]", "missing-key 'source' is missing: a rule needs it."),
    (rule("when: [{phase: loaded}], caution: casing-pressure-high, status: maybe"), "unknown-word 'maybe'"),
    (rule("when: [{phase: loaded}], caution: casing-pressure-high, date: 2024-02-30"), "not-a-day '2024-02-30' is not a day. Write it as 2024-05-02."),
]  # fmt: skip


@pytest.mark.parametrize(("text", "says"), FAULTS)
def test_a_faulty_rule_is_told_once(text, says, pure):
    """One problem with its place says this."""
    lines = told(text, pure=pure)
    assert len(lines) == 1, lines
    assert says in lines[0]


def test_a_rule_with_symptom_causes_and_actions_is_read_in_full():
    """Words become probabilities by the scale; a link has its own source or the rule's."""
    rule = loaded()[0].rules["valve-sounds"]
    assert rule.symptom == ("sentinel", "sounding")
    links = [(link.cause, link.word, link.probability, link.source) for link in rule.links]
    assert links == [
        ("header-pressure-high", "usually", 0.80, "common practice"),
        ("sentinel-maladjusted", "almost always", 0.985, "notice-2001-19"),
    ]
    assert (rule.otherwise, rule.otherwise_word) == (0.025, "rarely")
    assert rule.cautions == ("casing-pressure-high",)
    assert rule.actions[0].who == "operator"
    assert rule.phases == {"run-up", "loaded"}
    assert not rule.draft


def test_otherwise_is_almost_never_unless_it_is_said():
    """A symptom without its own leak is hardly ever seen with none of its causes."""
    assert loaded()[0].rules["milky-oil"].otherwise == 0.004


def test_rules_keep_the_order_of_the_files():
    """The first rule of the first file is nought, and so on."""
    rules = loaded(rule("when: [{phase: loaded}], caution: casing-pressure-high"))[0].rules
    assert [one.order for one in rules.values()] == [0, 1, 2, 3, 4, 5]
    assert list(rules)[-1] == "r"


def test_a_rule_may_hold_for_a_whole_phase(pure):
    """Phases or features alone can be the condition of a caution."""
    assert told(rule("phases: [pre-start], caution: casing-pressure-high"), pure=pure) == []


def test_link_places_point_at_the_cause():
    """A link keeps the line where its cause is named."""
    text = "rules:\n- rule: r\n  source: from memory\n  symptom: {bearing-oil-look: dark}\n  causes:\n    cooling-jacket-leak: usually\n"
    assert loaded(text)[0].rules["r"].links[0].place == ("rules/x0.yaml", 6, 5)

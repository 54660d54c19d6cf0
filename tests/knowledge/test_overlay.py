"""A site's rules over the shipped ones."""

from diagnose.knowledge.library import load_texts
from diagnose.values.problem import Place

from .samples import CAUSE, RULES, SITE


def over(text):
    return load_texts({"rules/sample.yaml": RULES}, {**SITE, "rules/own.yaml": text})


def test_a_site_adds():
    """A new cause stands beside the shipped ones, with the site's place."""
    knowledge, problems = over(f"causes:\n  own-cause: {{{CAUSE}}}\n")
    assert not problems
    assert knowledge.causes["own-cause"].place == Place("rules/own.yaml", 2, 3)
    assert "cooling-jacket-leak" in knowledge.causes
    assert not knowledge.overrides


def test_a_site_replaces_by_id_and_the_replaced_place_is_kept():
    """The site's version holds; what it replaced can be found."""
    knowledge, problems = over(f"causes:\n  cooling-jacket-leak: {{{CAUSE}}}\n")
    assert not problems
    assert knowledge.causes["cooling-jacket-leak"].title == "T"
    replaced = knowledge.overrides["cause cooling-jacket-leak"]
    assert RULES.splitlines()[replaced.line - 1] == "  cooling-jacket-leak:"
    assert replaced.file == "rules/sample.yaml"


def test_a_replaced_rule_keeps_its_place_in_the_order():
    """A rule's order is that of the rule it replaces, so that ties fall as before."""
    before, _ = load_texts({"rules/sample.yaml": RULES}, SITE)
    after, problems = over(
        "rules: [{rule: milky-oil, symptom: {bearing-oil-look: dark}, causes: {cooling-jacket-leak: rarely}, source: from memory}]"
    )
    assert not problems
    assert after.rules["milky-oil"].order == before.rules["milky-oil"].order
    assert after.rules["milky-oil"].symptom == ("bearing-oil-look", "dark")


def test_a_switched_off_cause_leaves_the_rules_that_name_it():
    """Links, and nothing else, go with the cause."""
    knowledge, problems = over("switch-off: [header-pressure-high]")
    assert not problems
    assert "header-pressure-high" not in knowledge.causes
    assert [link.cause for link in knowledge.rules["valve-sounds"].links] == ["sentinel-maladjusted"]
    assert knowledge.switched_off == {"cause header-pressure-high": Place("rules/own.yaml", 1, 14)}


def test_what_rests_on_a_switched_off_finding_goes_with_it():
    """A rule without one of its conditions would say more than it did, so it falls away and is listed."""
    knowledge, problems = over("switch-off: [exhaust-pressure]")
    assert not problems
    assert "exhaust-above-limit" not in knowledge.rules
    assert "rule exhaust-above-limit" in knowledge.switched_off
    assert knowledge.findings["exhaust-level"].judged_from == ()
    assert "valve-sounds" in knowledge.rules


def test_a_switched_off_caution_leaves_its_rule():
    """The rule still tells causes and actions."""
    knowledge, problems = over("switch-off: [casing-pressure-high]")
    assert not problems
    assert knowledge.rules["valve-sounds"].cautions == ()


def test_an_unknown_id_cannot_be_switched_off():
    """The nearest id is offered."""
    _, problems = over("switch-off: [milky-oill]")
    assert problems[0].code == "unknown-switch-off"
    assert problems[0].mend == "Did you mean 'milky-oil'?"


def test_an_id_of_two_things_must_say_which():
    """A rule and a cause of one id are told apart by a word in front."""
    both = f"causes: {{milky-oil: {{{CAUSE}}}}}\n"
    _, problems = over(both + "switch-off: [milky-oil]")
    assert [p.code for p in problems] == ["switch-off-which"]
    assert "'rule milky-oil'" in problems[0].mend
    knowledge, problems = over(both + "switch-off: [rule milky-oil]")
    assert not problems
    assert "milky-oil" in knowledge.causes
    assert "milky-oil" not in knowledge.rules


def test_shipped_rules_cannot_switch_off():
    """Only a site may."""
    _, problems = load_texts({"rules/sample.yaml": RULES, "rules/b.yaml": "switch-off: [milky-oil]"})
    assert [p.code for p in problems] == ["switch-off-in-shipped"]


def test_an_id_stands_once_in_a_layer_and_both_entries_are_checked():
    """The second is reported with the place of the first, and its own faults too."""
    _, problems = load_texts(
        {"rules/sample.yaml": RULES, "rules/z.yaml": "cautions: {casing-pressure-high: {rank: watch, say: S, do: D}}"}
    )
    assert [p.code for p in problems] == ["duplicate-id", "missing-key"]
    assert "rules/sample.yaml:" in problems[0].says

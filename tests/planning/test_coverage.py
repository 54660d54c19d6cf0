"""What the cases exercise, and which wrongs they notice."""

import pytest

from diagnose.planning.ambiguity import ambiguities
from diagnose.planning.case_run import run_case
from diagnose.planning.coverage import Tried, cases_for, covered, tally
from diagnose.planning.mutation import mutants, with_rule
from diagnose.planning.simulated import simulated
from tests.planning.samples import cases, knowledge

KNOWN = knowledge()
CASES = cases(KNOWN)
RUNS = {case.id: run_case(case, KNOWN, rules=True) for case in CASES}
TWINS = """
causes:
  gland-steam-two:
    title: Gland steam again
    how-common: seldom
    if-left: Water collects.
    put-right: [{who: maintenance, do: Look.}]
    source: common practice
rules:
  - rule: knocks-by-gland
    symptom: {noise: knocking}
    causes: {gland-steam: usually, gland-steam-two: usually}
    source: common practice
  - rule: sample-by-gland
    symptom: {oil-sample: water}
    causes: {gland-steam-two: almost always}
    source: common practice
"""


def test_coverage_tells_what_no_case_reaches():
    """The rules that held, the causes the cases have and the cautions raised are exercised; the others are listed."""
    found = covered(KNOWN, CASES, RUNS)
    assert found.untested["causes"] == ("gland-steam",)
    assert found.untested["cautions"] == ()
    assert {"milky-oil", "exhaust-above", "exhaust-high"}.isdisjoint(found.untested["rules"])
    assert "knocks" in found.untested["rules"]
    assert "milky-oil: gland-steam" in found.untested["links"]
    assert found.share("causes") == pytest.approx(2 / 3)


def test_every_mutant_differs_from_its_rule():
    """Each changes exactly one rule, and changes it; all kinds of wrongs are there."""
    made = list(mutants(KNOWN))
    assert all(one.changed != KNOWN.rules[one.rule] and one.changed.id == one.rule for one in made)
    kinds = {one.kind for one in made}
    assert {
        "caution dropped",
        "condition negated",
        "conclusion changed",
        "link removed",
        "link up",
        "link down",
    } <= kinds


@pytest.mark.parametrize("kind", ["caution dropped", "link removed"])
def test_the_cases_notice_a_caution_or_a_link_that_is_gone(kind):
    """Of the mutants of what the cases are about, each makes one of them look different."""
    about = [one for one in mutants(KNOWN) if one.kind == kind and one.rule in ("milky-oil", "exhaust-high")]
    noticed = {
        one.says
        for one in about
        for case in cases_for(one, KNOWN, CASES, RUNS, 2)
        if run_case(case, with_rule(KNOWN, one.changed)).seen() != RUNS[case.id].seen()
    }
    assert noticed >= (
        {"water-in-oil", "casing-pressure"} if kind == "caution dropped" else {"jacket-leak", "exhaust-shut"}
    )


def test_no_case_is_tried_on_a_rule_that_it_has_nothing_to_do_with():
    """A mutant of the knocking rule finds no case: nothing in them speaks of noise."""
    mutant = next(one for one in mutants(KNOWN) if one.rule == "second-gauge")
    assert cases_for(mutant, KNOWN, [case for case in CASES if case.id == "oil-milky"], RUNS, 5) == []


def test_the_tally_counts_by_kind():
    """Tried, noticed and failing mutants of each kind."""
    one, other = list(mutants(KNOWN))[:2]
    rows = tally(
        [Tried(one, "a", fails=True), Tried(one, "", fails=False), Tried(other._replace(kind="x"), "b", fails=False)]
    )
    assert rows[one.kind] == (2, 1, 1, 1)
    assert rows["x"] == (1, 1, 0, 1)


def test_causes_that_an_operator_cannot_tell_apart_name_the_check_that_can():
    """Two causes alike in all an operator sees; the laboratory's sample separates them."""
    (pair,) = [one for one in ambiguities(knowledge(TWINS)) if one.causes == ("gland-steam", "gland-steam-two")]
    assert pair.overlap > 0.5
    assert (pair.check, pair.who) == ("oil-sample", "maintenance")


def test_drawn_consultations_are_the_same_for_the_same_seed():
    """The seed decides; every case begins with something abnormal that can be asked."""
    machine = KNOWN.site.machines["P-1"]
    one, again, other = (list(simulated(KNOWN, machine, "loaded", 5, seed)) for seed in (1, 1, 2))
    assert one == again != other
    for case in one:
        ((finding, value),) = case.reported.items()
        assert KNOWN.findings[finding].values[value] is False
        assert run_case(case, KNOWN).failed == ""


def test_a_join_is_not_robbed_of_the_machine_that_another_must_differ_from():
    """Such a rule is refused when it is loaded, so it is no mutant; its other conditions are dropped all the same."""
    joined = knowledge("""
conditions:
  both-milky: {title: Both milky, values: {"false": normal, "true": abnormal}, source: common practice}
rules:
  - rule: two-milky
    when:
      - {machine: $a, oil-look: milky, oil-batch: $o}
      - {machine: $b, oil-look: milky, oil-batch: $o, other-than: $a}
    conclude: {both-milky: "true"}
    source: common practice
""")
    dropped = [one for one in mutants(joined) if (one.rule, one.kind) == ("two-milky", "condition dropped")]
    assert [one.says for one in dropped] == ["condition 2 of 2"]

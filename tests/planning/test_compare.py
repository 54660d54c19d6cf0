"""What changes for people between two sets of rules."""

from diagnose.planning.case_run import run_case
from diagnose.planning.compare import compared, shift
from diagnose.planning.slices import slice_of
from tests.planning.samples import cases, knowledge

NO_CAUTION = """
rules:
  - rule: milky-oil
    symptom: {oil-look: milky}
    causes: {jacket-leak: usually, gland-steam: sometimes}
    source: common practice
"""
TURNED = NO_CAUTION.replace(
    "jacket-leak: usually, gland-steam: sometimes", "jacket-leak: rarely, gland-steam: usually"
).replace("    source", "    caution: water-in-oil\n    source")


def comparison(example):
    before, after = knowledge(), knowledge(example)
    runs = [{case.id: run_case(case, one) for case in cases(one)} for one in (before, after)]
    return compared(before, after, *runs)


def test_the_same_rules_change_nothing():
    """No change, no thing, no pair; every case is counted."""
    found = comparison("")
    assert (found.changes, found.things, found.ambiguous, found.cases) == ((), (), (), 2)


def test_a_lost_caution_stands_first():
    """The case that must raise it fails, and the loss is told before that."""
    kinds = [one.kind for one in comparison(NO_CAUTION).changes]
    assert kinds[:2] == ["caution lost", "now fails"]


def test_turned_words_change_the_leading_cause():
    """The other cause leads, the true one falls in rank, and the rule is named as changed."""
    found = comparison(TURNED)
    assert {"rank", "leading cause", "now fails"} <= {one.kind for one in found.changes}
    assert found.things == ("rule milky-oil changed",)
    assert all(0 <= one.shift <= 1 for one in found.changes)


def test_only_the_case_concerned_changes():
    """The other case has no row."""
    assert {one.case for one in comparison(TURNED).changes} == {"oil-milky"}


def test_the_shift_is_half_the_sum_of_differences():
    """Probability that moves from one cause wholly to another is a shift of that much."""
    run = run_case(cases(knowledge())[0], knowledge())
    moved = run._replace(ranking=(("a", 0.75), ("b", 0.25)))
    assert shift(moved, moved._replace(ranking=(("a", 0.25), ("b", 0.75)))) == 0.5


def test_a_slice_changes_only_with_what_matters_to_the_machine():
    """A word of a rule changes it; where the rule stands, or a rule for other machines, does not."""
    machine = knowledge().site.machines["P-1"]
    plain = slice_of(knowledge(), machine, "loaded")
    other = "features: {gear: {title: Gear}}\nrules: [{rule: r, needs: [gear], symptom: {noise: knocking}, caution: water-in-oil, source: common practice}]"
    assert slice_of(knowledge(TURNED), machine, "loaded") != plain
    assert slice_of(knowledge(other), machine, "loaded") == plain
    assert slice_of(knowledge(other), machine._replace(features=machine.features | {"gear"}), "loaded") != plain


def test_a_case_about_what_the_rules_do_not_know_is_told_and_not_run():
    """A case of today under the rules of another day, which have not its finding."""
    known = knowledge()
    (case, _) = cases(known)
    old = known._replace(findings={name: one for name, one in known.findings.items() if name != "oil-level"})
    assert run_case(case, old).failed == "These rules do not know oil-level."
    found = compared(old, known, {case.id: run_case(case, old)}, {case.id: run_case(case, known)})
    assert "now passes" in [one.kind for one in found.changes]

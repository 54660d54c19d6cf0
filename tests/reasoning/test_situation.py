"""Knowledge put to work: compiled rules, grading of numbers, the active network, hard logic."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnose.knowledge import library
from diagnose.knowledge.model import PHASES
from diagnose.reasoning.compile import always_in_force, engine_rules, fits
from diagnose.reasoning.grading import graded, holds
from diagnose.reasoning.network import active_causes
from diagnose.reasoning.situation import Said, Situation
from tests.knowledge_samples import MACHINE, RULES, SITE, sample


def with_rules(more: str, machine: str = ""):
    """Load the sample with further rules, which must be right, and maybe another profile of P-1."""
    site = {**SITE, "machines/P-1.yaml": machine} if machine else SITE
    knowledge, problems = library.load_texts({"rules/sample.yaml": RULES, "rules/more.yaml": more}, site)
    assert not problems, "\n".join(problem.line() for problem in problems)
    return knowledge


def situation(knowledge=None, phase="loaded", *said):
    knowledge = knowledge or sample()
    return Situation(knowledge, knowledge.site.machines["P-1"], phase, said)


def test_a_rule_of_other_phases_is_not_in_force():
    """The plume counts while running and not at standby."""
    assert "heavy-plume" in [rule.id for rule in situation(phase="loaded").in_force()]
    assert "heavy-plume" not in [rule.id for rule in situation(phase="standby").in_force()]


def test_a_rule_for_a_feature_the_machine_lacks_is_left_out():
    """P-2 has no sentinel valve, so a caution of such a rule can never be raised on it."""
    more = (
        "rules:\n  - rule: needs-sentinel\n    needs: [sentinel-valve]\n    when: [{oil-look: foamy}]\n"
        "    caution: watch-it\n    source: common practice\n"
    )
    knowledge = with_rules(more)
    machines = knowledge.site.machines
    for name, expected in (("P-1", ["watch-it"]), ("P-2", [])):
        assert Situation(knowledge, machines[name], "loaded", [Said("oil-look", "foamy")]).cautions() == expected


def test_a_limit_the_machine_does_not_state_never_holds():
    """Without exhaust-pressure-max the rules judge nothing, and the number stands unjudged."""
    bare = MACHINE.format(name="P-1", title="Bare", features="ring-oiled-bearings").replace(
        "limits: {exhaust-pressure-max: 2.6 bar gauge}\n", ""
    )
    knowledge = with_rules("rules: []\n", bare)
    judged = Situation(knowledge, knowledge.site.machines["P-1"], "loaded", [Said("exhaust-pressure", number=9.0)])
    assert judged.values("exhaust-level") == frozenset()


@pytest.mark.parametrize(
    ("condition", "expected"),
    [
        ("{count: [{oil-look: milky}, {oil-level: low}, {bearing-noise: growling}], at-least: 2}", True),
        ("{count: [{oil-look: milky}, {oil-level: rising}, {bearing-noise: growling}], at-least: 2}", False),
        ("{unknown: sentinel}", True),
        ("{unknown: oil-look}", False),
        ("{not: {oil-look: clear}}", True),
        ("{any-of: [{oil-look: clear}, {all-of: [{oil-level: low}, {feature: sentinel-valve}]}]}", True),
        ("{feature: jacket-cooling}", True),
        ("{phase: [standby, loaded]}", True),
        ("{phase: standby}", False),
        ("{reading: exhaust-pressure, above: 105 % of machine.rated-exhaust-pressure}", True),
        ("{reading: exhaust-pressure, above: machine.rated-exhaust-pressure + 1 bar}", False),
        ("{reading: exhaust-pressure, at-most: 2.5 bar gauge}", True),
    ],
)
def test_every_kind_of_condition_means_what_it_says(condition, expected):
    """A caution rule with the condition fires exactly when it holds; engine and direct evaluation agree."""
    knowledge = with_rules(
        f"rules:\n  - rule: probe\n    when: [{condition}]\n    caution: probed\n    source: common practice\n"
        "cautions:\n  probed: {rank: watch, say: Probed., do: Look., procedure: rounds, source: common practice}\n"
    )
    said = (Said("oil-look", "milky"), Said("oil-level", "low"), Said("exhaust-pressure", number=2.5))
    held = situation(knowledge, "loaded", *said)
    assert ("probed" in held.cautions()) is expected
    known = {"phase": frozenset({"loaded"})}
    rule = knowledge.rules["probe"]
    directly = all(holds(one, held.machine, lambda name: known.get(name) or held.values(name)) for one in rule.when)
    assert directly is expected


def test_a_number_on_its_limit_is_as_likely_the_one_as_the_other():
    """Exactly on the limit, half of what the gauge may really have seen lies on each side."""
    knowledge = sample()
    machine = knowledge.site.machines["P-1"]
    rules = knowledge.rules.values()
    weights = graded("exhaust-level", "exhaust-pressure", 2.6, 0.05, rules, machine, lambda _: frozenset())
    assert weights["high"] == pytest.approx(0.5, abs=0.02)
    assert sum(weights.values()) == pytest.approx(1)


def test_without_an_accuracy_a_number_is_what_it_is():
    """An exact reading is judged outright."""
    knowledge = sample()
    machine = knowledge.site.machines["P-1"]
    weights = graded(
        "exhaust-level", "exhaust-pressure", 2.61, 0.0, knowledge.rules.values(), machine, lambda _: frozenset()
    )
    assert weights == {"high": 1.0}


def test_an_exclusion_is_hard_logic_and_goes_with_its_answer():
    """A normal exhaust rules the header out altogether; taking the answer back lets it in again."""
    held = situation(None, "loaded", Said("sentinel", "sounding"))
    held.say(Said("exhaust-level", "normal"))
    assert dict(held.ranking())["header-high"] == 0
    held.unsay("exhaust-level")
    assert dict(held.ranking())["header-high"] > 0.1


def test_an_unsure_answer_excludes_nothing():
    """Hard logic wants a sure answer."""
    held = situation(None, "loaded", Said("sentinel", "sounding"), Said("exhaust-level", "normal", sure=False))
    assert dict(held.ranking())["header-high"] > 0


def test_an_unsure_answer_still_raises_its_caution():
    """Safety does not wait for certainty."""
    assert "bearing-failing" in situation(None, "loaded", Said("bearing-noise", "growling", sure=False)).cautions()


def test_a_complaint_no_cause_shows_speaks_for_something_else():
    """An abnormal finding that no active cause shows makes 'not covered' the likeliest row."""
    more = (
        "findings:\n  smell:\n    ask: What does it smell of?\n    how: Sniff from upwind.\n"
        "    values: {nothing: normal, almonds: abnormal}\n    source: common practice\n"
    )
    held = situation(with_rules(more), "loaded", Said("smell", "almonds", volunteered=True))
    assert held.ranking()[0][0] == ""


def test_a_cause_that_leads_to_another_is_half_expected_with_it():
    """A worn ring taken for certain leaves the oil wetted by it as often as the rules say."""
    cause = "{title: T, how-common: seldom, if-left: I, put-right: [{who: maintenance, do: D}], source: common practice"
    rows = f"causes: {{first: {cause}, leads-to: {{second: sometimes}}}}, second: {cause}}}}}"
    known = situation(with_rules(rows))
    apart = {name for name in known.causes if name not in ("first", "second")}
    alone = Situation(known.knowledge, known.machine, "loaded", put_right=apart)
    both = dict(alone.ranking())
    held = alone.belief.pair_share / (both["first"])
    assert held == pytest.approx(0.2, abs=1e-9)


def test_causes_are_active_by_feature_and_phase():
    """A cause that needs jackets is active only on a machine that has them."""
    knowledge = sample()
    machines = knowledge.site.machines
    assert "jacket-leak" in active_causes(knowledge, machines["P-1"], "loaded")
    assert "jacket-leak" not in active_causes(knowledge, machines["P-2"], "loaded")


def test_what_is_always_in_force_needs_no_engine_rule():
    """A symptom rule without gates has no in-force rule, one with phases has exactly one."""
    knowledge = sample()
    machine = knowledge.site.machines["P-1"]
    made = engine_rules(knowledge.rules.values(), dict(knowledge.cautions), [machine])
    gated = [rule.id for rule in made if "/in-force/" in rule.id]
    assert gated == ["heavy-plume/in-force/P-1"]
    assert always_in_force(knowledge.rules["milky-oil"], machine)


def test_fitting_wants_all_needs_and_no_lack():
    """Needs are all wanted, lacks all unwanted."""
    features = frozenset({"a", "b"})
    assert fits(["a"], ["c"], features)
    assert not fits(["a", "c"], [], features)
    assert not fits([], ["b"], features)


def test_the_sample_covers_every_phase():
    """The phases that rules take when they name none are all there are."""
    assert frozenset(PHASES) == sample().rules["milky-oil"].phases


def all_of(known):
    """Everything that a situation tells, to compare to the last bit."""
    return known.ranking(), known.cautions(), known.in_force(), dict(known.gains), known.steps, known.belief.conflict()


SHIPPED = library.load(site=library.demo_site()).knowledge
WORDED = [
    (finding.id, value)
    for finding in SHIPPED.findings.values()
    for value in finding.values
    if finding.who == "operator" and not finding.concluded and not finding.reading
]
SAYINGS = st.tuples(st.sampled_from(WORDED), st.booleans(), st.booleans())


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(sorted(SHIPPED.site.machines)), st.lists(SAYINGS, max_size=10), st.data())
def test_what_was_said_and_taken_back_leaves_no_trace(machine, sayings, data):
    """With the shipped rules, links coming in force and going: as if only what stands had been said, in its order."""
    lived = Situation(SHIPPED, SHIPPED.site.machines[machine], "loaded")
    for (finding, value), sure, volunteered in sayings:
        lived.say(Said(finding, value, sure=sure, volunteered=volunteered))
        if data.draw(st.booleans()):
            _ = lived.gains
        if data.draw(st.integers(0, 4)) == 0:
            lived.unsay(data.draw(st.sampled_from(sorted(lived.said))))
    fresh = Situation(SHIPPED, SHIPPED.site.machines[machine], "loaded", lived.said.values())
    assert all_of(lived) == all_of(fresh)

"""Which question comes next: what may stop the machine first, then the most telling a minute, and when to end."""

from __future__ import annotations

from dataclasses import replace
from itertools import islice

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnose.consultation import next_question
from diagnose.consultation.next_question import (
    ENOUGH,
    NOT_COVERED,
    ROUND_TRIP,
    STOP_CHANCE,
    UNLIKELY,
    WORTH_ASKING,
    best,
    candidates,
    decided,
    ends,
    first_of,
    referred,
)
from diagnose.knowledge import library
from diagnose.reasoning.compile import fits
from diagnose.reasoning.situation import Said, Situation
from tests.knowledge_samples import sample

SIGNS = next_question.caution_signs(sample())
OPERATORS = ("oil-look", "oil-level", "gland-plume", "sentinel", "bearing-noise")


def situation(machine: str = "P-1", phase: str = "loaded", **said: str) -> Situation:
    """Return a situation of the sample plant; the first thing said is the complaint."""
    told = [(name.replace("_", "-"), value) for name, value in said.items()]
    stands = [Said(name, value, volunteered=not at) for at, (name, value) in enumerate(told)]
    return Situation(sample(), sample().site.machines[machine], phase, stands)


def open_now(here: Situation, *closed: str) -> dict[str, next_question.Candidate]:
    return {one.finding: one for one in candidates(here, SIGNS, frozenset({*here.said, *closed}))}


@st.composite
def histories(draw):
    """Draw a machine, a phase, and answers to some of the operator's questions."""
    findings = sample().findings
    asked = draw(st.lists(st.sampled_from(OPERATORS), unique=True, max_size=4))
    said = [Said(name, draw(st.sampled_from(list(findings[name].values)))) for name in asked]
    machine = sample().site.machines[draw(st.sampled_from(["P-1", "P-2"]))]
    return Situation(sample(), machine, draw(st.sampled_from(["standby", "run-up", "loaded"])), said)


shares = st.lists(st.floats(0.0, 1.0), min_size=1, max_size=6)


# ---- what may be asked


@settings(max_examples=60, deadline=None)
@given(histories(), st.sets(st.sampled_from(OPERATORS)))
def test_only_what_this_operator_can_answer_here_and_has_not_is_open(here, closed):
    """No question is open that is closed, is another's to answer, or fits neither machine nor phase."""
    for one in candidates(here, SIGNS, frozenset(here.said) | closed):
        finding = sample().findings[one.finding]
        assert one.finding not in closed
        assert one.finding not in here.said
        assert finding.who == "operator"
        assert here.phase in (finding.asked_in or finding.phases)
        assert fits(finding.needs, finding.lacks, here.machine.features)


@settings(max_examples=60, deadline=None)
@given(histories())
def test_worth_is_bits_a_minute_times_the_chance_to_be_answered(here):
    """The minutes are the question's own and those of the way there; the bits are the belief's own gain."""
    for one in candidates(here, SIGNS, frozenset(here.said)):
        finding = sample().findings[one.finding]
        assert one.bits == pytest.approx(here.belief.gain(one.node))
        assert one.worth == pytest.approx(finding.can_tell * one.bits / (ROUND_TRIP + finding.effort))
        assert 0.0 <= one.stop_chance <= 1.0


def test_a_condition_is_asked_by_the_first_reading_that_can_still_be_taken():
    """The exhaust level is asked by its gauge; once that cannot be told, there is no question for it."""
    here = situation(oil_look="milky")
    assert open_now(here)["exhaust-pressure"].node == "exhaust-level"
    assert "exhaust-level" not in {one.node for one in open_now(here, "exhaust-pressure").values()}


def test_another_way_to_judge_a_condition_is_asked_when_the_first_cannot_be_told():
    """Bearing heat is asked by one thermometer, then by the other, then by hand."""
    knowledge = library.load(site=library.demo_site()).knowledge
    here = Situation(knowledge, knowledge.site.machines["BFP-2"], "loaded")
    closed: list[str] = []
    for _ in range(3):
        closed += [one.finding for one in candidates(here, (), frozenset(closed)) if one.node == "bearing-heat"]
    assert closed == ["bearing-temperature-drive-end", "bearing-temperature-governor-end", "bearing-feel"]


def test_what_is_not_the_operators_is_referred_by_its_worth_and_only_once():
    """The laboratory is referred to after milky oil, not when it tells nothing, and not after it has answered."""
    here = situation(oil_look="milky")
    rows = referred(here, frozenset(here.said))
    assert [finding.id for finding, _ in rows] == ["oil-sample"]
    assert all(bits >= WORTH_ASKING for _, bits in rows)
    assert referred(here, frozenset({"oil-look", "oil-sample"})) == []


# ---- which comes first


def test_the_question_that_tells_the_likely_causes_apart_comes_first():
    """After milky oil the level or the plume is asked, which tell a leaking jacket from gland steam."""
    here = situation(oil_look="milky")
    assert best(here, (), frozenset(here.said)).finding in ("oil-level", "gland-plume")


def test_a_likely_sign_of_danger_comes_before_a_more_telling_question():
    """Where a growl is likely enough, the bearing's sound is asked before what would tell more a minute."""
    here = situation(oil_level="low")
    chances = open_now(here)
    growl = chances["bearing-noise"]
    assert growl.stop_chance > 0.0
    others = [replace(one, worth=growl.worth * 10.0, bits=0.5) for one in chances.values() if one is not growl]
    doubtful, unlikely = (replace(growl, stop_chance=STOP_CHANCE * factor) for factor in (1.01, 0.99))
    assert first_of(here.belief, [*others, doubtful]) is doubtful
    assert first_of(here.belief, [*others, unlikely]) is not unlikely


def test_only_what_would_stop_the_machine_is_a_sign_of_danger():
    """Milky oil calls the supervisor and no more; only the bearing's sound may stop the machine."""
    assert [name for name, one in open_now(situation()).items() if one.stop_chance] == ["bearing-noise"]


@st.composite
def questions(draw):
    """Draw a few questions of one situation with worths and stop chances of their own."""
    here = situation(oil_look="milky")
    made = list(open_now(here).values())
    number = st.floats(0.001, 1.0)
    return here, [replace(one, bits=draw(number), worth=draw(number), stop_chance=draw(number)) for one in made]


@settings(max_examples=80, deadline=None)
@given(questions(), st.randoms())
def test_a_stop_in_doubt_is_never_passed_over_and_order_does_not_matter(drawn, random):
    """Whatever the worths, where a question may well stop the machine, such a one is put; however they are listed."""
    here, among = drawn
    chosen = first_of(here.belief, among)
    if any(one.stop_chance >= STOP_CHANCE for one in among):
        assert chosen.stop_chance >= STOP_CHANCE
    mixed = random.sample(among, len(among))
    assert first_of(here.belief, mixed) == chosen


def test_early_the_greatest_worth_decides():
    """While no cause has half of the belief, the greatest worth is put first."""
    here = situation()
    assert max(here.belief.marginals().values()) < next_question.NEARLY
    among = [replace(one, stop_chance=0.0) for one in open_now(here).values()]
    assert first_of(here.belief, among) is max(among, key=lambda one: one.worth)


def test_near_the_end_a_question_that_may_settle_it_is_preferred():
    """Of two questions of like worth the one whose answer can settle the matter is put, once a cause leads."""
    here = situation(oil_look="milky")
    assert not decided(here.belief, None)
    assert max(here.belief.marginals().values()) >= next_question.NEARLY
    chances = open_now(here)
    plume, noise = chances["gland-plume"], chances["bearing-noise"]
    alike = [replace(one, worth=0.1, bits=0.3, stop_chance=0.0) for one in (noise, plume)]
    assert first_of(here.belief, alike).finding == "gland-plume"


def test_nothing_to_ask_gives_no_question():
    """With no question open, or none that is worth its cost, none is put."""
    here = situation(oil_look="milky")
    assert first_of(here.belief, []) is None
    assert best(here, SIGNS, frozenset(sample().findings)) is None


@settings(max_examples=40, deadline=None)
@given(histories())
def test_a_question_put_is_worth_it_or_may_stop_the_machine(here):
    """No question is put that tells less than a fiftieth of a bit, unless a stop hangs on it."""
    put = best(here, SIGNS, frozenset(here.said))
    assert put is None or put.bits >= WORTH_ASKING or put.stop_chance >= STOP_CHANCE


def test_what_was_skipped_comes_when_nothing_else_does():
    """Each question skipped makes room for the next; when all are skipped the first comes again."""
    here = situation(oil_look="milky")
    skipped: list[str] = []
    while (put := best(here, (), frozenset(here.said), tuple(skipped))).finding not in skipped:
        skipped.append(put.finding)
    assert len(skipped) > 1
    assert put.finding == skipped[0]


# ---- when questions end


@pytest.mark.parametrize(
    ("found", "not_listed", "how"),
    [
        ([ENOUGH, 0.05], 0.05, "settled"),
        ([ENOUGH - 0.001, 0.05], 0.05, ""),
        ([0.95, UNLIKELY], 0.01, ""),
        ([0.95, UNLIKELY - 0.001], 0.01, "settled"),
        ([0.95, 0.05], UNLIKELY, ""),
        ([0.30, 0.05], NOT_COVERED, "not-covered"),
        ([0.30, 0.05], NOT_COVERED - 0.001, ""),
        ([0.95], 0.04, "settled"),
        ([], 1.0, "not-covered"),
    ],
)
def test_where_the_end_begins(found, not_listed, how):
    """One cause at 0.90 with every other and the unlisted below 0.20, or the unlisted at 0.60."""
    assert ends(found, not_listed) == how


@given(shares, st.floats(0.0, 1.0), st.randoms())
def test_the_end_does_not_depend_on_the_order_of_the_causes(found, not_listed, random):
    """Shares in another order end the same."""
    assert ends(found, not_listed) == ends(random.sample(found, len(found)), not_listed)


@given(shares, st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_a_second_likely_fault_never_ends_the_questions_as_settled(found, not_listed, other):
    """What is settled stays open when another cause is as likely as one in five."""
    if ends([*found, max(other, UNLIKELY), ENOUGH], not_listed) == "settled":
        pytest.fail("settled though a second fault is likely")


def test_a_stop_in_doubt_comes_before_the_end():
    """Beliefs that would end the questions do not while the next may well show that the machine must be stopped."""
    here = situation("P-2", oil_look="milky", gland_plume="heavy", oil_level="at-mark")
    growl = open_now(here)["bearing-noise"]
    assert decided(here.belief, None) == "settled"
    assert decided(here.belief, replace(growl, stop_chance=STOP_CHANCE)) == ""
    assert decided(here.belief, replace(growl, stop_chance=STOP_CHANCE - 0.01)) == "settled"


@settings(max_examples=20, deadline=None)
@given(histories())
def test_asking_always_comes_to_an_end(here):
    """Answered or not, each question is put once; after so many as there are findings nothing is left."""
    closed = set(here.said)

    def put():
        while question := best(here, SIGNS, frozenset(closed)):
            assert question.finding not in closed
            closed.add(question.finding)
            yield question

    assert len(list(islice(put(), 50))) <= len(sample().findings)

"""Cases replayed: answers found for questions, ranks and verdicts."""

from __future__ import annotations

from diagnose.consultation.replay import replay
from diagnose.knowledge import library
from tests.knowledge_samples import RULES, SITE, sample

CASE = """
case: white-oil
title: Oil turned white
machine: P-1
phase: loaded
reported: {oil-look: milky}
answers: {oil-level: rising, gland-plume: wisp}
true-causes: [jacket-leak]
must-caution: [water-in-oil]
source: common practice
"""


def case_of(text):
    """Read one case that must be right."""
    import tempfile
    from pathlib import Path

    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder, "case.yaml")
        file.write_text(text, encoding="utf-8")
        cases, problems = library.load_cases([file], sample())
    assert not problems, "\n".join(problem.line() for problem in problems)
    return cases[0]


def test_a_right_case_passes_with_its_questions_in_order():
    """The true cause comes first, the caution was raised, and the questions are those that were asked."""
    outcome = replay(case_of(CASE), sample())
    assert outcome.passed, outcome.complaints
    assert outcome.rank == 1
    assert set(outcome.questions) >= {"oil-level"} or set(outcome.questions) >= {"gland-plume"}
    assert outcome.posterior > 0.5


def test_replaying_twice_gives_the_same():
    """The same case gives the same outcome to the last bit."""
    assert replay(case_of(CASE), sample()) == replay(case_of(CASE), sample())


def test_a_wrong_truth_fails_with_its_rank():
    """A case whose truth the evidence denies fails and says at which rank it stands."""
    outcome = replay(case_of(CASE.replace("true-causes: [jacket-leak]", "true-causes: [worn-bearing]")), sample())
    assert not outcome.passed
    assert any("true cause has rank" in complaint for complaint in outcome.complaints)


def test_another_accepted_answer_counts():
    """A set in accept counts as right."""
    text = CASE.replace("true-causes: [jacket-leak]", "true-causes: [worn-bearing]\naccept: [[jacket-leak]]")
    assert replay(case_of(text), sample()).rank == 1


def test_a_case_that_nothing_covers_is_ranked_by_the_row_for_it():
    """With no true cause the row of what is not covered must come first."""
    outcome = replay(case_of(CASE.replace("[jacket-leak]", "[]")), sample())
    assert outcome.rank > 1


def test_a_caution_raised_in_error_fails():
    """must-not-caution is held against what was raised."""
    text = CASE.replace("must-caution: [water-in-oil]", "must-not-caution: [water-in-oil]")
    assert "caution raised in error: water-in-oil" in replay(case_of(text), sample()).complaints


def test_unlisted_unknown_answers_that_it_cannot_be_told():
    """With unlisted: unknown every other question gets no answer instead of the normal one."""
    outcome = replay(case_of(CASE.replace("answers:", "unlisted: unknown\nanswers:")), sample())
    told = [event for event in outcome.events if getattr(event, "finding", "") == "sentinel"]
    assert all(event.answer.cannot_tell for event in told)


def test_no_more_questions_than_allowed():
    """The bound of the call and that of the case both hold."""
    assert len(replay(case_of(CASE), sample(), 1).questions) <= 1
    bounded = case_of(CASE.replace("source:", "expect: {rank: 1, within-questions: 0}\nsource:"))
    assert replay(bounded, sample()).questions == ()


def test_the_reading_of_another_finding_of_the_same_condition_answers_the_question():
    """A case that tells the condition in a word answers the question of its gauge."""
    text = (
        CASE.replace("reported: {oil-look: milky}", "reported: {sentinel: sounding}")
        .replace("answers: {oil-level: rising, gland-plume: wisp}", "answers: {exhaust-level: high}")
        .replace("[jacket-leak]", "[header-high]")
        .replace("[water-in-oil]", "[casing-pressure-high]")
    )
    outcome = replay(case_of(text), sample())
    assert outcome.passed, outcome.complaints


def test_the_rules_and_plant_of_the_sample_stay_as_they_are():
    """Replaying changes nothing in the knowledge."""
    knowledge, _ = library.load_texts({"rules/sample.yaml": RULES}, SITE)
    replay(case_of(CASE), sample())
    assert knowledge == sample()

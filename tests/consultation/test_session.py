"""A consultation through its front door."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnose.consultation import events
from diagnose.consultation.events import Answer
from diagnose.consultation.session import Session
from diagnose.values.problem import DiagnoseError
from tests.knowledge_samples import sample


def begun(machine: str = "P-1", phase: str = "loaded", **more) -> Session:
    return Session(sample(), sample().site.machines[machine], phase, **more)


def report(session: Session, finding: str, text: str):
    return session.do(events.Report(finding, session.understand(finding, text)))


def shares(session: Session) -> dict[str, float]:
    return {cause: round(share, 9) for cause, share in session.ranking}


def test_a_symptom_leads_to_ranked_causes_a_caution_and_a_next_question():
    """Milky oil ranks the two causes of water first, raises the caution and asks something that tells them apart."""
    view = report(begun(), "oil-look", "milky")
    assert {row.cause for row in view.ranking[:2]} == {"gland-steam", "jacket-leak"}
    assert [row.caution for row in view.cautions] == ["water-in-oil"]
    assert view.standing == "asking"
    assert view.question.finding in ("oil-level", "gland-plume")
    assert view.cautions[0].procedure == "water in oil (OP-111)"
    assert view.cautions[0].because == ("Oil look: milky",)


def test_what_is_not_covered_is_always_a_row():
    """The row for something the rules do not cover is shown in every ranking."""
    view = report(begun(), "oil-look", "milky")
    assert [row.cause for row in view.ranking].count("") == 1


def test_a_cause_the_machine_cannot_have_is_not_ranked():
    """A machine without jackets cannot have a jacket leak, and the program says why not."""
    session = begun("P-2")
    report(session, "oil-look", "milky")
    assert "jacket-leak" not in dict(session.ranking)
    assert session.why_not("jacket-leak") == (
        "Cooling jacket leaks into the oil: cannot be, P-2 has no jacket cooling.",
    )


def test_a_stop_caution_ends_the_questions_and_going_on_is_possible():
    """A stop-now caution ends the questions; the operator can go on and is asked again."""
    session = begun()
    view = report(session, "bearing-noise", "growling")
    assert view.standing == "stop-caution"
    assert view.question is None
    view = session.do(events.GoOn())
    assert view.standing == "asking"
    assert "bearing-failing" in [row.caution for row in view.cautions]


def test_the_question_of_maintenance_is_referred_never_asked():
    """The laboratory's finding is never put to the operator but stands among the checks to refer."""
    session = begun()
    view = report(session, "oil-look", "milky")
    asked = set()
    session.do(events.GoOn())
    while (view := session.view()).question:
        asked.add(view.question.finding)
        view = session.do(events.CannotTell(view.question.finding))
    assert "oil-sample" not in asked
    assert asked


def test_a_number_is_judged_against_the_machines_limit():
    """2.9 bar against a limit of 2.6 is high, raises the caution and says what it was judged as."""
    view = report(begun(), "exhaust-pressure", "2.9 bar")
    assert view.answered[-1].judged == "high"
    assert "casing-pressure-high" in [row.caution for row in view.cautions]
    assert view.ranking[0].cause == "header-high"


def test_a_number_near_its_limit_is_not_a_cliff():
    """Just above the limit the cause is less sure than far above it."""
    near, far = begun(), begun()
    report(near, "exhaust-pressure", "2.62")
    report(far, "exhaust-pressure", "3.2")
    assert shares(near)["header-high"] < shares(far)["header-high"] - 0.05


def test_a_word_does_for_a_number():
    """An operator may say high instead of reading the gauge; it counts as the condition."""
    view = report(begun(), "exhaust-pressure", "high")
    assert view.ranking[0].cause == "header-high"


def test_psi_and_bar_mean_the_same_reading():
    """42.06 psig and 2.9 bar gauge give the same ranking."""
    one, other = begun(), begun()
    report(one, "exhaust-pressure", "42.06 psig")
    report(other, "exhaust-pressure", "2.9 bar gauge")
    assert shares(one)["header-high"] == pytest.approx(shares(other)["header-high"], abs=1e-4)


def test_contradictory_answers_are_shown_and_both_kept():
    """Saying the condition is normal after a number above the limit shows both."""
    session = begun()
    report(session, "exhaust-pressure", "2.9")
    view = report(session, "exhaust-level", "normal")
    assert [len(one.said) for one in view.contradictions] == [2]
    assert {row.finding for row in view.answered} == {"exhaust-pressure", "exhaust-level"}


def test_a_shared_header_is_concluded_over_machines():
    """The same high pressure on another machine of the header is a fact of its own that raises the header cause."""
    session = begun()
    report(session, "sentinel", "sounding")
    report(session, "exhaust-pressure", "2.7")
    before = shares(session)["header-high"]
    session.do(events.OtherMachine("P-2", "exhaust-pressure", session.understand("exhaust-pressure", "2.9")))
    assert shares(session)["header-high"] > before
    assert "shared-header-problem" in [w.finding for row in session.view().ranking for w in row.weights]


def test_going_back_stands_at_the_question_again():
    """Back takes the latest answer away and its question is open again."""
    session = begun()
    first = report(session, "oil-look", "milky")
    asked = first.question.finding
    session.do(events.CannotTell(asked))
    view = session.do(events.Back())
    assert view.question.finding == asked
    assert asked not in session.state.said


def test_a_skipped_question_comes_last():
    """A question left for later is not put while others are worth asking."""
    session = begun()
    asked = report(session, "oil-look", "milky").question.finding
    view = session.do(events.Skip(asked))
    assert view.question is None or view.question.finding != asked


def test_put_right_but_the_symptom_stays():
    """A cause that was put right is out, and the others take its share."""
    session = begun()
    report(session, "oil-look", "milky")
    session.do(events.PutRight("gland-steam"))
    assert shares(session)["gland-steam"] == 0
    assert session.ranking[0][0] == "jacket-leak"


def test_an_event_is_kept_before_it_is_seen():
    """When keeping fails, the answer has not happened."""

    def full(event):
        if isinstance(event, events.Answered):
            raise DiagnoseError("disk full")

    session = begun(keep=full)
    with pytest.raises(DiagnoseError):
        report(session, "oil-look", "milky")
    assert not session.state.said


def test_weights_of_evidence_add_up():
    """The weights shown for a cause add up to its whole change in log-odds."""
    session = begun()
    for finding, text in (("oil-look", "milky"), ("oil-level", "rising"), ("gland-plume", "wisp")):
        report(session, finding, text)
    steps = session._situation.steps
    row = next(row for row in session.view().ranking if row.cause == "jacket-leak")
    whole = (steps[-1].odds["jacket-leak"] - steps[0].odds["jacket-leak"]) * 4.342944819
    assert sum(weight.decibans for weight in row.weights) == pytest.approx(whole)


def test_the_supervisor_gets_three_lines():
    """Three lines name the machine and what is seen, what is likely, and what is wanted."""
    lines = report(begun(), "oil-look", "milky").supervisor
    assert len(lines) == 3
    assert "P-1" in lines[0]
    assert "milky" in lines[0]
    assert "gland steam" in lines[1].lower()


ANSWERS = {
    "oil-look": ["clear", "milky", "foamy"],
    "oil-level": ["at-mark", "low", "rising"],
    "gland-plume": ["wisp", "heavy"],
    "sentinel": ["silent", "sounding"],
    "bearing-noise": ["even", "growling"],
    "exhaust-level": ["normal", "high"],
}


@st.composite
def answers(draw):
    finding = draw(st.sampled_from([*ANSWERS, "exhaust-pressure"]))
    sure = draw(st.booleans())
    if finding == "exhaust-pressure":
        return finding, Answer(number=draw(st.sampled_from([1.0, 2.55, 2.6, 2.65, 4.0])), sure=sure)
    if draw(st.integers(0, 5)) == 0:
        return finding, Answer(cannot_tell=True)
    return finding, Answer(value=draw(st.sampled_from(ANSWERS[finding])), sure=sure)


def intents():
    return st.one_of(
        answers().map(lambda pair: events.Report(*pair)),
        st.just(events.Back()),
        st.sampled_from(["loaded", "run-up", "standby"]).map(events.SetPhase),
        st.sampled_from(["gland-steam", "header-high"]).map(events.PutRight),
        answers().map(lambda pair: events.OtherMachine("P-2", *pair)),
        st.just(events.GoOn()),
        st.just(events.Stop()),
    )


@settings(max_examples=60, deadline=None)
@given(st.lists(intents(), max_size=12))
def test_resuming_from_the_events_gives_the_same_view(wishes):
    """However a consultation went, folding its kept events anew gives the same view to the last figure shown."""
    kept: list[events.Event] = []
    lived = begun(keep=kept.append)
    for wish in wishes:
        lived.do(wish)
    records = [events.event_from(events.event_record(event)) for event in kept]
    again = begun(happened=records)
    ours, theirs = lived.view(), again.view()
    assert {**shares(lived)} == pytest.approx(shares(again), abs=1e-9)
    assert (ours.cautions, ours.answered, ours.actions, ours.contradictions) == (
        theirs.cautions,
        theirs.answered,
        theirs.actions,
        theirs.contradictions,
    )
    assert ours.standing == theirs.standing


@settings(max_examples=60, deadline=None)
@given(st.lists(answers(), max_size=8), st.sets(st.sampled_from(list(ANSWERS))), st.randoms(use_true_random=False))
def test_the_order_of_answers_does_not_change_what_is_believed(said, asked, random):
    """The same answers in another order give the same ranking, cautions and actions."""
    last = dict(said)
    shuffled = list(last.items())
    random.shuffle(shuffled)
    start = events.Started("P-1", "loaded", sample().revision)
    one = begun(happened=[start, *(events.Answered(*pair, asked=pair[0] in asked) for pair in last.items())])
    other = begun(happened=[start, *(events.Answered(*pair, asked=pair[0] in asked) for pair in shuffled)])
    assert shares(one) == pytest.approx(shares(other), abs=1e-9)
    assert [row.caution for row in one.view().cautions] == [row.caution for row in other.view().cautions]


@settings(max_examples=40, deadline=None)
@given(st.lists(answers(), max_size=6), answers())
def test_taking_an_answer_back_equals_never_having_given_it(said, extra):
    """Withdrawing an answer leaves exactly what stood without it."""
    finding, answer = extra
    others = {name: one for name, one in said if name != finding}
    start = events.Started("P-1", "loaded", sample().revision)
    said_before = [start, *(events.Answered(name, one, asked=False) for name, one in others.items())]
    lived, fresh = begun(happened=said_before), begun(happened=said_before)
    lived.do(events.Report(finding, answer))
    lived.do(events.TakeBack(finding))
    assert shares(lived) == pytest.approx(shares(fresh), abs=1e-9)
    assert lived.view().cautions == fresh.view().cautions


def test_a_complaint_is_doubted_less_than_an_answer():
    """What was said unasked leaves less belief to causes that do not show it than the same said in answer."""
    unasked, asked = begun(), begun()
    report(unasked, "oil-level", "rising")
    asked.do(events.GoOn())
    while asked.view().question.finding != "oil-level":
        asked.do(events.CannotTell(asked.view().question.finding))
    report(asked, "oil-level", "rising")
    assert shares(unasked)["worn-bearing"] < 0.8 * shares(asked)["worn-bearing"]


def test_the_question_answered_in_other_terms_is_an_answer_not_a_complaint():
    """Saying the condition where its gauge was asked counts as asked."""
    session = begun()
    report(session, "sentinel", "sounding")
    session.do(events.GoOn())
    while session.view().question.finding != "exhaust-pressure":
        session.do(events.CannotTell(session.view().question.finding))
    report(session, "exhaust-level", "high")
    assert "exhaust-level" in session.state.asked

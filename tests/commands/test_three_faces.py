"""Full screen, plain lines and an answers file are faces of one consultation: the same answers give the same record."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st
from prompt_toolkit.input import create_pipe_input
from prompt_toolkit.output import DummyOutput

from diagnose.commands.answers import AnswersFile, answers_itself
from diagnose.consultation import events
from diagnose.consultation.session import Session
from diagnose.terminal.app import run_full
from diagnose.terminal.plain import run_plain
from tests.knowledge_samples import sample

TYPED = {
    "oil-look": ["clear", "milky", "not sure foamy", "can't tell"],
    "oil-level": ["at mark", "rising", "low", "u"],
    "gland-plume": ["wisp", "heavy", "dont know"],
    "sentinel": ["silent", "sounding"],
    "bearing-noise": ["even", "can't tell"],
    "exhaust-pressure": ["2.1 bar", "42 psig", "high", "2.59", "can't tell"],
}


def begun(kept):
    """Begin a consultation with one complaint."""
    session = Session(sample(), sample().site.machines["P-1"], "loaded", kept.append)
    session.do(events.Report("gland-plume", session.understand("gland-plume", "heavy")))
    return session


def answers_of(kept):
    """Return what was answered, without how the run was left."""
    return [event for event in kept if isinstance(event, events.Answered | events.Skipped | events.Withdrawn)]


def by_file(answers):
    kept = []
    session = begun(kept)
    answers_itself(session, AnswersFile(answers=answers), everything=False)
    return kept


def lines_for(kept, answers):
    """Return the lines a person types: the file's answers in the order in which the questions came."""
    return [answers[event.finding] for event in answers_of(kept)[1:]]


@settings(max_examples=25, deadline=None)
@given(st.fixed_dictionaries({finding: st.sampled_from(texts) for finding, texts in TYPED.items()}))
def test_the_three_faces_keep_the_same_record(answers):
    """Whatever is answered, screen, lines and file keep the same answers in the same order."""
    filed = by_file(answers)
    typed = lines_for(filed, answers)

    lined = []
    run_plain(begun(lined), iter(typed), lambda _: None, echo=False)

    screened = []
    session = begun(screened)
    with create_pipe_input() as pipe:
        pipe.send_text("".join(f"{line}\r" for line in typed) + "q\r")
        run_full(session, input=pipe, output=DummyOutput())

    assert answers_of(lined) == answers_of(filed)
    assert answers_of(screened) == answers_of(filed)

"""Reports made from consultations on the small rule base, plain and hostile."""

from __future__ import annotations

from datetime import UTC

from diagnose.consultation import events
from diagnose.consultation.events import Answer
from diagnose.consultation.session import Session
from diagnose.reports.consultation import Found, Record, report
from diagnose.reports.handover import Entry, handover
from tests.knowledge_samples import sample

HOSTILE = (
    "<script>alert(1)</script> <img src=x onerror=alert(2)> [a](javascript:alert(3)) ![b](http://e.example/x.png) "
    "| `x` **bold** {{ 7*7 }} {% raw %} http://e.example www.e.example a@b.example &lt; \x1b[31m\u202e\u200b\x00 </title></style>"
)
LONG = "y" * 1_000_000


def at(second: int) -> str:
    """Return a time on the day of the tests."""
    return f"2026-03-02T12:00:{second:02}.000+00:00"


def record(*, found=(), notes=(), skip: bool = False, stop: bool = True, **more) -> Record:
    """Return the record of a consultation that read a gauge, was asked, could not tell, and raised cautions."""
    kept = []
    session = Session(sample(), sample().site.machines["P-1"], keep=kept.append)
    session.do(events.Report("exhaust-pressure", session.understand("exhaust-pressure", "2.9")))
    session.do(events.Report("oil-look", Answer(value="milky")))
    session.do(events.OtherMachine("P-2", "exhaust-pressure", session.understand("exhaust-pressure", "2.8")))
    if skip:
        session.do(events.Skip(session.open_question))
    asked = session.open_question
    choice = session.view().question.choices[-1]
    session.do(events.Report(asked, Answer(value=choice.value)))
    session.do(events.CannotTell(session.open_question))
    session.do(events.Report("bearing-noise", Answer(value="growling")))
    session.do(events.TakeBack("bearing-noise"))
    if stop:
        session.do(events.Stop())
    values = {
        "run": "20260302-test",
        "moments": tuple((at(second), one) for second, one in enumerate(kept)),
        "state": session.state,
        "view": session.view(),
        "knowledge": sample(),
        "machine": session.machine,
        "found": tuple(found),
        "notes": tuple(notes),
        "program": "0",
    }
    return Record(**{**values, **more})


def hostile_record() -> Record:
    """Return a record with hostile text in every field that a person can fill."""
    found = Found(at(59), HOSTILE, HOSTILE, LONG, HOSTILE, HOSTILE)
    machine = sample().site.machines["P-1"]
    return record(found=(found,), notes=(HOSTILE,), run=HOSTILE, program=HOSTILE, machine=_named(machine, HOSTILE))


def _named(machine, title):
    if hasattr(machine, "_replace"):
        return machine._replace(title=title)
    from dataclasses import replace

    return replace(machine, title=title)


def document(**more):
    """Return a report, at a fixed time."""
    return report(record(**more), at(59), UTC)


def hostile_document():
    """Return a report of hostile text."""
    return report(hostile_record(), at(59), UTC)


def shift(entries=None):
    """Return a handover of four consultations on three machines, or of these entries."""
    kept = [
        Entry(
            "a",
            "consultation",
            "P-1",
            at(1),
            "settled",
            "P-1: oil milky",
            "Jacket leak",
            0.9,
            (("stop-now", "Stop it."),),
        ),
        Entry(
            "b",
            "consultation",
            "P-1",
            at(20),
            "asking",
            "P-1: oil milky",
            "Jacket leak",
            0.5,
            (("watch", "Watch it."),),
        ),
        Entry("c", "consultation", "P-2", at(30), "settled", "P-2: noise", "Bearing worn", None, (), "Bearing worn"),
        Entry("d", "consultation", "P-3", at(40)),
        Entry("e", "round", "P-2", at(45)),
    ]
    return handover("Test works", (at(0), at(50)), kept if entries is None else entries, at(59), UTC)


def hostile_shift():
    """Return a handover of hostile text."""
    entry = Entry(HOSTILE, HOSTILE, HOSTILE, at(1), HOSTILE, HOSTILE, HOSTILE, 0.5, ((HOSTILE, HOSTILE),), "")
    one = Entry("a", "consultation", HOSTILE, at(1), HOSTILE, LONG, HOSTILE, 0.5, ((HOSTILE, HOSTILE),), HOSTILE)
    two = Entry("b", "consultation", HOSTILE, at(2), "asking", HOSTILE, HOSTILE, 0.5, (("watch", HOSTILE),), "")
    return handover(HOSTILE, (at(0), at(50)), [entry, one, two], at(59), UTC)

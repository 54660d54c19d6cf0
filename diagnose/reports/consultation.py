"""One consultation as a document: for the next shift, the supervisor and maintenance."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from diagnose.consultation.saying import titled
from diagnose.consultation.wording import AUTHORITY, RANK_WORDS, REFER_WORDS, STANDING_WORDS, STATEMENT, plain
from diagnose.reports.charts import shares, weights
from diagnose.reports.course import course
from diagnose.reports.document import Alert, Document, Facts, Figure, Items, Para, Section, Signatures, Table
from diagnose.reports.readings import readings
from diagnose.reports.times import clock, stamp

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator
    from datetime import tzinfo

    from diagnose.consultation.events import Event
    from diagnose.consultation.state import State
    from diagnose.consultation.view import CauseRow, View
    from diagnose.knowledge.model import Knowledge, Machine
    from diagnose.reports.course import Moment
    from diagnose.reports.document import Block

__all__ = ["Found", "Record", "report"]

_WHO = {"operator": "Operator", "supervisor": "Supervisor", "maintenance": "Maintenance"}
_WORTH_DRAWING = 0.5  # decibans: what weighs less is hardly evidence
_MOST_DRAWN = 3  # causes whose evidence is drawn
_MOST_COLUMNS = 5  # causes whose evidence is in the table
_NUMERIC = frozenset([2])  # the third column of a table


@dataclass(frozen=True, slots=True)
class Found:
    """What maintenance recorded: when (UTC, ISO 8601), what, how it is known, what was done, by whom, why corrected."""

    at: str
    what: str
    known_by: str
    done: str
    by: str
    why: str


@dataclass(frozen=True, slots=True)
class Record:
    """All that a report of one consultation is made from; ``moments`` are its events with their times."""

    run: str
    moments: tuple[tuple[str, Event], ...]
    state: State
    view: View
    knowledge: Knowledge
    machine: Machine
    found: tuple[Found, ...]
    notes: tuple[str, ...]  # on the replay: what has changed since
    program: str


def report(record: Record, made: str, zone: tzinfo | None = None) -> Document:
    """Return the whole report. ``made`` is the time it is made (UTC, ISO 8601); ``zone`` that of the times shown."""
    view = record.view
    moments = tuple(course(record.moments, record.knowledge, record.machine))
    sections = (
        Section("cautions", "Cautions", tuple(_cautions(view, moments, zone))),
        Section("summary", "In short", tuple(_summary(record, zone))),
        Section("outcome", "What maintenance found", tuple(_found(record, zone))),
        Section("reported", "What was reported and answered", tuple(_answered(record))),
        Section("readings", "Readings", tuple(_readings(record))),
        Section("causes", "Likely causes", tuple(_causes(view))),
        Section("evidence", "Evidence for and against", tuple(_evidence(record))),
        Section("actions", "What to do", tuple(_actions(view))),
        Section("unchecked", "What was not checked", tuple(_unchecked(record))),
        Section("timeline", "Course of the consultation", (_timeline(moments, zone),)),
        *((Section("replay", "What has changed since it was kept", (Items(record.notes),)),) if record.notes else ()),
        Section("signatures", "Handed over", (Signatures(("Handed over by", "Taken over by", "Supervisor")),)),
    )
    return Document(
        title=f"Consultation {record.run}: {record.machine.id}",
        subtitle=f"{record.machine.title or record.machine.id}. Begun {stamp(record.moments[0][0], zone)}.",
        sections=sections,
        closing=(
            AUTHORITY,
            STATEMENT,
            f"Rules: revision {view.revision}. Program: version {record.program}. Page made {stamp(made, zone)}.",
        ),
    )


def _cautions(view: View, moments: tuple[Moment, ...], zone: tzinfo | None) -> Iterator[Block]:
    standing = {row.caution for row in view.cautions}
    first = {row.caution: moment.at for moment in reversed(moments) for row in moment.raised}
    for row in view.cautions:
        lines = [
            f"Do: {row.do}",
            *([f"Local procedure: {row.procedure}."] if row.procedure else []),
            *([f"Because: {'; '.join(row.because)}."] if row.because else []),
            f"Shown first at {clock(first[row.caution], zone)}. Source: {row.source}.",
        ]
        yield Alert(row.rank, RANK_WORDS[row.rank], row.say, tuple(lines))
    lifted = {row.caution: row for moment in moments for row in moment.lifted if row.caution not in standing}
    if lifted:
        shown = (
            f"{RANK_WORDS[row.rank]}: {row.say} Shown at {clock(first[name], zone)}, lifted by a later answer."
            for name, row in lifted.items()
        )
        yield Items(tuple(shown))
    if not standing and not lifted:
        yield Para("No caution was raised.")


def _summary(record: Record, zone: tzinfo | None) -> Iterator[Block]:
    view, machine = record.view, record.machine
    drives = f"{machine.drives_kind}, {machine.drives_service}" if machine.drives_service else machine.drives_kind
    yield Items(view.supervisor)
    yield Facts(
        (
            ("Machine", f"{machine.id}, {machine.title}" if machine.title else machine.id),
            *((("Drives", drives),) if drives else ()),
            ("Phase", plain(view.phase)),
            ("Begun", stamp(record.moments[0][0], zone)),
            ("Latest entry", stamp(record.moments[-1][0], zone)),
            ("Standing", STANDING_WORDS[view.standing]),
            *(("Refer", REFER_WORDS[code]) for code in view.refer),
            *(("Put right already", title) for title in view.put_right),
        )
    )


def _found(record: Record, zone: tzinfo | None) -> Iterator[Block]:
    if not record.found:
        yield Para("Nothing is recorded yet: the job is open.")
    for number, found in enumerate(record.found, 1):
        corrected = number < len(record.found)
        yield Facts(
            (
                ("Recorded", f"{stamp(found.at, zone)}{' (corrected below)' if corrected else ''}"),
                ("What was wrong", found.what),
                ("Known by", found.known_by),
                *((("What was done", found.done),) if found.done else ()),
                *((("Recorded by", found.by),) if found.by else ()),
                *((("Why corrected", found.why),) if found.why else ()),
            )
        )


def _answered(record: Record) -> Iterator[Block]:
    rows = [row for row in record.view.answered if not row.cannot_tell]
    asked = record.state.asked
    if rows:
        yield Table(
            "Answers as they stand",
            ("Question or finding", "Said", "Judged as", "How it came"),
            tuple(
                (
                    f"{row.machine}: {row.ask}" if row.machine else row.ask,
                    row.said,
                    row.judged or "as said",
                    "asked" if row.finding in asked and not row.machine else "reported",
                )
                for row in rows
            ),
        )
    else:
        yield Para("Nothing was reported.")
    for one in record.view.contradictions:
        yield Para(f"Answers that do not fit each other, both kept: {one.condition}: {' against '.join(one.said)}.")


def _readings(record: Record) -> Iterator[Block]:
    blocks = tuple(readings(record.state.said, record.view.answered, record.knowledge, record.machine))
    yield from blocks or (Para("No number was read."),)


def _causes(view: View) -> Iterator[Block]:
    yield Figure(shares("chart-causes", [(_label(row), row.probability, _role(row)) for row in view.ranking]))
    yield Table(
        "Causes, likeliest first",
        ("Cause", "In words", "Share", "Severity"),
        tuple(
            (f"{number}. {row.title}", row.words, f"{row.probability:.1%}", row.severity or "not known")
            for number, row in enumerate(view.ranking, 1)
        ),
        _NUMERIC,
    )
    yield Table(
        "What each would mean",
        ("Cause", "If it is left", "What may have led to it", "What settles it", "Source"),
        tuple(
            (
                f"{number}. {row.title}",
                row.if_left,
                "; ".join(row.led_by) or "nothing these rules name",
                row.settled_by or "the answers above",
                row.source,
            )
            for number, row in enumerate(view.ranking, 1)
            if row.cause
        ),
    )


def _label(row: CauseRow) -> str:
    return f"{row.title} (dangerous)" if row.severity == "dangerous" else row.title


def _role(row: CauseRow) -> str:
    return ("dangerous" if row.severity == "dangerous" else "cause") if row.cause else "not-covered"


def _evidence(record: Record) -> Iterator[Block]:
    findings = record.knowledge.findings
    weighed = [row for row in record.view.ranking if row.cause and row.weights]
    if not weighed:
        yield Para("No answer weighs for or against a cause yet.")
        return
    yield Para(
        "Weights are in decibans, ten times the logarithm of the factor by which an answer moves the odds of a cause: "
        "+10 makes it ten times as likely against the rest, -10 a tenth. From 1 they speak slightly, from 5 clearly, "
        "from 10 strongly, from 15 very strongly."
    )
    for number, row in enumerate(weighed[:_MOST_DRAWN], 1):
        told = [(f"{titled(findings[one.finding])}: {one.said}", one.decibans) for one in row.weights]
        heavy = sorted((one for one in told if abs(one[1]) >= _WORTH_DRAWING), key=lambda one: -one[1])
        if heavy:
            yield Figure(weights(f"chart-evidence-{number}", f"For and against: {row.title}", heavy))
    yield _weights_table(weighed[:_MOST_COLUMNS], record)


def _weights_table(weighed: list[CauseRow], record: Record) -> Table:
    """Return every answer with what it weighs for each of the likeliest causes."""
    findings, rows = record.knowledge.findings, weighed[0].weights
    return Table(
        "What each answer weighs, in decibans",
        ("Answer", *(row.title for row in weighed)),
        tuple(
            (
                f"{titled(findings[one.finding])}: {one.said}",
                *(f"{row.weights[at].decibans:+.1f}" for row in weighed),
            )
            for at, one in enumerate(rows)
        ),
        frozenset(range(1, len(weighed) + 1)),
    )


def _actions(view: View) -> Iterator[Block]:
    for who, title in _WHO.items():
        rows = tuple((row.do, row.procedure or "none named", row.comes_from) for row in view.actions if row.who == who)
        if rows:
            yield Table(f"For {title.lower()}", ("What to do", "Local procedure", "Comes from"), rows)
    if not view.actions:
        yield Para("No action follows from what was answered; tell the supervisor what was seen.")
    if view.procedures:
        yield Para(f"Local procedures referred to: {', '.join(view.procedures)}.")


def _unchecked(record: Record) -> Iterator[Block]:
    """List what could not be told, what was left for later, the question still open, what others can check."""
    view = record.view
    rows = [(row.ask, "could not be told", "operator") for row in view.answered if row.cannot_tell and not row.machine]
    rows += [(_ask(record, name), "left for later", "operator") for name in record.state.skipped]
    if view.question:
        rows.append((view.question.ask, "the next question, not yet answered", "operator"))
    rows += [(row.ask, "needs somebody else", row.who) for row in view.referred]
    if rows:
        yield Table("Not checked", ("Question", "Why not", "Who can"), tuple(rows))
    else:
        yield Para("Every question that was put has been answered.")


def _ask(record: Record, name: str) -> str:
    finding = record.knowledge.findings[name]
    return finding.ask or f"{titled(finding)}?"


def _timeline(moments: Iterable[Moment], zone: tzinfo | None) -> Table:
    return Table("What happened when", ("Time", "What happened", "Cautions"), tuple(_rows(moments, zone)))


def _rows(moments: Iterable[Moment], zone: tzinfo | None) -> Iterator[tuple[str, str, str]]:
    day = ""
    for moment in moments:
        date = stamp(moment.at, zone)
        changes = [f"Shown: {RANK_WORDS[row.rank]}: {row.say}" for row in moment.raised]
        changes += [f"Lifted: {row.say}" for row in moment.lifted]
        time = clock(moment.at, zone)
        yield (f"{date[:10]} {time}" if date[:10] != day else time), moment.what, " ".join(changes) or "none new"
        day = date[:10]

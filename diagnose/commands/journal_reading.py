"""``diagnose journal list | show``, and what the pages share with them."""

from __future__ import annotations

import json
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from diagnose.commands import wiring
from diagnose.commands.spans import moment
from diagnose.consultation.wording import STANDING_WORDS
from diagnose.journal.conclusions import keep_conclusion, latest_conclusion
from diagnose.journal.finding import Run, Wanted, find
from diagnose.journal.outcomes import outcomes, standing_outcome, words
from diagnose.journal.replaying import held, replay, rule_changes
from diagnose.journal.store import open_to_read
from diagnose.values.problem import DiagnoseError
from diagnose.values.text import inert

if TYPE_CHECKING:
    from argparse import Namespace
    from collections.abc import Iterator, Mapping

    from diagnose.journal.replaying import Replay
    from diagnose.journal.store import Journal
    from diagnose.knowledge.model import Knowledge

__all__ = ["conclude", "replay_of", "row_of", "run_list", "run_show", "wanted_by"]


def run_list(arguments: Namespace) -> int:
    """Print the runs wanted, newest first, a line each."""
    path = wiring.journal_path(arguments)
    if not path.exists():
        wiring.say('{"runs": [], "more": false}' if arguments.json else "Nothing is kept yet.")
        return 0
    journal = open_to_read(path)
    wanted = wanted_by(arguments)
    if wanted.cause:
        conclude_all(journal, arguments)
    found = list(find(journal, wanted, arguments.limit + 1))
    rows = [row_of(journal, one) for one in found[: arguments.limit]]
    if arguments.json:
        wiring.say(json.dumps({"runs": rows, "more": len(found) > len(rows)}, indent=2))
        return 0
    for row in rows:
        wiring.say(inert(_line(row)))
    if len(found) > len(rows):
        wiring.say(f"There are more; --limit {arguments.limit * 5} shows more of them.")
    if not rows:
        wiring.say("Nothing of that kind is kept.")
    return 0


def wanted_by(arguments: Namespace, *, since: str = "") -> Wanted:
    """Return the filters that the arguments give; ``since`` is what to take when they do not say."""
    now = wiring.now()
    given_since, kind = arguments.since or since, getattr(arguments, "kind", "consultation")
    closed = getattr(arguments, "closed", False)
    return Wanted(
        kind="" if kind == "all" else kind,
        machine=arguments.machine or "",
        since=moment(given_since, now) if given_since else "",
        until=moment(arguments.until, now) if arguments.until else "",
        cause=getattr(arguments, "cause", None) or "",
        closed=closed or None if not getattr(arguments, "open", False) else False,
    )


def row_of(journal: Journal, run: Run) -> dict[str, Any]:
    """Return a run with what it came to, for lists and handovers."""
    concluded = latest_conclusion(journal, run.run)
    outcome = standing_outcome(journal, run.run)
    ranking = concluded["ranking"] if concluded else []
    return {
        "id": run.run,
        "kind": run.kind,
        "machine": run.machine,
        "at": run.at,
        "events": len(journal.events(run.run, run.kind)),
        "standing": concluded["standing"] if concluded else "",
        "seen": concluded["seen"] if concluded else "",
        "ranking": ranking,
        "titles": concluded["titles"] if concluded else {},
        "warnings": concluded["warnings"] if concluded else [],
        "closed": outcome is not None,
        "outcome": words(outcome[1]) if outcome else "",
    }


def _line(row: Mapping[str, Any]) -> str:
    from diagnose.reports.times import stamp

    leads = row["ranking"][0] if row["ranking"] else None
    likely = f"{row['titles'].get(leads[0], leads[0])} ({leads[1]:.0%})" if leads else "not summed up"
    state = f"closed: {row['outcome']}" if row["closed"] else f"open: {likely}"
    if row["kind"] != "consultation":
        state = f"{row['kind']}, {row['events']} events"
    return f"{row['id']}  {row['machine']}  {stamp(row['at'], None)}  {state}"


def run_show(arguments: Namespace) -> int:
    """Print one consultation, replayed; or its events as JSON."""
    journal = open_to_read(wiring.journal_path(arguments))
    if arguments.json:
        consultation = held(journal, arguments.id)
        wiring.say(json.dumps([asdict(event) for event in journal.events(consultation.run)], indent=2))
        return 0
    replayed, today = replay_of(journal, arguments)
    for line in _shown(journal, replayed):
        wiring.say(inert(line))
    if today and today.revision != replayed.held.rules:
        _say_rule_changes(replayed, today)
    if arguments.today and today:
        _say_under_today(replayed, today)
    return 0


def replay_of(journal: Journal, arguments: Namespace) -> tuple[Replay, Knowledge | None]:
    """Replay under the rules of the consultation; today's rules may hold faults where those were kept."""
    consultation = held(journal, arguments.id)
    try:
        today: Knowledge | None = wiring.open_knowledge(arguments)
    except DiagnoseError:
        today = None
    return replay(journal, consultation, today), today


def _shown(journal: Journal, replayed: Replay) -> Iterator[str]:
    from diagnose.reports.course import course
    from diagnose.reports.times import clock, stamp

    view, moments = replayed.session.view(), replayed.held.moments
    yield f"Consultation {replayed.held.run}, {view.machine}, begun {stamp(moments[0][0], None)}."
    for one in course(moments, replayed.knowledge, replayed.machine):
        shown = "".join(f" Caution shown: {row.say}" for row in one.raised)
        yield f"  {clock(one.at, None)}  {one.what}{shown}"
    yield STANDING_WORDS[view.standing]
    for row in view.ranking:
        yield f"  {row.probability:>4.0%}  {row.title}, {row.words}"
    for at, outcome in outcomes(journal.events(replayed.held.run, "outcome")):
        yield f"Outcome recorded {stamp(at, None)}: {words(outcome)}. {outcome.done}".rstrip()
    yield from _verdict(replayed)


def _verdict(replayed: Replay) -> Iterator[str]:
    if replayed.changes:
        yield "The replay does not come out as it was kept:"
        yield from (f"  {line}" for line in replayed.changes)
    elif replayed.compared:
        yield f"Replayed under rules {replayed.held.rules}: the same to the last bit."
    else:
        yield f"Replayed under rules {replayed.held.rules}; no ending was kept to compare it with."


def _say_rule_changes(replayed: Replay, today: Knowledge) -> None:
    if replayed.exact:
        changes = list(rule_changes(replayed.knowledge, today))
        wiring.say(f"Since then {len(changes)} thing{'s have' if len(changes) != 1 else ' has'} changed in the rules.")
        for line in changes[:20]:
            wiring.say(inert(f"  {line}"))
        if len(changes) > 20:  # noqa: PLR2004 - as many as are shown
            wiring.say(f"  ... and {len(changes) - 20} more.")


def _say_under_today(replayed: Replay, today: Knowledge) -> None:
    from diagnose.consultation.session import Session

    machine = wiring.machine_named(replayed.held.machine, today)
    session = Session(today, machine, happened=replayed.held.events)
    session.come_back()
    view = session.view()
    wiring.say(f"Under today's rules, {today.revision}: {STANDING_WORDS[view.standing]}")
    for row in view.ranking:
        wiring.say(f"  {row.probability:>4.0%}  {row.title}, {row.words}")


def conclude_all(journal: Journal, arguments: Namespace) -> None:
    """Sum up the consultations that ended without: those whose program was killed."""
    missing = (
        "SELECT run FROM run WHERE kind = 'consultation' AND NOT EXISTS "
        "(SELECT 1 FROM event WHERE event.run = run.run AND event.kind = 'conclusion')"
    )
    for (run,) in list(journal.rows(missing)):
        conclude(journal, run, arguments)


def conclude(journal: Journal, run: str, arguments: Namespace) -> None:
    """Sum a consultation up by replaying it, and keep that, unless it was done after its latest event."""
    consultation = held(journal, run)
    concluded = latest_conclusion(journal, run)
    if concluded and concluded["events"] == len(consultation.moments):
        return
    try:
        replayed = replay(journal, consultation, wiring.open_knowledge(arguments))
        keep_conclusion(journal, run, wiring.now(), consultation.machine, replayed.session.view())
    except DiagnoseError:
        return  # it cannot be replayed, or nothing can be written here: it stays listed as not summed up

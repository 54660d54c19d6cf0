"""``diagnose prestart``: the checks of a start in order; ready or not ready, why, and who decides."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

from diagnose.commands import wiring
from diagnose.commands.answers import pair
from diagnose.consultation.prestart import Start, StartView, event_from, record
from diagnose.consultation.wording import plain
from diagnose.knowledge.checks import STAGES
from diagnose.values.names import did_you_mean
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace
    from collections.abc import Callable, Iterator

    from diagnose.consultation.prestart import CheckRow, StartEvent
    from diagnose.journal.store import Journal
    from diagnose.knowledge.model import Knowledge

__all__ = ["add_arguments", "run"]

_STAGES = {
    "pre-start": "before steam is let in",
    "warm-up": "slow roll and heat soak",
    "run-up": "bringing it up to speed",
    "loaded": "at speed, before the load",
}
_MARKS = {"done": "[done]    ", "failed": "[FAILED]  ", "not-seen": "[not seen]"}
_HELP = "Type the answer, 'can't tell', 'skip', 'back', 'list', or 'leave' (what was said is kept)."


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument("--machine", metavar="NAME", help="the machine to be started")
    parser.add_argument(
        "--check", action="append", default=[], metavar="CHECK=ANSWER", help="what a check came to; may be repeated"
    )
    parser.add_argument(
        "--resume",
        nargs="?",
        const="",
        metavar="ID",
        help="go on with a start (the latest of the machine, or this one)",
    )
    parser.add_argument(
        "--until", choices=STAGES, default=STAGES[-1], help="ready for what: the checks up to and with this stage"
    )
    parser.add_argument("--no-input", action="store_true", help="ask nothing; say how it stands with what was given")
    parser.add_argument("--json", action="store_true", help="print how it stands as JSON; implies --no-input")
    parser.add_argument("--no-journal", action="store_true", help="keep no record")


def run(arguments: Namespace) -> int:
    """Go through the checks; exit status 1 when the machine is not ready."""
    knowledge = wiring.open_knowledge(arguments)
    start = _start(arguments, knowledge)
    for given in arguments.check:
        _, check, text = pair(given)
        start.see(check, start.understand(check, text))
    if not arguments.json and not arguments.no_input:
        wiring.say("Advice only: the local start-up procedure and your supervisor come first.")
        _ask(start, wiring.typed_lines())
    view = start.view()
    if arguments.json:
        import json

        wiring.say(json.dumps(_plain(view), ensure_ascii=False, indent=2))
    else:
        _show(view)
        if arguments.run:
            wiring.say(f"Kept as {arguments.run}. Go on with: diagnose prestart --resume {arguments.run}")
    return 0 if view.ready else 1


def _start(arguments: Namespace, knowledge: Knowledge) -> Start:
    arguments.run = ""
    journal = None if arguments.no_journal else _journal(arguments)
    if arguments.resume is not None:
        return _resumed(arguments, knowledge, journal)
    if not arguments.machine:
        raise DiagnoseError("Which machine is to be started?", mend="Say it with --machine NAME.")
    machine = wiring.machine_named(arguments.machine, knowledge)
    if journal is None:
        return Start(knowledge, machine, until=arguments.until)
    arguments.run = wiring.new_run(journal)
    return Start(
        knowledge, machine, _keeper(journal, arguments.run, machine.id, knowledge.revision), until=arguments.until
    )


def _journal(arguments: Namespace) -> Journal | None:
    """Open the journal; without one the checks still serve, and say so."""
    from diagnose.journal.store import open_journal

    try:
        return open_journal(wiring.journal_path(arguments))
    except DiagnoseError as error:
        if arguments.resume is not None:
            raise
        print(f"diagnose: {error} This start is not kept.", file=sys.stderr)  # noqa: T201 - the door speaks
        return None


def _keeper(journal: Journal, run: str, machine: str, revision: str) -> Callable[[StartEvent], None]:
    def keep(event: StartEvent) -> None:
        journal.append(run, "start", wiring.now(), machine, revision, record(event))

    return keep


def _resumed(arguments: Namespace, knowledge: Knowledge, journal: Journal | None) -> Start:
    """Take up an earlier start, and say when each check was seen: what was seen long ago may be different now."""
    if journal is None:
        raise DiagnoseError("Without a journal there is nothing to resume.", mend="Leave out --no-journal.")
    run = arguments.resume or _latest(arguments, journal)
    kept = journal.events(run, "start") if run else []
    if not kept:
        named = f"start '{run}'" if run else "start"
        mend = did_you_mean(run, journal.runs("start"))
        raise DiagnoseError(f"There is no {named} to resume.", where=str(journal.path), mend=mend)
    machine = wiring.machine_named(kept[0].machine, knowledge)
    arguments.run = run
    if kept[-1].rules != knowledge.revision:
        print("diagnose: the rules have changed since this start began.", file=sys.stderr)  # noqa: T201
    if not arguments.json:
        wiring.say(f"{machine.id}: start {run}, begun {kept[0].at[:16]} UTC, last word {kept[-1].at[:16]} UTC.")
        wiring.say("What was seen before the break may have changed: look again at oil, drains and valves.")
    happened = [event_from(one.body) for one in kept]
    return Start(knowledge, machine, _keeper(journal, run, machine.id, knowledge.revision), happened, arguments.until)


def _latest(arguments: Namespace, journal: Journal) -> str:
    """Return the latest start, of the machine named if one is."""
    for run in reversed(journal.runs("start")):
        if not arguments.machine or journal.events(run, "start")[0].machine.lower() == arguments.machine.lower():
            return run
    return ""


def _ask(start: Start, lines: Iterator[str]) -> None:
    """Put the checks in order until one fails, all are seen, or the person leaves."""
    skipped: set[str] = set()
    trail: list[str] = []
    wiring.say(_HELP)
    stage = ""
    while (row := _next(view := start.view(), skipped)) is not None:
        if stage and view.stage != stage:
            wiring.say(f"Ready to go on: {_STAGES[view.stage]}.")
        stage = view.stage
        _put(start, row)
        line = next(lines, "leave").strip()
        wiring.say(f"> {line}" if not sys.stdin.isatty() else "")
        match line.lower():
            case "leave" | "quit" | "exit":
                return
            case "skip" | "":
                skipped.add(row.check)
            case "back":
                if trail:
                    start.take_back(trail.pop())
            case "list":
                _show(start.view())
            case _:
                _take(start, row, line, trail)


def _take(start: Start, row: CheckRow, line: str, trail: list[str]) -> None:
    try:
        view = start.see(row.check, start.understand(row.check, line))
    except DiagnoseError as error:
        wiring.say(str(error))
        return
    trail.append(row.check)
    for rank, say, do, procedure, _ in view.cautions[:1]:
        wiring.say(f"{plain(rank).upper()}: {say} {do}" + (f" Procedure: {procedure}." if procedure else ""))


def _next(view: StartView, skipped: set[str]) -> CheckRow | None:
    """Return the next check to put: those of one stage in order, and none of the next before this one is ready."""
    stage = next((one for one in view.stages if one.stage == view.stage), None)
    if stage is None:
        return None
    return next(
        (row for row in stage.checks if row.outcome == "not-seen" and not row.said and row.check not in skipped), None
    )


def _put(start: Start, row: CheckRow) -> None:
    check = start.checks[row.check]
    asked = start.knowledge.findings[check.ask]
    judged = start.knowledge.findings[asked.judged_as] if asked.reading and asked.judged_as else asked
    wiring.say("")
    wiring.say(f"{_STAGES[check.stage].capitalize()}: {row.ask}")
    if row.how:
        wiring.say(f"  {row.how}")
    if row.hazard != "none":
        wiring.say(f"  Mind: {row.hazard}.")
    words = ", ".join(
        f"{at}) {plain(value)}" if asked.reading is None else plain(value) for at, value in enumerate(judged.values, 1)
    )
    wiring.say(f"  {words}" + (f" or a number in {asked.reading.unit}" if asked.reading else ""))


def _show(view: StartView) -> None:
    for stage in view.stages:
        wiring.say(f"{_STAGES[stage.stage].capitalize()}{': ready' if stage.ready else ''}")
        for row in stage.checks:
            said = f" ({row.said})" if row.said else ""
            wiring.say(f"  {_MARKS[row.outcome]} {row.ask}{said}  [{row.check}]")
        if stage.stage == view.stage:
            break
    for rank, say, do, procedure, source in view.cautions:
        wiring.say(
            f"{plain(rank).upper()}: {say} {do}" + (f" Procedure: {procedure}." if procedure else "") + f" ({source})"
        )
    wiring.say(verdict(view))


def verdict(view: StartView) -> str:
    """Say in one line whether the machine is ready, for what not, why, and who decides."""
    if view.ready:
        last = _STAGES[view.stages[-1].stage]
        return f"{view.machine}: READY. All checks up to '{last}' are done; local procedure and supervisor decide."
    reasons = [f"failed: {row.check} (said: {row.said})" for row in view.failed]
    if view.not_seen:
        reasons.append(f"not seen: {len(view.not_seen)}, the first {view.not_seen[0].check}")
    if not view.failed and view.cautions:
        reasons.append("a caution stands")
    return f"{view.machine}: NOT READY, {_STAGES[view.stage]}. {'; '.join(reasons)}. Who decides: {view.decides}."


def _plain(value: object) -> object:
    """Return a view as JSON has it: its parts by name."""
    if isinstance(value, StartView):
        return {"ready": value.ready, **{name: _plain(one) for name, one in value._asdict().items()}}
    if isinstance(value, tuple):
        items = [_plain(item) for item in value]
        return dict(zip(value._fields, items, strict=True)) if hasattr(value, "_fields") else items
    return value

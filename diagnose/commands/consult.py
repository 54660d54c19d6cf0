"""``diagnose consult``: guided questions about one machine; full screen on a terminal, plain lines elsewhere."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from diagnose.commands import wiring
from diagnose.commands.answers import AnswersFile, answers_file, answers_itself, pair
from diagnose.consultation import events
from diagnose.consultation.session import Session
from diagnose.consultation.wording import plain
from diagnose.knowledge.model import PHASES, Knowledge, Machine
from diagnose.values.names import did_you_mean
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace
    from collections.abc import Iterable, Iterator, Mapping

    from diagnose.journal.store import Journal

__all__ = ["add_arguments", "run"]


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument("--machine", metavar="NAME", help="the machine that is not normal")
    parser.add_argument("--phase", metavar="PHASE", help=", ".join(PHASES))
    parser.add_argument(
        "--symptom",
        action="append",
        default=[],
        metavar="TEXT",
        help="what is not normal, in your own words; may be repeated",
    )
    parser.add_argument(
        "--reading",
        action="append",
        default=[],
        metavar="NAME=VALUE",
        help="a finding and what it is: exhaust-pressure='2.9 bar', oil-ring=stopped; MACHINE:NAME=VALUE for another",
    )
    parser.add_argument("--answers", metavar="FILE", help="a YAML file with machine, phase, reported and answers")
    parser.add_argument(
        "--no-input", action="store_true", help="ask nobody: what flags and file do not answer cannot be told"
    )
    parser.add_argument(
        "--plain", action="store_true", help="line by line, for pipes, screen readers and simple terminals"
    )
    parser.add_argument("--json", action="store_true", help="print the ending as JSON; implies --no-input")
    parser.add_argument(
        "--resume",
        nargs="?",
        const="",
        metavar="ID",
        help="go on with a consultation (the latest open one, or this one)",
    )
    parser.add_argument("--no-journal", action="store_true", help="keep no record")
    parser.add_argument("--report", action="store_true", help="write the report page at the end without asking")


def run(arguments: Namespace) -> int:
    """Run a consultation to its end, or until the operator leaves."""
    if arguments.json:
        arguments.no_input = True
    if not arguments.no_input and not arguments.plain and not _full_screen():
        arguments.plain = True
    if arguments.plain and not arguments.no_input:
        wiring.say("Advice only: local procedures and your supervisor come first.")
        sys.stdout.flush()
    knowledge = wiring.open_knowledge(arguments)
    arguments.run = ""
    told = answers_file(Path(arguments.answers)) if arguments.answers else AnswersFile()
    lines = wiring.typed_lines() if arguments.plain else iter(())
    session = _session(arguments, knowledge, told, lines)
    if session is None:
        return 0
    _tell(session, arguments, told)
    answers_itself(session, told, everything=arguments.no_input)
    status = _face(arguments, session, lines)
    _sum_up(arguments, session, lines)
    return status


def _full_screen() -> bool:
    return sys.stdin.isatty() and sys.stdout.isatty() and os.environ.get("TERM", "dumb") not in ("dumb", "")


def _face(arguments: Namespace, session: Session, lines: Iterator[str]) -> int:
    if arguments.json:
        import json

        wiring.say(json.dumps(_named(session.view()), ensure_ascii=False, indent=2))
    elif arguments.no_input:
        from diagnose.terminal.plain import write_ending

        write_ending(session.view(), wiring.say)
    elif arguments.plain:
        from diagnose.terminal.plain import run_plain

        run_plain(session, lines, wiring.say, echo=not sys.stdin.isatty())
    else:
        from diagnose.terminal.app import run_full

        run_full(session)
    return 0


def _sum_up(arguments: Namespace, session: Session, lines: Iterator[str]) -> None:
    """Keep what a kept consultation came to, say under which id, and write its report if that is wanted."""
    if not arguments.run or not session.state.said:
        return
    from diagnose.journal.conclusions import keep_conclusion
    from diagnose.journal.store import open_journal

    session.come_back()
    try:
        journal = open_journal(wiring.journal_path(arguments))
        keep_conclusion(journal, arguments.run, wiring.now(), session.machine.id, session.view())
    except DiagnoseError as error:
        print(f"diagnose: {error}", file=sys.stderr)  # noqa: T201 - the door speaks
    if not arguments.json:
        wiring.say(f"Kept as {arguments.run}. Its report page: diagnose journal report {arguments.run}")
    if arguments.report or _wants_report(arguments, session, lines):
        from diagnose.commands.journal_pages import write_report

        write_report(arguments, arguments.run)


def _wants_report(arguments: Namespace, session: Session, lines: Iterator[str]) -> bool:
    """Ask whoever is at the terminal, once the questions have come to an end."""
    if arguments.no_input or session.standing == "asking" or not sys.stdin.isatty():
        return False
    choices = [("no", "Not now"), ("yes", "Yes, write it")]
    return _choose("Write the report page for the handover?", choices, "--report", arguments, lines) == "yes"


def _named(value: object) -> object:
    """Return a view as JSON has it: its parts by name."""
    if isinstance(value, tuple):
        items = [_named(item) for item in value]
        return dict(zip(value._fields, items, strict=True)) if hasattr(value, "_fields") else items
    return value


def _session(arguments: Namespace, knowledge: Knowledge, told: AnswersFile, lines: Iterator[str]) -> Session | None:
    """Open a new consultation, or an earlier one; None when the person left before there was one."""
    journal = _journal(arguments)
    if arguments.resume is not None:
        return _resumed(arguments, knowledge, journal)
    machine = _machine(arguments.machine or told.machine, arguments, knowledge, lines)
    phase = _phase(arguments.phase or told.phase, arguments, lines) if machine else None
    if machine is None or phase is None:
        return None
    kept = _kept_session(arguments, knowledge, machine, phase, journal) if journal else None
    return kept or Session(knowledge, machine, phase)


def _kept_session(
    arguments: Namespace, knowledge: Knowledge, machine: Machine, phase: str, journal: Journal
) -> Session | None:
    """Begin a consultation that is kept; None, said so, when its first event cannot be."""
    run = wiring.new_run(journal)
    try:
        keep = wiring.keeper(journal, run, machine.id, knowledge.revision, wiring.site_folder(arguments))
        session = Session(knowledge, machine, phase, keep, run=run)
    except DiagnoseError as error:
        _say_not_kept(error)
        return None
    arguments.run = run
    return session


def _say_not_kept(error: DiagnoseError) -> None:
    print(f"diagnose: {error} This consultation is not kept.", file=sys.stderr)  # noqa: T201 - the door speaks


def _journal(arguments: Namespace) -> Journal | None:
    """Open the journal; without one the consultation still serves, and says so."""
    if arguments.no_journal:
        return None
    from diagnose.journal.store import open_journal

    try:
        return open_journal(wiring.journal_path(arguments))
    except DiagnoseError as error:
        if arguments.resume is not None:
            raise
        _say_not_kept(error)
        return None


def _resumed(arguments: Namespace, knowledge: Knowledge, journal: Journal | None) -> Session:
    if journal is None:
        raise DiagnoseError("Without a journal there is nothing to resume.", mend="Leave out --no-journal.")
    run = arguments.resume or _latest_open(journal)
    kept = journal.events(run, "consultation") if run else []
    if not kept:
        named = f"consultation '{run}'" if run else "open consultation"
        raise DiagnoseError(
            f"There is no {named} to resume.", where=str(journal.path), mend=did_you_mean(run, journal.runs())
        )
    happened = [events.event_from(dict(one.body)) for one in kept]
    machine = wiring.machine_named(kept[0].machine, knowledge)
    arguments.run = run
    keep = wiring.keeper(journal, run, machine.id, knowledge.revision, wiring.site_folder(arguments))
    if kept[-1].rules != knowledge.revision:
        changed = "the rules have changed since, the ranking may differ; 'diagnose journal show' names the changes"
        print(f"diagnose: {changed}.", file=sys.stderr)  # noqa: T201 - the door speaks
    session = Session(knowledge, machine, keep=keep, happened=happened, run=run)
    session.come_back()
    return session


def _latest_open(journal: Journal) -> str:
    """Return the latest consultation that was not ended; "" when there is none."""
    for run in reversed(journal.runs()):
        kept = journal.events(run, "consultation")
        if kept and kept[-1].body["kind"] != "Stopped":
            return run
    return ""


def _machine(name: str, arguments: Namespace, knowledge: Knowledge, lines: Iterator[str]) -> Machine | None:
    if name:
        return wiring.machine_named(name, knowledge)
    machines = knowledge.site.machines
    if not machines:
        raise DiagnoseError(
            "The site has no machines.", where=str(wiring.site_folder(arguments)), mend="Add machines/NAME.yaml."
        )
    if len(machines) == 1:
        return next(iter(machines.values()))
    choices = [(one.id, f"{one.id}  {one.title}".rstrip()) for one in machines.values()]
    chosen = _choose("Which machine is not normal?", choices, "--machine", arguments, lines)
    return machines[chosen] if chosen else None


def _phase(name: str, arguments: Namespace, lines: Iterator[str]) -> str | None:
    if not name:
        choices = [(phase, plain(phase)) for phase in PHASES]
        return _choose("What is it doing now?", choices, "--phase", arguments, lines)
    known = name.strip().lower().replace(" ", "-")
    if known not in PHASES:
        raise DiagnoseError(f"There is no phase '{name}'.", mend=did_you_mean(known, PHASES))
    return known


def _choose(
    title: str, choices: list[tuple[str, str]], flag: str, arguments: Namespace, lines: Iterator[str]
) -> str | None:
    if arguments.no_input:
        raise DiagnoseError(f"{title} With --no-input this has to be said.", mend=f"Add {flag}.")
    if arguments.plain:
        from diagnose.terminal.plain import choose_plain

        return choose_plain(title, choices, lines, wiring.say, echo=not sys.stdin.isatty())
    from diagnose.terminal.app import choose_full

    return choose_full(title, choices)


def _tell(session: Session, arguments: Namespace, told: AnswersFile) -> None:
    """Say what the flags and the file report, before any question."""
    for machine, known in told.others.items():
        for finding, text in known.items():
            _say_of_other(session, machine, finding, text)
    for finding, text in told.reported.items():
        session.do(events.Report(finding, session.understand(_finding(session, finding), text)))
    for given in arguments.reading:
        machine, finding, text = pair(given)
        if machine:
            _say_of_other(session, machine, finding, text)
        else:
            session.do(events.Report(_finding(session, finding), session.understand(finding, text)))
    for text in arguments.symptom:
        _report_words(session, text)


def _say_of_other(session: Session, machine: str, finding: str, text: str) -> None:
    answer = session.understand(_finding(session, finding), text)
    session.do(events.OtherMachine(wiring.machine_named(machine, session.knowledge).id, finding, answer))


def _finding(session: Session, name: str) -> str:
    findings: Mapping[str, object] = session.knowledge.findings
    if name not in findings:
        raise DiagnoseError(f"There is no finding '{name}'.", mend=did_you_mean(name, findings))
    return name


def _report_words(session: Session, text: str) -> None:
    """Report the best match of an operator's words, saying so; the words must fit one finding and value clearly."""
    matches = session.search(text)
    best = next((match for match in matches if match.value), None)
    if best is None or (matches[0].finding != best.finding and matches[0].score > best.score):
        offered = _listed(match.finding for match in matches[:3])
        raise DiagnoseError(f"'{text}' does not say clearly which finding is meant.", mend=offered)
    print(f"'{text}' taken as: {best.words}.", file=sys.stderr)  # noqa: T201 - the door speaks
    session.do(events.Report(best.finding, events.Answer(value=best.value, typed=text)))


def _listed(names: Iterable[str]) -> str:
    listed = ", ".join(names)
    return f"Use --reading with one of: {listed}." if listed else "Use other words, or --reading NAME=VALUE."

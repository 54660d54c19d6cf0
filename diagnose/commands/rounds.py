"""``diagnose rounds FILE``: a round sheet or logged readings: which machines need a consultation, and why."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, TextIO

from diagnose import __version__
from diagnose.commands import wiring
from diagnose.commands.facts_in import add_switches, consult_with
from diagnose.consultation.rounds import Rounds, screen
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace
    from collections.abc import Callable, Mapping

    from diagnose.consultation.events import Answer
    from diagnose.consultation.rounds import MachineRounds
    from diagnose.knowledge.model import Knowledge

__all__ = ["add_arguments", "run"]

_LONG = 5_000_000  # bytes from which a bar shows how far the reading has come
_BAR = 40


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument(
        "file", nargs="?", metavar="FILE", help="CSV of rounds or of a logger; its first line names the columns"
    )
    parser.add_argument("--machine", metavar="NAME", help="the machine of a file that names none")
    parser.add_argument("--html", metavar="PAGE", help="write a page with each changed reading drawn")
    parser.add_argument("--json", action="store_true", help="print the result as JSON")
    parser.add_argument(
        "--consult",
        metavar="MACHINE",
        help="open a consultation about this machine with the facts of the file already in",
    )
    parser.add_argument(
        "--false-alarms",
        type=float,
        default=1.0,
        metavar="N",
        help="false alarms accepted for each machine and year (default 1)",
    )
    parser.add_argument("--oil-report", metavar="CSV", help="a laboratory's oil report: property, value, unit, new")
    add_switches(parser)


def run(arguments: Namespace) -> int:
    """Screen the file; exit status 1 when a machine needs a consultation or the oil has to be acted on."""
    if arguments.false_alarms <= 0:
        raise DiagnoseError("--false-alarms must be more than 0.", mend="Leave it out for 1 a machine and year.")
    if not arguments.file and not arguments.oil_report:
        raise DiagnoseError("Which file?", mend="Write: diagnose rounds FILE")
    oil = _oil(arguments) if arguments.oil_report else ""
    if not arguments.file:
        return int(oil not in ("", "normal"))
    knowledge = wiring.open_knowledge(arguments)
    only = wiring.machine_named(arguments.machine, knowledge).id if arguments.machine else ""
    rounds = _screened(Path(arguments.file), knowledge, only, arguments.false_alarms)
    if arguments.html:
        _write_page(Path(arguments.html), rounds, knowledge, Path(arguments.file).name)
    if arguments.consult:
        return _consult(arguments, rounds, knowledge, oil)
    kept = _kept(arguments, rounds, knowledge.revision)
    if arguments.json:
        import json

        wiring.say(json.dumps({**_record(rounds), "oil_report": oil}, ensure_ascii=False, indent=2))
    else:
        _show(rounds, arguments.file)
        if kept:
            wiring.say(f"Kept as {kept}. All that is kept: diagnose journal list --kind round")
    return int(any(one.needs_consultation for one in rounds.machines) or oil not in ("", "normal"))


def _screened(path: Path, knowledge: Knowledge, only: str, false_alarms: float) -> Rounds:
    try:
        size = path.stat().st_size
        with path.open(newline="", encoding="utf-8-sig", errors="replace", buffering=1 << 20) as file:
            rounds = screen(file, knowledge, only=only, false_alarms=false_alarms, progress=_progress(file, size))
    except OSError as error:
        raise DiagnoseError(f"The file cannot be read: {error.strerror}.", where=str(path)) from error
    except DiagnoseError as error:
        raise DiagnoseError(error.says, where=str(path), mend=error.mend) from error
    if size >= _LONG and sys.stderr.isatty():
        sys.stderr.write("\r" + " " * (_BAR + 8) + "\r")
    return rounds


def _progress(file: TextIO, size: int) -> Callable[[], None]:
    """Return what draws the bar; nothing is drawn for short files, or where nobody looks."""
    if size < _LONG or not sys.stderr.isatty():
        return lambda: None

    def draw() -> None:
        share = min(1.0, file.buffer.tell() / size)
        done = round(_BAR * share)
        sys.stderr.write(f"\r[{'#' * done}{'.' * (_BAR - done)}] {share:4.0%}")
        sys.stderr.flush()

    return draw


def _show(rounds: Rounds, file: str) -> None:
    for complaint in rounds.complaints:
        wiring.say(f"{file}:{complaint.line}: {complaint.says}" if complaint.line else f"{file}: {complaint.says}")
    if rounds.complaints:
        wiring.say()
    for one in rounds.machines:
        if one.reasons:
            wiring.say(
                f"{one.machine}: {'needs a consultation' if one.needs_consultation else 'look at the instrument'}"
            )
            for reason in one.reasons:
                wiring.say(f"  - {reason.says}")
    well = [one.machine for one in rounds.machines if not one.reasons]
    if well:
        wiring.say(f"Nothing out of their normal: {', '.join(well)}")
    short = [one.machine for one in rounds.machines if not one.charts]
    if short:
        wiring.say(f"Too few rounds to know their normal, judged by limits only: {', '.join(short)}")
    need = [one.machine for one in rounds.machines if one.needs_consultation]
    wiring.say(f"{rounds.rows} rows, {len(rounds.machines)} machines, {len(need)} need a consultation.")
    if need:
        wiring.say(f"Open one with the facts in: diagnose rounds {file} --consult {need[0]}")
    wiring.say("Advice only: local procedures and your supervisor come first.")


def _kept(arguments: Namespace, rounds: Rounds, revision: str) -> str:
    """Keep what the round came to, a run for each machine, all or none; return their ids, "" when nothing is kept."""
    if arguments.no_journal or not rounds.machines:
        return ""
    from diagnose.journal.store import Kept, open_journal

    ids = []
    try:
        journal = open_journal(wiring.journal_path(arguments))
        with journal.writing():
            for one in rounds.machines:
                ids.append(wiring.new_run(journal))
                body = {"kind": "Screened", "file": Path(arguments.file).name, **_machine_record(one)}
                journal.add(Kept(0, ids[-1], "round", wiring.now(), one.machine, revision, body, __version__))
    except DiagnoseError as error:
        print(f"diagnose: {error} This round is not kept.", file=sys.stderr)  # noqa: T201 - the door speaks
        return ""
    return ", ".join(f"{run} ({one.machine})" for run, one in zip(ids, rounds.machines, strict=True))


def _record(rounds: Rounds) -> dict[str, object]:
    return {
        "rows": rounds.rows,
        "false_alarms": rounds.false_alarms,
        "machines": [_machine_record(one) for one in rounds.machines],
        "complaints": [complaint._asdict() for complaint in rounds.complaints],
        "complaint_counts": dict(rounds.counts),
    }


def _machine_record(one: MachineRounds) -> dict[str, object]:
    return {
        "machine": one.machine,
        "needs_consultation": one.needs_consultation,
        "rows": one.rows,
        "first": one.first,
        "last": one.last,
        "reasons": [reason._asdict() for reason in one.reasons],
        "facts": {name: _text(answer, "") for name, answer in one.facts.items()},
    }


def _write_page(path: Path, rounds: Rounds, knowledge: Knowledge, source: str) -> None:
    from diagnose.reports.html import page
    from diagnose.reports.rounds import rounds_page

    text = page(rounds_page(rounds, knowledge, source))
    try:
        path.write_text(text, encoding="utf-8")
    except OSError as error:
        raise DiagnoseError(f"The page cannot be written: {error.strerror}.", where=str(path)) from error


def _consult(arguments: Namespace, rounds: Rounds, knowledge: Knowledge, oil: str) -> int:
    """Open a consultation the usual way, with what the file says of the machine and its neighbours as readings."""
    machine = wiring.machine_named(arguments.consult, knowledge).id
    one = next((row for row in rounds.machines if row.machine == machine), None)
    if one is None:
        raise DiagnoseError(f"The file holds nothing of {machine}.", where=arguments.file)
    given = [f"{name}={text}" for name, text in _readings(one.facts, knowledge)]
    for other, facts in one.beside.items():
        given += [f"{other}:{name}={text}" for name, text in _readings(facts, knowledge)]
    if oil and "oil-lab-report" in knowledge.findings:
        given.append(f"oil-lab-report={oil}")
    if not arguments.json:
        _say_facts(one, arguments.file)
    return consult_with(arguments, machine, "loaded", given)


def _say_facts(one: MachineRounds, file: str) -> None:
    wiring.say(f"From {file}, last row {one.last}:")
    for name, answer in one.facts.items():
        wiring.say(f"  {name}: {answer.typed}")
    for reason in one.reasons:
        wiring.say(f"  - {reason.says}")


def _readings(facts: Mapping[str, Answer], knowledge: Knowledge) -> list[tuple[str, str]]:
    units = {name: finding.reading.unit for name, finding in knowledge.findings.items() if finding.reading}
    return [(name, _text(answer, units.get(name, ""))) for name, answer in facts.items()]


def _text(answer: Answer, unit: str) -> str:
    return answer.value if answer.number is None else f"{answer.number:.6g} {unit}".strip()


def _oil(arguments: Namespace) -> str:
    """Show a laboratory's report line by line; return the finding it amounts to, "" when none of it could be judged."""
    from diagnose.calculations.laboratory import read_report

    path = Path(arguments.oil_report)
    try:
        with path.open(newline="", encoding="utf-8-sig", errors="replace") as file:
            report = read_report(file)
    except OSError as error:
        raise DiagnoseError(f"The oil report cannot be read: {error.strerror}.", where=str(path)) from error
    except DiagnoseError as error:
        raise DiagnoseError(error.says, where=str(path), mend=error.mend) from error
    word = report.word if any(result.verdict != "not-judged" for result in report.results) else ""
    if not arguments.json:
        lines = [f"{path}: {complaint}" for complaint in report.complaints]
        lines += [f"{result.measured}: {result.reported}: {result.verdict}" for result in report.results]
        wiring.say("\n".join([*lines, f"oil-lab-report: {word or 'nothing could be judged'}"]))
    return word

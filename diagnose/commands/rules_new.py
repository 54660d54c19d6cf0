"""``diagnose rules new``: a new finding, cause, rule, machine or case for the site, asked for step by step."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

from diagnose.commands.rule_files import opened, read_text, site_rules, write_text
from diagnose.commands.wiring import say
from diagnose.knowledge import library
from diagnose.planning.draft import KINDS, SECTIONS, Ask, id_from, neighbours, written
from diagnose.planning.insertion import inserted
from diagnose.planning.lint import lint
from diagnose.planning.rule_base import RuleBase
from diagnose.planning.told import as_text
from diagnose.planning.trial import faults_of
from diagnose.values.names import is_id, is_machine_id
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace
    from collections.abc import Callable, Iterable, Mapping

    from diagnose.knowledge.model import Knowledge

__all__ = ["add_arguments", "run"]


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument("kind", choices=tuple(KINDS), help="what is new")
    parser.add_argument("--id", metavar="ID", help="its id (default: made of its first answer)")
    parser.add_argument(
        "--file", metavar="NAME", default="own.yaml", help="file in the site's rules (default own.yaml)"
    )
    parser.add_argument("--no-cases", action="store_true", help="do not run the cases before and after")


def run(arguments: Namespace, ask: Callable[[str], str] = input) -> int:
    """Ask, write, check, and tell what changed; what does not load is taken out again, exit status 1."""
    folder = site_rules(arguments)
    if arguments.kind == "machine" and not arguments.id:
        raise DiagnoseError("A machine needs its tag.", mend="Give it with --id, such as --id BFP-2.")
    before = opened(arguments).loaded
    if before.problems:
        raise DiagnoseError("The rules hold faults already.", mend="Run 'diagnose rules check' and mend them first.")
    knowledge = before.knowledge
    say("Answer each question; an empty answer leaves out what is not needed. Ctrl-C ends without writing.")
    rules = Path(arguments.rules) if getattr(arguments, "rules", None) else None
    texts = library.texts_to_keep(rules=rules, site=folder.parent)
    answers = _answers(arguments.kind, knowledge, texts, ask)
    if answers is None:
        say("Nothing was written.")
        return 1
    name = arguments.id or _proposed(arguments.kind, answers, knowledge)
    path, text = _placed(arguments, folder, name, answers)
    old = read_text(path) if path.exists() else None
    write_text(path, text)
    loaded, shipped = opened(arguments, cases=arguments.kind == "case")
    faults = [one for one in loaded.problems if arguments.kind != "case" or one.place.file == str(path)]
    if faults:
        for line in as_text(faults, loaded.texts):
            say(line)
        _put_back(path, old)
        say("It does not fit; nothing was kept. It would have been:")
        say(written(arguments.kind, name, answers))
        return 1
    say(f"Written to {path}:")
    say(written(arguments.kind, name, answers))
    told = [one for one in lint(RuleBase(loaded.knowledge, shipped)) if one.place.file == str(path)]
    for line in as_text(told, {str(path): text}):
        say(line)
    if not arguments.no_cases and arguments.kind in SECTIONS:
        _tell_changes(knowledge, loaded.knowledge)
    return 0


def _answers(
    kind: str, knowledge: Knowledge, texts: Mapping[str, Mapping[str, str]], ask: Callable[[str], str]
) -> dict[str, str] | None:
    """Ask everything, and again what the loader would not take; None when it is one of those already there."""
    answers: dict[str, str] = {}
    for number, one in enumerate(KINDS[kind]):
        answers[one.key] = _answer(one, knowledge, ask)
        while answers[one.key] and (faults := faults_of(kind, one.key, answers, texts, knowledge)):
            for fault in dict.fromkeys(f"  {fault.says} {fault.mend}" for fault in faults):
                say(fault)
            answers[one.key] = _answer(one, knowledge, ask)
        near = neighbours(kind, answers[one.key], knowledge) if number == 0 else []
        if near:
            say("Already there:")
            for name, title in near:
                say(f"  {name}: {title}")
            if ask("Is it one of these? [y/N] ").strip().lower() in ("y", "yes"):
                return None
    return answers


def _answer(one: Ask, knowledge: Knowledge, ask: Callable[[str], str]) -> str:
    words = list(one.words(knowledge))
    _complete_with(words)
    shown = f" ({', '.join(words)})" if 0 < len(words) <= 8 else ""  # noqa: PLR2004  what fits on a line
    while True:
        said = ask(f"{one.ask}{shown}\n  such as: {one.example}\n> ").strip()
        if said or not one.needed:
            return said
        say("This is needed.")


def _complete_with(words: Iterable[str]) -> None:
    """Let the Tab key complete these words, where the system's line editor can."""
    try:
        import readline
    except ImportError:  # some systems have none; the answers can be typed all the same
        return
    if not sys.stdin.isatty():
        return
    listed = sorted(words)

    def complete(text: str, state: int) -> str | None:
        return next(iter([one for one in listed if one.startswith(text)][state : state + 1]), None)

    readline.set_completer_delims(" ,:")
    readline.set_completer(complete)
    readline.parse_and_bind("tab: complete")


def _proposed(kind: str, answers: dict[str, str], knowledge: Knowledge) -> str:
    first = answers[KINDS[kind][0].key]
    known = {"finding": knowledge.findings, "cause": knowledge.causes, "rule": knowledge.rules}.get(kind, {})
    return id_from(first, known)


def _placed(arguments: Namespace, folder: Path, name: str, answers: dict[str, str]) -> tuple[Path, str]:
    """Return the file and its new text."""
    kind = arguments.kind
    if not (is_machine_id if kind == "machine" else is_id)(name):
        raise DiagnoseError(f"'{name}' cannot be an id.", mend="Use lower-case letters, digits and single hyphens.")
    entry = written(kind, name, answers)
    if kind in SECTIONS:
        if "/" in arguments.file or not arguments.file.endswith(".yaml"):
            raise DiagnoseError(f"'{arguments.file}' is no file of rules.", mend="Name it as own.yaml.")
        path = folder / arguments.file
        return path, inserted((read_text(path) or "") if path.exists() else "", SECTIONS[kind], entry)
    path = folder.parent / ("machines" if kind == "machine" else "cases") / f"{name}.yaml"
    if path.exists():
        raise DiagnoseError("There is such a file already.", where=str(path), mend="Choose another id with --id.")
    return path, entry


def _put_back(path: Path, old: str | None) -> None:
    if old is None:
        path.unlink()
    else:
        write_text(path, old)


def _tell_changes(before: Knowledge, after: Knowledge) -> None:
    """Run the shipped cases under the rules before and after, and say what changed for people."""
    from diagnose.commands.case_runs import on_all_processors
    from diagnose.planning.case_run import run_case
    from diagnose.planning.compare import compared

    cases, _ = library.load_cases([library.shipped_cases()], after)
    jobs = [
        (case, knowledge)
        for case in cases
        if case.profile or case.machine in after.site.machines
        for knowledge in (before, after)
    ]
    results = on_all_processors("cases", jobs, lambda job: run_case(*job))
    old = {one.case: one for one in results[::2]}
    new = {one.case: one for one in results[1::2]}
    comparison = compared(before, after, old, new)
    for one in comparison.changes:
        say(f"{one.kind}: {one.case}{': ' + one.says if one.says else ''}")
    for line in comparison.ambiguous:
        say(line)
    say(f"{comparison.cases} cases run before and after: {len(comparison.changes)} changes.")

"""``diagnose journal outcome | learn``."""

from __future__ import annotations

import json
from dataclasses import asdict
from typing import TYPE_CHECKING

from diagnose.commands import wiring
from diagnose.journal.closed_jobs import closed_jobs, counted
from diagnose.journal.learning import LEAST_JOBS, LEAST_OCCASIONS, proposals, warnings
from diagnose.journal.learnt_rules import FILE, overlay, own_entries
from diagnose.journal.outcomes import KNOWN_BY, Outcome, check, record, words
from diagnose.journal.store import open_journal, open_to_read
from diagnose.knowledge import library
from diagnose.values.names import did_you_mean
from diagnose.values.problem import DiagnoseError
from diagnose.values.text import inert

if TYPE_CHECKING:
    from argparse import Namespace
    from collections.abc import Sequence
    from pathlib import Path

    from diagnose.journal.learning import Proposal
    from diagnose.journal.store import Journal
    from diagnose.knowledge.model import Knowledge

__all__ = ["run_learn", "run_outcome"]


def run_outcome(arguments: Namespace) -> int:
    """Record what was really wrong."""
    if arguments.known_by not in KNOWN_BY:
        says = f"'{arguments.known_by}' does not say how it is known."
        raise DiagnoseError(says, mend=did_you_mean(arguments.known_by, KNOWN_BY))
    outcome = Outcome(
        causes=tuple(dict.fromkeys(arguments.cause)),
        text=arguments.text,
        none_found=arguments.none_found,
        withdrawn=arguments.withdraw,
        known_by=arguments.known_by,
        done=arguments.done,
        by=arguments.by,
        why=arguments.correct,
    )
    check(outcome, wiring.open_knowledge(arguments).causes)
    record(open_to_read(wiring.journal_path(arguments)), arguments.id, wiring.now(), outcome)
    wiring.say(inert(f"Recorded for {arguments.id}: {words(outcome)}."))
    return 0


def run_learn(arguments: Namespace) -> int:
    """Show what the closed jobs propose; write it when it is accepted. Exit status 1 when there is nothing to move."""
    if arguments.accept and not arguments.by.strip():
        raise DiagnoseError("Who accepts must be known.", mend="Add --by NAME.")
    journal = open_to_read(wiring.journal_path(arguments))
    site = wiring.site_folder(arguments)
    knowledge, texts = _without_learnt(site)
    counts = counted(closed_jobs(journal), knowledge)
    proposed = _only(proposals(counts, knowledge), arguments.only)
    if arguments.json:
        rows = [{**asdict(one), "place": str(one.place)} for one in proposed]
        wiring.say(json.dumps({"jobs": counts.jobs, "warnings": warnings(counts), "proposals": rows}, indent=2))
    else:
        _print(proposed, warnings(counts), counts.jobs)
    if arguments.accept and proposed:
        _accept(arguments, journal, site, proposed, knowledge, texts)
    return 0 if proposed else 1


def _without_learnt(site: Path) -> tuple[Knowledge, dict[str, str]]:
    """Load the rules as they are without what was learnt before: all closed jobs are counted anew each time."""
    texts = library.texts_to_keep(site=site)
    texts["site"].pop(f"/rules/{FILE}", None)
    loaded = library.load_kept(texts)
    if loaded.problems:
        raise DiagnoseError("The rules hold faults.", mend="'diagnose consult' names them; mend them first.")
    return loaded.knowledge, texts["rules"]


def _only(proposed: tuple[Proposal, ...], ids: Sequence[str]) -> tuple[Proposal, ...]:
    if not ids:
        return proposed
    known = {one.rule or one.cause for one in proposed}
    for name in ids:
        if name not in known:
            raise DiagnoseError(f"Nothing is proposed for '{name}'.", mend=did_you_mean(name, known))
    return tuple(one for one in proposed if (one.rule or one.cause) in ids)


def _print(proposed: tuple[Proposal, ...], warned: tuple[str, ...], jobs: int) -> None:
    wiring.say(f"From {jobs} closed jobs. Moved only on {LEAST_JOBS} jobs and {LEAST_OCCASIONS} answers or more.")
    for line in warned:
        wiring.say(f"Note: {line}")
    for one in proposed:
        low, high = one.interval
        what = f"{one.rule}: {one.cause} shows {one.finding} {one.value}" if one.rule else f"How common is {one.cause}"
        wiring.say(
            f"{what}: {one.old:.1%} ({one.word}) -> {one.new:.1%}, seen {one.seen} of {one.count}, "
            f"95 % interval {low:.1%} to {high:.1%}."
        )
    for one in own_entries(proposed):
        wiring.say(f"Note: {one.rule or one.cause} is the site's own; change it yourself at {one.place}.")
    if not proposed:
        wiring.say("Nothing is to be moved.")


def _accept(
    arguments: Namespace,
    journal: Journal,
    site: Path,
    proposed: tuple[Proposal, ...],
    knowledge: Knowledge,
    texts: dict[str, str],
) -> None:
    if site == library.demo_site():
        raise DiagnoseError("The demo site learns nothing.", mend="Name your plant's folder with --site.")
    now, path = wiring.now(), site / "rules" / FILE
    text = overlay(proposed, knowledge, texts, arguments.by, now)
    before = path.read_text(encoding="utf-8") if path.exists() else None
    _put(path, text)
    faults = library.load(site=site).problems
    if faults:
        path.unlink() if before is None else _put(path, before)
        raise DiagnoseError(f"The overlay would not load, and was not kept: {faults[0].line()}")
    kept = [{**asdict(one), "place": str(one.place)} for one in proposed if one not in own_entries(proposed)]
    body = {"by": arguments.by, "file": FILE, "proposals": kept, "causes": []}
    open_journal(journal.path).append(wiring.new_run(journal), "learning", now, "", knowledge.revision, body)
    wiring.say(f"Written: {path}")


def _put(path: Path, text: str) -> None:
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        part = path.with_suffix(".part")
        part.write_text(text, encoding="utf-8")
        part.replace(path)
    except OSError as error:
        raise DiagnoseError(f"The overlay cannot be written: {error.strerror}.", where=str(path)) from error

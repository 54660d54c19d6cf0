"""``diagnose quiz results``: standing of trainees and class, causes, findings, questions; CSV, page, erasing a name."""

from __future__ import annotations

import csv
import io
import json
from math import isnan
from typing import TYPE_CHECKING, Any

from diagnose.commands import quiz_files, quiz_names, wiring
from diagnose.training import wording
from diagnose.training.attempt import Begun, event_from
from diagnose.training.results import Result, by, items, result_from
from diagnose.training.standing import standing

if TYPE_CHECKING:
    from argparse import Namespace
    from collections.abc import Iterator, Mapping, Sequence
    from pathlib import Path

    from diagnose.journal.store import Journal

__all__ = ["run"]

_BLOCKS = "_.-=+*#%@"  # low to high, readable in every encoding


def run(arguments: Namespace) -> int:
    """Show results, or erase a name."""
    path = quiz_names.names_path(arguments)
    if arguments.erase:
        one = quiz_names.erase(arguments.erase, path)
        wiring.say(f"The name is erased. The marks stay under {one}, which nothing ties to a person any more.")
        return 0
    rows = list(_results(arguments, path))
    known = quiz_names.names(path)
    if not rows:
        wiring.say("No question has been answered yet.")
    elif arguments.csv:
        quiz_files.write(arguments.csv, _csv(rows, known if arguments.names else {}))
    elif arguments.page:
        _page(arguments, rows, known if arguments.names else {})
    elif arguments.json:
        wiring.say(json.dumps(_as_json(rows, known if arguments.names else {}), ensure_ascii=False, indent=2))
    else:
        for line in _lines(arguments, rows, known):
            wiring.say(line)
    return 0


def _results(arguments: Namespace, path: Path) -> Iterator[Result]:
    from diagnose.journal.store import open_to_read

    trainee = quiz_names.id_of(arguments.trainee, path, make=False) if arguments.trainee else ""
    for result in _kept(open_to_read(wiring.journal_path(arguments))):
        if trainee in ("", result.trainee) and arguments.course in ("", result.course):
            yield result


def _kept(journal: Journal) -> Iterator[Result]:
    for run in journal.runs("quiz"):
        events = journal.events(run, "quiz")
        if events[-1].body["kind"] == "Closed" and isinstance(event_from(dict(events[0].body)), Begun):
            yield result_from(run, events[0].body, events[-1].body["result"], events[-1].at)


def _who(result: Result, known: Mapping[str, str]) -> str:
    if result.trainee:
        return known.get(result.trainee, result.trainee)
    return f"team {result.team}" if result.team else "not named"


def _lines(arguments: Namespace, rows: Sequence[Result], known: Mapping[str, str]) -> Iterator[str]:
    from diagnose.knowledge.library import load

    knowledge = load(site=wiring.site_folder(arguments), cache=wiring.cache_folder()).knowledge
    yield f"Class: {wording.standing_words(standing([(row.mark, row.unsafe) for row in rows]))}."
    yield "Trainees (progress from first to latest, low to high):"
    groups: dict[str, list[Result]] = {}
    for row in rows:
        groups.setdefault(_who(row, known), []).append(row)
    for who, standing_of in by(rows, lambda row: [_who(row, known)]).items():
        yield f"  {who}: {wording.standing_words(standing_of)}. Progress {_progress(groups[who])}"
    yield "Causes, weakest first:"
    causes = by(rows, lambda row: row.causes)
    for name, one in sorted(causes.items(), key=lambda pair: pair[1].mean):
        title = knowledge.causes[name].title if name in knowledge.causes else name
        yield f"  {title}: {_many(one.cases, 'case')}, mean mark {one.mean:.0f}"
    yield "Checks that cost most (mean bits lost when chosen):"
    for name, times, lost in _regrets(rows)[:10]:
        yield f"  {name.replace('-', ' ')}: {lost:.2f} bits, chosen {_many(times, 'time')}"
    yield "Questions, hardest first (difficulty is the mean mark as a share; discrimination against the other marks):"
    for item in items(rows):
        told = "not known yet" if isnan(item.discrimination) else f"{item.discrimination:+.2f}"
        tries = _many(item.attempts, "attempt")
        yield f"  {_item(item.item)}: {tries}, difficulty {item.difficulty:.2f}, discrimination {told}"
    yield from (f"Method: {text}" for text in wording.METHOD)


def _item(name: str) -> str:
    """Return a question's name; of a made one, what it was made from, its seed and number last."""
    if "|" not in name:
        return name
    *wish, seed, number = name.split("|")
    return f"made ({', '.join(filter(None, wish))}), seed {seed}, number {number}"


def _many(number: int, of: str) -> str:
    return f"{number} {of}{'s' if number != 1 else ''}"


def _progress(rows: Sequence[Result]) -> str:
    steps = len(_BLOCKS) - 1
    return "".join(_BLOCKS[round(steps * row.mark / 100)] for row in rows)


def _regrets(rows: Sequence[Result]) -> list[tuple[str, int, float]]:
    lost: dict[str, list[float]] = {}
    for row in rows:
        for finding, bits in row.checks:
            lost.setdefault(finding, []).append(bits)
    table = [(name, len(bits), sum(bits) / len(bits)) for name, bits in lost.items()]
    return sorted(table, key=lambda one: (-one[2], one[0]))


def _flat(row: Result, known: Mapping[str, str]) -> dict[str, Any]:
    parts = {f"{name}": round(row.parts[name], 4) if name in row.parts else "" for name in _PARTS}
    return {
        "attempt": row.attempt,
        "at": row.at,
        "trainee": known.get(row.trainee, row.trainee),
        "team": row.team,
        "course": row.course,
        "format": row.format,
        "item": row.item,
        "mark": round(row.mark, 2),
        "unsafe": row.unsafe,
        **parts,
        "certainty": row.certainty,
        "minutes": round(row.minutes, 1),
        "causes": " ".join(row.causes),
    }


_PARTS = ("safety", "accuracy", "economy", "order")


def _csv(rows: Sequence[Result], known: Mapping[str, str]) -> str:
    table = [{name: _not_a_formula(value) for name, value in _flat(row, known).items()} for row in rows]
    text = io.StringIO()
    writer = csv.DictWriter(text, list(table[0]), lineterminator="\n")
    writer.writeheader()
    writer.writerows(table)
    return text.getvalue()


def _not_a_formula(value: object) -> object:
    """Keep a text that a spreadsheet would reckon with a text."""
    return f"'{value}" if isinstance(value, str) and value[:1] in "=+-@" and value else value


def _as_json(rows: Sequence[Result], known: Mapping[str, str]) -> dict[str, Any]:
    people = by(rows, lambda row: [known.get(row.trainee, row.trainee) or row.team or "not named"])
    analysed = [
        {**one._asdict(), "discrimination": None if isnan(one.discrimination) else one.discrimination}
        for one in items(rows)
    ]
    return {
        "attempts": [_flat(row, known) for row in rows],
        "trainees": {name: one._asdict() for name, one in people.items()},
        "causes": {name: one._asdict() for name, one in by(rows, lambda row: row.causes).items()},
        "items": analysed,
        "checks": [{"finding": name, "times": times, "bits_lost": lost} for name, times, lost in _regrets(rows)],
    }


def _page(arguments: Namespace, rows: Sequence[Result], known: Mapping[str, str]) -> None:
    from diagnose.reports.html import page
    from diagnose.reports.training import standing_page

    people: dict[str, list[Result]] = {}
    for row in rows:
        people.setdefault(_who(row, known), []).append(row)
    quiz_files.write(arguments.page, page(standing_page(people)))

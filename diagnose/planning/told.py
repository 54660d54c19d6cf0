"""What a check of the rules found, told as text with the line it is about, as JSON, or as SARIF for other tools."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any
from urllib.parse import quote

from diagnose.planning.lint import LEVELS, count, level, pages
from diagnose.values.problem import frame

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from diagnose.values.problem import Problem

__all__ = ["as_json", "as_sarif", "as_text", "count_line"]

_SCHEMA = "https://json.schemastore.org/sarif-2.1.0.json"


def as_text(problems: Iterable[Problem], texts: Mapping[str, str]) -> Iterator[str]:
    """Give for each problem its line, and under it the line of the file with a caret where ``texts`` has the file."""
    for problem in problems:
        yield f"{level(problem)}: {problem.line()}"
        if problem.place.file in texts:
            yield frame(problem, texts[problem.place.file])


def count_line(problems: Sequence[Problem], accepted: int) -> str:
    """Give the counts by level in one line, with those that a comment accepts."""
    counts = count(problems)
    shown = ", ".join(f"{counts[name]} {name}{'' if counts[name] == 1 else 's'}" for name in LEVELS)
    return f"{shown}; {accepted} accepted by a comment." if accepted else f"{shown}."


def as_json(problems: Iterable[Problem], accepted: int) -> dict[str, Any]:
    """Give the problems as plain data."""
    problems = list(problems)
    rows = [
        {
            "file": problem.place.file,
            "line": problem.place.line,
            "column": problem.place.column,
            "level": level(problem),
            "code": problem.code,
            "says": problem.says,
            "mend": problem.mend,
        }
        for problem in problems
    ]
    return {"problems": rows, "counts": {**count(problems), "accepted": accepted}}


def as_sarif(problems: Iterable[Problem], version: str) -> dict[str, Any]:
    """Give the problems as a SARIF 2.1.0 log, with the page of every code that occurs."""
    problems = list(problems)
    occurring = {problem.code for problem in problems}
    rules = [one for one in pages() if one.code in occurring]
    index = {one.code: at for at, one in enumerate(rules)}
    driver = {
        "name": "diagnose",
        "version": version,
        "rules": [
            {
                "id": one.code,
                "shortDescription": {"text": one.title},
                "help": {"text": one.text()},
                "defaultConfiguration": {"level": one.level},
            }
            for one in rules
        ],
    }
    results = [_result(problem, index[problem.code]) for problem in problems]
    run = {"tool": {"driver": driver}, "columnKind": "unicodeCodePoints", "results": results}
    return {"$schema": _SCHEMA, "version": "2.1.0", "runs": [run]}


def _result(problem: Problem, rule: int) -> dict[str, Any]:
    region = {"startLine": problem.place.line, "startColumn": problem.place.column}
    place = {"artifactLocation": {"uri": quote(problem.place.file)}, "region": region}
    return {
        "ruleId": problem.code,
        "ruleIndex": rule,
        "level": level(problem),
        "message": {"text": f"{problem.says} {problem.mend}".strip()},
        "locations": [{"physicalLocation": place}],
    }

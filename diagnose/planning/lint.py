"""Runs the checks over a rule base; levels, counts and the pages behind the codes."""

from __future__ import annotations

import re
from collections import Counter
from typing import TYPE_CHECKING

from diagnose.knowledge.collecting import without_collecting
from diagnose.planning.checks import CHECKS
from diagnose.planning.page import Page, page_of
from diagnose.values.names import did_you_mean
from diagnose.values.problem import DiagnoseError, Problem

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from diagnose.planning.rule_base import RuleBase

__all__ = ["LEVELS", "allowed", "count", "level", "lint", "page", "pages"]

LEVELS = ("error", "warning", "note")
_ALLOW = re.compile(r"#\s*allow:\s*([a-z0-9, -]+)")
_BY_CODE = {check.CODE: check for check in CHECKS}


def lint(base: RuleBase, only: Iterable[str] = ()) -> tuple[Problem, ...]:
    """Run all checks, or those named; the problems are sorted by place and none stands twice."""
    wanted = [_BY_CODE[code] for code in only] or CHECKS
    with without_collecting():
        return tuple(sorted({problem for check in wanted for problem in check.check(base)}))


def level(problem: Problem) -> str:
    """Return error, warning or note; what the loader reports is always an error."""
    check = _BY_CODE.get(problem.code)
    return check.LEVEL if check else "error"


def count(problems: Iterable[Problem]) -> Mapping[str, int]:
    """Return how many problems there are of each level."""
    found = Counter(level(problem) for problem in problems)
    return {name: found[name] for name in LEVELS}


def allowed(problem: Problem, lines: list[str]) -> bool:
    """Tell whether a comment ``# allow: CODE`` on the line, or alone on the line above, accepts what a check says.

    Only warnings and notes can be accepted; an error cannot be talked away.
    """
    if level(problem) == "error":
        return False
    at = problem.place.line - 1
    here = lines[at] if at < len(lines) else ""
    above = lines[at - 1].strip() if 0 < at <= len(lines) else ""
    texts = [here, above if above.startswith("#") else ""]
    found = (match[1] for text in texts for match in _ALLOW.finditer(text))
    return any(problem.code in re.split(r"[,\s]+", codes.strip()) for codes in found)


def pages() -> tuple[Page, ...]:
    """Return every page: first those of the loader's codes, then those of the checks, each by code."""
    from diagnose.planning.loader_pages import loader_pages

    of_checks = (page_of(check.__doc__ or "", check.LEVEL) for check in CHECKS)
    return (*sorted(loader_pages(), key=lambda one: one.code), *sorted(of_checks, key=lambda one: one.code))


def page(code: str) -> Page:
    """Return the page of a code; raises DiagnoseError, with the nearest, when there is none."""
    by_code = {one.code: one for one in pages()}
    if code not in by_code:
        raise DiagnoseError(f"There is no code '{code}'.", mend=did_you_mean(code, by_code))
    return by_code[code]

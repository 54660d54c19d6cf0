"""too-long: words that a small screen or a list cannot hold.

A value is a row of a list, a title is a row of the ranking, a question is read while walking.

Bad:
    causes:
      gland-drain-blocked:
        title: >-
          Drain of the gland housing at the drive end blocked by rust, scale, old packing or paint so that the
          water of the gland steam cannot run away
        how-common: seldom
        if-left: Water collects in the oil.
        put-right: [{who: maintenance, do: Clear the drain.}]
        source: common practice
    rules:
      - rule: knocking-by-gland
        symptom: {noise: knocking}
        causes: {gland-drain-blocked: almost always}
        source: common practice
Good:
    causes:
      gland-drain-blocked:
        title: Gland drain blocked
        how-common: seldom
        if-left: Water collects in the oil.
        put-right: [{who: maintenance, do: Clear the drain.}]
        source: common practice
    rules:
      - rule: knocking-by-gland
        symptom: {noise: knocking}
        causes: {gland-drain-blocked: almost always}
        source: common practice
Mend: Say it shorter; details belong into 'how', 'do' or 'if-left'.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.values.problem import Problem
from diagnose.values.text import one_line, width

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.planning.rule_base import RuleBase
    from diagnose.values.problem import Place

__all__ = ["CODE", "LEVEL", "MOST", "check"]

CODE, LEVEL = "too-long", "warning"

MOST = {
    "value": 32,
    "title": 76,
    "question": 140,
    "how": 320,
    "caution": 200,
    "what to do": 420,
    "action": 240,
    "word": 40,
}  # columns: a row of 80, two to five lines of it


def check(base: RuleBase) -> Iterator[Problem]:
    """Give a problem for each text that takes more columns than there is room for."""
    for what, text, place in _texts(base):
        if width(text) > MOST[what]:
            says = f"This {what} takes {width(text)} columns of {MOST[what]}: '{one_line(text, 40)}'"
            yield Problem(place, CODE, says, "Say it shorter.")
        elif max(map(width, text.split()), default=0) > MOST["word"]:
            yield Problem(place, CODE, f"A word of '{one_line(text, 40)}' cannot be broken.", "Split the word.")


def _texts(base: RuleBase) -> Iterator[tuple[str, str, Place]]:
    for finding in base.knowledge.findings.values():
        yield "title" if finding.concluded else "question", finding.ask, finding.place
        yield "how", finding.how, finding.place
        for value in finding.values:
            yield "value", value, finding.place
    for cause in base.knowledge.causes.values():
        yield "title", cause.title, cause.place
        for action in cause.put_right:
            yield "action", action.do, action.place
    for caution in base.knowledge.cautions.values():
        yield "caution", caution.say, caution.place
        yield "what to do", caution.do, caution.place
    for rule in base.knowledge.rules.values():
        for action in rule.actions:
            yield "action", action.do, action.place

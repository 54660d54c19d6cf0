"""unused-source: a registered document that nothing cites.

Bad:
    sources:
      oil-book: The book of oils, second edition
Good:
    sources:
      oil-book: The book of oils, second edition
    rules:
      - rule: level-low
        symptom: {oil-level: low}
        caution: water-in-oil
        source: oil-book, chapter 2
Mend: Cite it where it belongs, or delete it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.values.problem import Problem

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.planning.rule_base import RuleBase

__all__ = ["CODE", "LEVEL", "check"]

CODE, LEVEL = "unused-source", "note"


def check(base: RuleBase) -> Iterator[Problem]:
    """Give a note for each short name that no source begins with."""
    knowledge = base.knowledge
    items = (knowledge.findings, knowledge.causes, knowledge.rules, knowledge.cautions, knowledge.checks)
    cited = {_short(item.source) for group in items for item in group.values()}
    cited |= {_short(link.source) for rule in knowledge.rules.values() for link in rule.links}
    cited |= {_short(link.source) for cause in knowledge.causes.values() for link in cause.leads_to}
    for name in knowledge.sources:
        if name not in cited:
            says = f"Nothing cites the source '{name}'."
            yield Problem(knowledge.source_places[name], CODE, says, "Cite it where it belongs, or delete it.")


def _short(source: str) -> str:
    return source.split(",", maxsplit=1)[0].strip()

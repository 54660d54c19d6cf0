"""Drafts: rules that nobody has reviewed yet. They work, and their cautions say that they are drafts."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

    from diagnose.knowledge.model import Caution, Rule

__all__ = ["DRAFT_SAYS", "marked"]

DRAFT_SAYS = "(From a draft rule, not reviewed yet.) "


def marked(
    rules: Mapping[str, Rule], cautions: Mapping[str, Caution]
) -> tuple[Mapping[str, Rule], Mapping[str, Caution]]:
    """Give each draft rule cautions of its own, ``ID-draft``: the same in rank and words, but that they say so.

    A reviewed rule that raises the same caution raises it as it stands.
    """
    raised = {name for rule in rules.values() if rule.draft for name in rule.cautions if name in cautions}
    if not raised:
        return rules, cautions
    of_drafts = {name: f"{name}-draft" for name in raised}
    made = {
        of_drafts[name]: one._replace(id=of_drafts[name], say=DRAFT_SAYS + one.say)
        for name, one in cautions.items()
        if name in raised
    }
    drafts = {
        rule.id: rule._replace(cautions=tuple(of_drafts.get(name, name) for name in rule.cautions))
        for rule in rules.values()
        if rule.draft
    }
    return MappingProxyType({**rules, **drafts}), MappingProxyType({**cautions, **made})

"""The checks of a rule base, one a module; each has CODE, LEVEL, ``check`` and its page as the docstring."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from diagnose.planning.checks import (
    beyond_operator,
    cause_outshone,
    cause_without_sign,
    caution_always,
    caution_never,
    circular_rules,
    conflicting_rules,
    contradicts_shipped,
    dangerous_without_caution,
    dead_end_condition,
    dead_end_goal,
    draft_rule,
    empty_link,
    feature_never,
    forbidden_advice,
    hot_how,
    no_plain_words,
    odd_character,
    only_from_memory,
    phase_never,
    redundant_rule,
    same_row,
    subsumed_rule,
    too_long,
    two_signs_one_thing,
    unnecessary_condition,
    unreachable_rule,
    unused_conclusion,
    unused_feature,
    unused_finding,
    unused_source,
    unused_value,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.planning.rule_base import RuleBase
    from diagnose.values.problem import Problem

__all__ = ["CHECKS", "Check"]


class Check(Protocol):
    """What a module of this package offers."""

    CODE: str
    LEVEL: str
    __doc__: str | None

    def check(self, base: RuleBase) -> Iterator[Problem]:
        """Give a problem for each fault found."""


CHECKS: tuple[Check, ...] = (
    beyond_operator,
    cause_outshone,
    cause_without_sign,
    caution_always,
    caution_never,
    circular_rules,
    conflicting_rules,
    contradicts_shipped,
    dangerous_without_caution,
    dead_end_condition,
    dead_end_goal,
    draft_rule,
    empty_link,
    feature_never,
    forbidden_advice,
    hot_how,
    no_plain_words,
    odd_character,
    only_from_memory,
    phase_never,
    redundant_rule,
    same_row,
    subsumed_rule,
    too_long,
    two_signs_one_thing,
    unnecessary_condition,
    unreachable_rule,
    unused_conclusion,
    unused_feature,
    unused_finding,
    unused_source,
    unused_value,
)

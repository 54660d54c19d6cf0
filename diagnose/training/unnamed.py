"""A machine without anything that tells whose it is: the same features and numbers under neutral names."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING

from diagnose.values.problem import Place

if TYPE_CHECKING:
    from diagnose.knowledge.model import Knowledge, Machine

__all__ = ["unnamed"]

_ID = "M-1"
_DRIVEN = ("pump", "fan", "compressor", "generator")


def unnamed(machine: Machine, knowledge: Knowledge) -> Machine:
    """Return the machine as rules see it: features, governor class, ratings, limits, usual readings.

    Its id, title, service, headers, procedures, round sheets and place are dropped or made neutral; of usual states
    told in words those are kept that are values of the finding, and so say nothing of their own.
    """
    driven = next((word for word in _DRIVEN if f"drives-{word}" in machine.features), "machine")
    words = {
        name: text
        for name, text in machine.normal_words.items()
        if name in knowledge.findings and text.replace(" ", "-") in knowledge.findings[name].values
    }
    return machine._replace(
        id=_ID,
        title=f"Steam turbine with a {driven}",
        drives_kind=driven,
        drives_service="",
        normal_words=MappingProxyType(words),
        shares=MappingProxyType({shared: shared.replace("-", " ") for shared in machine.shares}),
        procedures=MappingProxyType({}),
        place=Place("", 1, 1),
        rounds=None,
    )

"""The part of the rules that a machine in a phase has to do with; when it did not change, neither did its cases."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from diagnose.reasoning.compile import fits

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from diagnose.knowledge.model import Knowledge, Machine

__all__ = ["slice_of"]

_NOT_MEANT = ("place", "order", "source", "review", "subsystem", "also_called")  # changes nothing of a consultation


def slice_of(knowledge: Knowledge, machine: Machine, phase: str) -> int:
    """Return a hash of all that can matter to a consultation about this machine in this phase, in this process."""
    parts: list[object] = [repr(machine), phase, repr(knowledge.scales)]
    parts += _plain(knowledge.findings.values(), machine, "")
    parts += _plain(knowledge.causes.values(), machine, phase)
    parts += _plain(knowledge.rules.values(), machine, phase)
    parts += [repr(_meant(caution)) for caution in knowledge.cautions.values()]
    return hash(tuple(parts))


def _plain(items: Iterable[object], machine: Machine, phase: str) -> Iterator[str]:
    for item in items:
        fitting = fits(item.needs, item.lacks, machine.features)  # type: ignore[attr-defined]
        if fitting and (not phase or phase in item.phases):  # type: ignore[attr-defined]
            yield repr(_meant(item))


def _meant(item: object) -> object:
    if hasattr(item, "_asdict"):
        return {key: _meant(value) for key, value in item._asdict().items() if key not in _NOT_MEANT}
    if isinstance(item, frozenset):
        return sorted(item)
    if isinstance(item, tuple):
        return [type(item).__name__, *map(_meant, item)]
    return {**item} if isinstance(item, Mapping) else item

"""How far a number may be from the truth: by the machine's own gauge where its profile says, else as is usual."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.calculations.limits import standard_error

if TYPE_CHECKING:
    from diagnose.knowledge.model import Finding, Machine

__all__ = ["accuracy"]


def accuracy(finding: Finding, machine: Machine) -> float:
    """Return the standard uncertainty of a reading in its own unit (K for C); 0 for what is no number.

    A gauge may err either way by its largest error; without one the rules' own figure for the reading stands.
    """
    gauge = machine.instruments.get(finding.id)
    if gauge is not None:
        return standard_error(gauge.value)
    return finding.reading.accuracy if finding.reading else 0.0

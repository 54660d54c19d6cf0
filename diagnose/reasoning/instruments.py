"""How far a number may be from the truth: by the machine's own gauge where its profile says, else as is usual."""

from __future__ import annotations

from math import sqrt
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from diagnose.knowledge.model import Finding, Machine

__all__ = ["accuracy"]


def accuracy(finding: Finding, machine: Machine) -> float:
    """Return the standard uncertainty of a reading in its own unit (K for C); 0 for what is no number.

    A gauge may err either way by its largest error, every error within it as likely: divided by sqrt(3). Source: JCGM
    100:2008, 4.3.7. Without one the rules' own figure for the reading stands.
    """
    gauge = machine.instruments.get(finding.id)
    if gauge is not None:
        return gauge.value / sqrt(3)
    return finding.reading.accuracy if finding.reading else 0.0

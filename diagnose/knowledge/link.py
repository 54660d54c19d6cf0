"""Every name meets its definition here, or becomes a Problem that offers the nearest right name."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.values.names import did_you_mean, is_id
from diagnose.values.problem import Place, Problem
from diagnose.values.text import one_line

if TYPE_CHECKING:
    from collections.abc import Mapping

    from diagnose.knowledge.model import Finding, Scales
    from diagnose.knowledge.nodes import Text

__all__ = ["UNSOURCED", "Names"]

UNSOURCED = ("common practice", "from memory")
_DRIVES = frozenset(
    {"drives-pump", "drives-fan", "drives-compressor", "drives-generator"}
)  # follow from the kind driven
_NOUNS = {"finding": "finding or condition"}


class Names:
    """What the files define, for those who read references to it; and the place where they report faults.

    ``known`` maps kind (feature, finding, cause, rule, caution, source, machine) to id to place. ``off`` holds
    (kind, id) that a site switched off: references to these fall away in silence. With ``complete`` false a file
    could not be read, so that an unknown name is no fault: it may stand in there.
    """

    def __init__(
        self,
        problems: list[Problem],
        known: Mapping[str, Mapping[str, Place]],
        scales: Scales,
        *,
        off: frozenset[tuple[str, str]] = frozenset(),
        complete: bool = True,
    ) -> None:
        self.problems = problems
        self.known = known
        self.scales = scales
        self.off = off
        self.complete = complete
        self.findings: dict[str, Finding] = {}  # filled as they are read, before anything refers to their values
        self.limit_units: dict[str, str] = {}  # limit of a machine -> unit of the reading that rules compare it with

    def report(self, place: Place, code: str, says: str, mend: str = "") -> None:
        """Add one fault."""
        self.problems.append(Problem(place, code, says, mend))

    def find(self, kind: str, name: Text, also: tuple[str, ...] = ()) -> str | None:
        """Give the id when it is defined; None when it is switched off, or, with a Problem, when it is unknown.

        ``also`` are words that may have been meant instead of an id.
        """
        known = self.known.get(kind, {})
        if (kind, name.text) in self.off:
            return None
        if name.text in known or (kind == "feature" and name.text in _DRIVES):
            return name.text
        if self.complete:
            noun = _NOUNS.get(kind, kind)
            says = f"There is no {noun} '{one_line(name.text)}'."
            self.report(name.place, f"unknown-{kind}", says, did_you_mean(name.text, (*known, *also)))
        return None

    def value(self, finding: str, value: Text) -> str | None:
        """Give the value when the finding has it; else None, with a Problem that names the nearest.

        A reading has no values: the Problem names the condition that it is judged as.
        """
        found = self.findings.get(finding)
        if found is None or value.text in found.values:
            return value.text
        if found.reading:
            says = f"'{finding}' is a number and has no value '{one_line(value.text)}'."
            mend = (
                f"Name the condition '{found.judged_as}'." if found.judged_as else "Write a condition judged from it."
            )
            self.report(value.place, "value-of-a-reading", says, mend)
        elif found.values:
            says = f"'{finding}' has no value '{one_line(value.text)}'."
            self.report(value.place, "unknown-value", says, did_you_mean(value.text, found.values))
        return None

    def source(self, text: Text) -> None:
        """Report a source that looks like a registered short name and is none."""
        first = text.text.split(",")[0].strip()
        known = self.known.get("source", {})
        if self.complete and first not in known and is_id(first):
            mend = did_you_mean(first, (*known, *UNSOURCED)) or "Register it under 'sources', or name the document."
            self.report(text.place, "unknown-source", f"There is no source '{one_line(first)}'.", mend)

"""Results of a training as a page: standing with its interval, progress drawn, the method; to be signed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.reports.document import Block, Document, Facts, Figure, Items, Para, Section, Signatures
from diagnose.reports.training_chart import progress
from diagnose.training import wording
from diagnose.training.standing import standing

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from diagnose.training.results import Result

__all__ = ["standing_page"]


def standing_page(people: Mapping[str, Sequence[Result]]) -> Document:
    """Return a page with a section for each trainee (name -> his results, oldest first)."""
    sections = [_section(at, who, rows) for at, (who, rows) in enumerate(people.items(), 1)]
    method = Section("method", "How it was marked", (Items(wording.METHOD),))
    return Document(
        "Training record",
        ", ".join(people),
        (*sections, method),
        (
            "Marks in practice cases say how somebody handled practice cases. They license nobody to do anything.",
            "Who may do what at a machine is for those to say who are responsible at the site.",
        ),
    )


def _section(at: int, who: str, rows: Sequence[Result]) -> Section:
    return Section(f"trainee-{at}", who, tuple(_blocks(at, who, rows)))


def _blocks(at: int, who: str, rows: Sequence[Result]) -> Iterator[Block]:
    stands = standing([(row.mark, row.unsafe) for row in rows])
    yield Para(f"{wording.standing_words(stands)}.")
    yield Facts(
        (
            ("Cases", str(stands.cases)),
            ("Mean mark", f"{stands.mean:.0f} of 100"),
            ("95 % interval of the mean", f"{stands.low:.0f} to {stands.high:.0f}"),
            ("Unsafe cases", str(stands.unsafe)),
            ("Certainty marks", f"{sum(row.certainty for row in rows):+d}"),
            ("From", rows[0].at[:10]),
            ("To", rows[-1].at[:10]),
        )
    )
    yield Figure(progress(f"progress-{at}", [row.mark for row in rows]))
    yield Signatures((who, "Trainer"))

"""What happened over a span of time as a document: counts, repeats on the same machine, what is open, pictures."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from diagnose.consultation.wording import AUTHORITY, RANK_WORDS, STANDING_WORDS, STATEMENT, plain
from diagnose.reports.charts import counts, span
from diagnose.reports.document import Alert, Document, Facts, Figure, Items, Para, Section, Signatures, Table
from diagnose.reports.times import stamp

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence
    from datetime import tzinfo

    from diagnose.reports.document import Block

__all__ = ["Entry", "handover"]

_RANKS = tuple(RANK_WORDS)
_KINDS = {"consultation": "Consultations", "round": "Rounds", "start": "Start-ups", "quiz": "Quizzes"}


@dataclass(frozen=True, slots=True)
class Entry:
    """One run within the span. ``at`` is when it began (UTC, ISO 8601).

    ``cause`` is what was confirmed, else what ranked first, with its ``share`` (None once confirmed); ``warnings``
    are (rank, words) of the cautions in force at its end; ``outcome`` is empty while the job is open.
    """

    run: str
    kind: str
    machine: str
    at: str
    standing: str = ""
    seen: str = ""
    cause: str = ""
    share: float | None = None
    warnings: tuple[tuple[str, str], ...] = ()
    outcome: str = ""


def handover(
    site: str, ends: tuple[str, str], entries: Sequence[Entry], made: str, zone: tzinfo | None = None
) -> Document:
    """Return the summary of [from, until), both UTC in ISO 8601; ``entries`` come oldest first."""
    held = [entry for entry in entries if entry.kind == "consultation"]
    sections = (
        Section("serious", "Cautions in force at the end", tuple(_cautions(held))),
        Section("counts", "In numbers", tuple(_numbers(entries, held, ends, zone))),
        Section("open", "Open items", tuple(_open(held, zone))),
        Section("repeats", "Repeats on the same machine", tuple(_repeats(held))),
        Section("all", "Every consultation", tuple(_all(held, zone))),
        Section("signatures", "Handed over", (Signatures(("Handed over by", "Taken over by")),)),
    )
    return Document(
        title=f"Handover: {site}" if site else "Handover",
        subtitle=f"From {stamp(ends[0], zone)} to {stamp(ends[1], zone)}.",
        sections=sections,
        closing=(AUTHORITY, STATEMENT, f"Page made {stamp(made, zone)}."),
    )


def _cautions(held: Iterable[Entry]) -> Iterator[Block]:
    rows = [(rank, says, entry) for entry in held if not entry.outcome for rank, says in entry.warnings]
    rows.sort(key=lambda row: _RANKS.index(row[0]) if row[0] in _RANKS else len(_RANKS))
    for rank, says, entry in rows:
        words = RANK_WORDS.get(rank, rank.upper())
        yield Alert(rank, words, f"{entry.machine}: {says}", (f"From consultation {entry.run}.",))
    if not rows:
        yield Para("No caution stands on an open consultation of this span.")


def _numbers(
    entries: Sequence[Entry], held: Sequence[Entry], ends: tuple[str, str], zone: tzinfo | None
) -> Iterator[Block]:
    kinds = Counter(entry.kind for entry in entries)
    yield Facts(
        (
            *(
                (_KINDS.get(kind, plain(kind).capitalize()), str(kinds[kind]))
                for kind in {**_KINDS, **kinds}
                if kinds[kind]
            ),
            ("Closed", str(sum(bool(entry.outcome) for entry in held))),
            ("Open", str(sum(not entry.outcome for entry in held))),
        )
    )
    if not held:
        yield Para("No consultation was begun in this span.")
        return
    machines = Counter(entry.machine for entry in held)
    drawn = [(name, [(_place(one.at, ends), _role(one)) for one in held if one.machine == name]) for name in machines]
    yield Figure(span("chart-span", "Consultations over the span", (stamp(ends[0], zone), stamp(ends[1], zone)), drawn))
    yield Figure(counts("chart-machines", "Consultations by machine", machines.most_common(12)))
    causes = Counter(entry.cause for entry in held if entry.cause)
    if causes:
        yield Figure(counts("chart-causes", "Likeliest or confirmed causes", causes.most_common(12)))
    ranks = Counter(rank for entry in held for rank in {rank for rank, _ in entry.warnings})
    yield Table(
        "Consultations by the cautions they raised",
        ("Rank of caution", "Consultations"),
        tuple((RANK_WORDS[rank].capitalize(), str(ranks[rank])) for rank in _RANKS),
        frozenset([1]),
    )


def _place(at: str, ends: tuple[str, str]) -> float:
    start, end, moment = (datetime.fromisoformat(one) for one in (*ends, at))
    return min(1.0, max(0.0, (moment - start) / (end - start))) if end > start else 0.0


def _role(entry: Entry) -> str:
    return next((rank for rank in _RANKS[:3] if any(rank == one for one, _ in entry.warnings)), "quiet")


def _open(held: Iterable[Entry], zone: tzinfo | None) -> Iterator[Block]:
    rows = tuple(
        (entry.run, entry.machine, stamp(entry.at, zone), _likeliest(entry), _standing(entry))
        for entry in held
        if not entry.outcome
    )
    if rows:
        yield Table("No outcome recorded yet", ("Consultation", "Machine", "Begun", "Likeliest", "Standing"), rows)
        yield Para("Maintenance records what was found with: diagnose journal outcome ID --cause NAME.")
    else:
        yield Para("Every consultation of this span has its outcome.")


def _likeliest(entry: Entry) -> str:
    share = f" ({entry.share:.0%})" if entry.share is not None else ""
    return f"{entry.cause}{share}" if entry.cause else "not known"


def _standing(entry: Entry) -> str:
    return STANDING_WORDS.get(entry.standing, "Not ended: it can be resumed.")


def _repeats(held: Sequence[Entry]) -> Iterator[Block]:
    """Name machines that had more than one consultation, and whether the same cause led them."""
    lines = []
    for machine, number in Counter(entry.machine for entry in held).most_common():
        if number > 1:
            causes = Counter(entry.cause for entry in held if entry.machine == machine and entry.cause)
            same = ", ".join(f"{cause} ({times} times)" for cause, times in causes.items() if times > 1)
            again = f"; the same cause led more than once: {same}" if same else ""
            lines.append(f"{machine}: {number} consultations{again}.")
    if lines:
        yield Items(tuple(lines))
    else:
        yield Para("No machine had more than one consultation.")


def _all(held: Sequence[Entry], zone: tzinfo | None) -> Iterator[Block]:
    if held:
        yield Table(
            "Consultations, oldest first",
            ("Consultation", "Begun", "What was seen", "Likeliest or confirmed", "Job"),
            tuple(
                (
                    entry.run,
                    stamp(entry.at, zone),
                    entry.seen or f"{entry.machine}: not summed up",
                    entry.outcome or _likeliest(entry),
                    "closed" if entry.outcome else "open",
                )
                for entry in held
            ),
        )
    else:
        yield Para("None.")

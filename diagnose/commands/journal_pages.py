"""``diagnose journal report | handover``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from diagnose.commands import wiring
from diagnose.commands.journal_reading import conclude, replay_of, row_of, wanted_by
from diagnose.journal.finding import Wanted, find
from diagnose.journal.outcomes import KNOWN_BY, Outcome, outcomes, words
from diagnose.journal.store import open_to_read
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from argparse import Namespace
    from collections.abc import Mapping

    from diagnose.journal.replaying import Replay
    from diagnose.journal.store import Journal
    from diagnose.knowledge.model import Knowledge
    from diagnose.reports.document import Document
    from diagnose.reports.handover import Entry

__all__ = ["run_handover", "run_report", "write_report"]

_LAST_SHIFT = "12h"


def run_report(arguments: Namespace) -> int:
    """Write one consultation as a page, and say where."""
    write_report(arguments, arguments.id, out=arguments.out, markdown=arguments.markdown)
    return 0


def write_report(arguments: Namespace, run: str, *, out: str | None = None, markdown: bool = False) -> None:
    """Write the report of a consultation to ``out``, or beside the journal, and say where."""
    from diagnose.reports.consultation import report

    arguments.id = run
    journal = open_to_read(wiring.journal_path(arguments))
    replayed, _ = replay_of(journal, arguments)
    document = report(_record(journal, replayed), wiring.now())
    _write(document, run, arguments, out=out, markdown=markdown)


def _record(journal: Journal, replayed: Replay) -> Any:  # noqa: ANN401 - a reports.consultation.Record
    from diagnose.reports.consultation import Found, Record

    causes = replayed.knowledge.causes
    found = tuple(
        Found(
            at=at,
            what=_outcome_words(outcome, causes),
            known_by=KNOWN_BY.get(outcome.known_by, outcome.known_by),
            done=outcome.done,
            by=outcome.by,
            why=outcome.why,
        )
        for at, outcome in outcomes(journal.events(replayed.held.run, "outcome"))
    )
    return Record(
        run=replayed.held.run,
        moments=replayed.held.moments,
        state=replayed.session.state,
        view=replayed.session.view(),
        knowledge=replayed.knowledge,
        machine=replayed.machine,
        found=found,
        notes=replayed.changes,
        program=replayed.held.program or "not known",
    )


def _outcome_words(outcome: Outcome, causes: Mapping[str, Any]) -> str:
    titles = [causes[name].title if name in causes else name for name in outcome.causes]
    return "; ".join([*titles, *([outcome.text] if outcome.text else [])]) or words(outcome)


def run_handover(arguments: Namespace) -> int:
    """Write the summary of a span as a page, and say where."""
    from diagnose.reports.handover import handover

    path = wiring.journal_path(arguments)
    journal = open_to_read(path)
    wanted = wanted_by(arguments, since=_LAST_SHIFT)
    now = wiring.now()
    ends = (wanted.since, wanted.until or now)
    for run in find(journal, wanted):
        conclude(journal, run.run, arguments)
    every = Wanted(kind="", machine=wanted.machine, since=wanted.since, until=wanted.until)
    runs = reversed(list(find(journal, every)))
    knowledge = wiring.open_knowledge(arguments)
    entries = [_entry(row_of(journal, run), knowledge) for run in runs if run.kind != "learning"]
    name = f"handover-{ends[0][:10]}-{ends[0][11:13]}{ends[0][14:16]}"
    _write(
        handover(knowledge.site.title, ends, entries, now),
        name,
        arguments,
        out=arguments.out,
        markdown=arguments.markdown,
    )
    return 0


def _entry(row: Mapping[str, Any], knowledge: Knowledge) -> Entry:
    from diagnose.reports.handover import Entry

    leads = row["ranking"][0] if row["ranking"] else ("", None)
    return Entry(
        run=row["id"],
        kind=row["kind"],
        machine=row["machine"],
        at=row["at"],
        standing=row["standing"],
        seen=row["seen"],
        cause=_titled(row["outcome"], knowledge) or row["titles"].get(leads[0], leads[0]),
        share=None if row["closed"] else leads[1],
        warnings=tuple((rank, says) for rank, says in row["warnings"]),
        outcome=_titled(row["outcome"], knowledge),
    )


def _titled(outcome: str, knowledge: Knowledge) -> str:
    """Return the titles of the causes that an outcome names in short; any other outcome as it is."""
    causes = knowledge.causes
    return " and ".join(causes[name].title if name in causes else name for name in outcome.split(" and "))


def _write(document: Document, name: str, arguments: Namespace, *, out: str | None, markdown: bool) -> None:
    text = _rendered(document, markdown=markdown)
    if out == "-":
        wiring.say(text)
        return
    file = "".join(one if one.isalnum() or one == "-" else "_" for one in name)  # a journal may come from anywhere
    file += ".md" if markdown else ".html"
    path = Path(out) if out else wiring.journal_path(arguments).parent / "reports" / file
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    except OSError as error:
        says = f"The page cannot be written: {error.strerror}."
        raise DiagnoseError(says, where=str(path), mend="Name another place with --out.") from error
    wiring.say(f"Written: {path}")


def _rendered(document: Document, *, markdown: bool) -> str:
    if markdown:
        from diagnose.reports.markdown import markdown as as_markdown

        return as_markdown(document)
    from diagnose.reports.html import page

    return page(document)

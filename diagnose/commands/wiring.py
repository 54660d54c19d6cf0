"""Opening a site: its knowledge, its journal, the clock and a fresh id. Clock and environment are read only here."""

from __future__ import annotations

import gc
import io
import os
import sys
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from diagnose.knowledge import library
from diagnose.values.names import did_you_mean
from diagnose.values.problem import DiagnoseError, Problem

if TYPE_CHECKING:
    from argparse import Namespace
    from collections.abc import Callable, Iterator

    from diagnose.consultation.events import Event
    from diagnose.journal.store import Journal
    from diagnose.knowledge.model import Knowledge, Machine

__all__ = [
    "cache_folder",
    "journal_path",
    "keeper",
    "machine_named",
    "new_run",
    "now",
    "open_knowledge",
    "say",
    "site_folder",
    "typed_lines",
]

_SHOWN_PROBLEMS = 20


def say(line: str = "") -> None:
    """Print a line for the person at the terminal, readable in whatever encoding it has."""
    encoding = sys.stdout.encoding or "ascii"
    print(line.encode(encoding, "replace").decode(encoding))  # noqa: T201 - the door speaks


def typed_lines() -> Iterator[str]:
    """Yield what is typed, line by line; what was said before is shown first, in a pipe too."""
    if isinstance(sys.stdin, io.TextIOWrapper):
        sys.stdin.reconfigure(errors="replace")  # bytes that are no text are not understood, and no fault
    typed = iter(sys.stdin)
    while True:
        sys.stdout.flush()
        line = next(typed, None)
        if line is None:
            return
        yield line.rstrip("\n")


def site_folder(arguments: Namespace) -> Path:
    """Return the folder of the site that is meant."""
    named = arguments.site or os.environ.get("DIAGNOSE_SITE")
    return Path(named) if named else library.demo_site()


def cache_folder() -> Path | None:
    """Return where compiled rules are kept; None when there is no such place or DIAGNOSE_CACHE is "off"."""
    named = os.environ.get("DIAGNOSE_CACHE")
    if named:
        return None if named == "off" else Path(named)
    import platformdirs

    return Path(platformdirs.user_cache_dir("diagnose", appauthor=False))


def open_knowledge(arguments: Namespace) -> Knowledge:
    """Load the shipped rules and the site's own; raises DiagnoseError when they hold faults.

    They live as long as the program, so the garbage collector need not go through them, now or ever again.
    """
    site = site_folder(arguments)
    gc.disable()
    loaded = library.load(site=site, cache=cache_folder())
    gc.freeze()
    gc.enable()
    if loaded.knowledge is None or loaded.problems:
        raise DiagnoseError(_faults(loaded.problems))
    return loaded.knowledge


def _faults(problems: tuple[Problem, ...]) -> str:
    lines = [problem.line() for problem in problems[:_SHOWN_PROBLEMS]]
    more = len(problems) - len(lines)
    count = f"The rules hold {len(problems)} fault{'s' if len(problems) != 1 else ''}; mend them first:"
    return "\n".join([count, *lines, *([f"... and {more} more"] if more > 0 else [])])


def machine_named(name: str, knowledge: Knowledge) -> Machine:
    """Return the machine of the site with this name, in any case of letters."""
    machines = knowledge.site.machines
    found = {one.lower(): machine for one, machine in machines.items()}.get(name.strip().lower())
    if found is None:
        raise DiagnoseError(f"The site has no machine '{name}'.", mend=did_you_mean(name, machines))
    return found


def journal_path(arguments: Namespace) -> Path:
    """Return where the journal stands: in the site's folder, or for the demo site among the user's own data."""
    site = site_folder(arguments)
    if site != library.demo_site():
        return site / "journal.sqlite3"
    named = os.environ.get("DIAGNOSE_DATA")
    if named:
        return Path(named) / "demo-journal.sqlite3"
    import platformdirs

    return Path(platformdirs.user_data_dir("diagnose", appauthor=False)) / "demo-journal.sqlite3"


def now() -> str:
    """Return the time in UTC, ISO 8601, to the millisecond."""
    return datetime.now(UTC).isoformat(timespec="milliseconds")


def new_run(journal: Journal | None = None) -> str:
    """Return an id that the journal does not hold yet: the day and four letters, easy to read over the radio."""
    import secrets  # not needed to look something up

    while True:
        letters = "".join(secrets.choice("bcdfghjkmnpqrstvwxz") for _ in range(4))
        run = f"{datetime.now(UTC):%Y%m%d}-{letters}"
        if journal is None or not journal.has(run):
            return run


def keeper(
    journal: Journal, run: str, machine: str, revision: str, site: Path | None = None
) -> Callable[[Event], None]:
    """Return the function that keeps a consultation's events in the journal, and the texts of a new revision once."""
    from diagnose.consultation.events import event_record
    from diagnose.journal.revisions import keep_rules

    if site is not None:
        keep_rules(journal, revision, now(), lambda: library.texts_to_keep(site=site))

    def keep(event: Event) -> None:
        try:
            journal.append(run, "consultation", now(), machine, revision, event_record(event))
        except DiagnoseError as error:
            mend = f"{error.mend} To go on without a record: leave, and start with --no-journal."
            raise DiagnoseError(error.says, where=error.where, mend=mend) from error

    return keep

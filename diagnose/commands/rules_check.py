"""``diagnose rules check``: every fault and doubtful place of the rules, told, explained, mended or watched."""

from __future__ import annotations

import json
from collections import Counter
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from diagnose import __version__
from diagnose.commands.rule_files import add_rules_option, file_path, opened, read_text, texts_of, write_text
from diagnose.commands.wiring import say, site_folder
from diagnose.knowledge import library
from diagnose.planning.lint import LEVELS, allowed, level, lint, page, pages
from diagnose.planning.rule_base import RuleBase
from diagnose.planning.told import as_json, as_sarif, as_text, count_line
from diagnose.values.text import lines_of

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace
    from collections.abc import Callable

    from diagnose.planning.fixes import Change
    from diagnose.values.problem import Problem

__all__ = ["Examined", "add_arguments", "examined", "run"]

_PASSES = 20  # a mend may bring the next fault to light
_PAUSE = 0.5  # seconds between two looks at the files


class Examined(NamedTuple):
    """The problems to tell, the texts of their files, how many a comment accepts; ``unread``: no check has run."""

    problems: tuple[Problem, ...]
    texts: dict[str, str]
    accepted: int
    unread: bool


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the options."""
    add_rules_option(parser)
    parser.add_argument("--cases", action="store_true", help="check the shipped cases and the site's too")
    parser.add_argument("--only", metavar="CODE", action="append", default=[], help="tell only this code (repeat it)")
    parser.add_argument("--level", choices=LEVELS, default="note", help="tell this level and graver (default note)")
    parser.add_argument("--strict", action="store_true", help="exit status 1 for warnings too")
    parser.add_argument("--json", action="store_true", help="print one JSON object")
    parser.add_argument("--sarif", action="store_true", help="print a SARIF 2.1.0 log for other tools")
    parser.add_argument("--explain", metavar="CODE", help="print the page of a code; 'all' prints every page")
    parser.add_argument("--fix", action="store_true", help="make the mends that change no meaning, then check")
    parser.add_argument("--watch", action="store_true", help="check again whenever a file changes; end with Ctrl-C")


def run(arguments: Namespace) -> int:
    """Check and tell; exit status 1 when there is an error (with --strict also for a warning)."""
    if arguments.explain:
        shown = pages() if arguments.explain == "all" else [page(arguments.explain)]
        say("\n\n\n".join(one.text() for one in shown))
        return 0
    for code in arguments.only:
        page(code)  # raises for a code that does not exist
    if arguments.fix:
        for change in _mended(arguments):
            say(f"mended: {change.problem.place} {change.problem.code}: {' / '.join(change.after).strip()}")
    status = _check(arguments)
    return _watched(arguments, status) if arguments.watch else status


def examined(arguments: Namespace) -> Examined:
    """Load, and where that went well check; what a comment accepts is left out of the problems and counted.

    What the checks would say of rules that were read in part is mostly a consequence, so it waits.
    """
    loaded, shipped = opened(arguments, cases=getattr(arguments, "cases", False))
    found = loaded.problems or lint(RuleBase(loaded.knowledge, shipped))
    texts = {**texts_of((one.place.file for one in found), arguments), **loaded.texts}
    lines = {file: lines_of(text) for file, text in texts.items()}
    told = tuple(one for one in found if not allowed(one, lines.get(one.place.file, [])))
    return Examined(told, texts, len(found) - len(told), bool(loaded.problems))


def _check(arguments: Namespace) -> int:
    found = examined(arguments)
    graver = LEVELS[: LEVELS.index(arguments.level) + 1]
    shown = [
        one for one in found.problems if level(one) in graver and (not arguments.only or one.code in arguments.only)
    ]
    if arguments.sarif:
        say(json.dumps(as_sarif(shown, __version__), ensure_ascii=False, indent=2))
    elif arguments.json:
        say(json.dumps(as_json(shown, found.accepted), ensure_ascii=False, indent=2))
    else:
        for line in as_text(shown, found.texts):
            say(line)
        say(count_line(shown, found.accepted))
        if found.unread:
            say("The checks of what the rules mean wait until these are mended.")
    bad = ("error", "warning") if arguments.strict else ("error",)
    return 1 if any(level(one) in bad for one in shown) else 0


def _mended(arguments: Namespace) -> list[Change]:
    """Mend pass by pass, each kept only when its faults are gone and the files can be read as well as before."""
    from diagnose.planning.fixes import fixed

    made: list[Change] = []
    for _ in range(_PASSES):
        problems = opened(arguments).loaded.problems
        texts, changes = fixed(problems, texts_of((one.place.file for one in problems), arguments))
        before = {file: read_text(file_path(file, arguments)) or "" for file in texts}
        for file, text in texts.items():
            write_text(file_path(file, arguments), text)
        if not changes or not _better(changes, problems, opened(arguments).loaded.problems):
            for file, text in before.items():
                write_text(file_path(file, arguments), text)
            break
        made += changes
    return made


def _better(changes: list[Change], before: tuple[Problem, ...], after: tuple[Problem, ...]) -> bool:
    """Tell whether there is less of every sort of fault that was mended, and no more that cannot be read at all."""
    then, now = (Counter(one.code for one in problems) for problems in (before, after))
    mended = {change.problem.code for change in changes}
    return now["not-yaml"] <= then["not-yaml"] and all(now[code] < then[code] for code in mended)


def _watched(arguments: Namespace, status: int, wait: Callable[[], bool] | None = None) -> int:
    """Check again at each change until interrupted, or until ``wait`` returns False."""
    import time

    def pause() -> bool:
        time.sleep(_PAUSE)
        return True

    wait = wait or pause
    seen = _stamps(arguments)
    try:
        while wait():
            now = _stamps(arguments)
            if now != seen:
                seen = now
                say("-" * 40)
                status = _check(arguments)
    except KeyboardInterrupt:
        say("No longer watching.")
    return status


def _stamps(arguments: Namespace) -> dict[Path, tuple[int, int]]:
    folders = [Path(arguments.rules) if arguments.rules else library.shipped_rules(), site_folder(arguments)]
    stamps = {}
    for folder in folders:
        for path in folder.rglob("*.yaml"):
            try:
                stat = path.stat()
            except FileNotFoundError:
                continue  # an editor is just replacing it
            stamps[path] = (stat.st_mtime_ns, stat.st_size)
    return stamps

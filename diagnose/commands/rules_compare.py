"""``diagnose rules compare A B``: what changes for people between two sets of rules."""

from __future__ import annotations

import json
import subprocess
import tempfile
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING, Any

from diagnose.commands.case_runs import on_all_processors
from diagnose.commands.rule_files import write_text
from diagnose.commands.wiring import cache_folder, say, site_folder
from diagnose.consultation.replay import machine_of
from diagnose.knowledge import library
from diagnose.planning.case_run import run_case
from diagnose.planning.compare import compared
from diagnose.planning.slices import slice_of
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

    from diagnose.knowledge.model import Case, Knowledge
    from diagnose.planning.case_run import Run
    from diagnose.planning.compare import Comparison

__all__ = ["add_arguments", "run"]

_WORSE = ("caution lost", "now fails")


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument("before", metavar="A", help="a folder of rules, or a git revision of the shipped rules")
    parser.add_argument("after", metavar="B", nargs="?", help="a folder of rules (default: the rules in use)")
    parser.add_argument("--cases", metavar="PATH", nargs="+", help="cases to compare by (default: shipped and site's)")
    parser.add_argument(
        "--simulated", type=int, default=0, metavar="N", help="and N consultations drawn for each machine"
    )
    parser.add_argument("--json", action="store_true", help="print one JSON object")
    parser.add_argument("--html", metavar="FILE", help="write a page as well")


def run(arguments: Namespace) -> int:
    """Compare and tell; exit status 1 when a case fails that passed, or a caution is lost."""
    site = site_folder(arguments)
    with ExitStack() as stack:
        before = _knowledge(_folder(arguments.before, stack), site)
        after = _knowledge(Path(arguments.after) if arguments.after else None, site)
    cases = _cases(arguments, after)
    comparison = compared(before, after, *_runs(cases, before, after))
    if arguments.html:
        from diagnose.reports.comparison import comparison_page

        write_text(Path(arguments.html), comparison_page(comparison))
    if arguments.json:
        say(json.dumps(_as_json(comparison), ensure_ascii=False, indent=2))
    else:
        for line in _lines(comparison):
            say(line)
    return 1 if any(one.kind in _WORSE for one in comparison.changes) else 0


def _folder(named: str, stack: ExitStack) -> Path:
    """Return the folder; of a git revision, the rules as they were, laid out beside."""
    if Path(named).is_dir():
        return Path(named)
    top = library.shipped_rules().parent
    try:
        packed = subprocess.run(  # noqa: S603  the name is one argument and cannot be an option
            ["git", "-C", str(top), "archive", "--format=tar", "--end-of-options", named, "rules"],  # noqa: S607
            capture_output=True,
            check=True,
        ).stdout
    except (OSError, subprocess.CalledProcessError) as error:
        mend = "Name a folder of rules, or a revision of the repository that the rules are kept in."
        raise DiagnoseError(f"'{named}' is neither a folder nor a git revision.", mend=mend) from error
    import io
    import tarfile

    folder = Path(stack.enter_context(tempfile.TemporaryDirectory(prefix="diagnose-rules-")))
    with tarfile.open(fileobj=io.BytesIO(packed)) as tar:
        # Python before 3.11.4 cannot restrict what is unpacked; the archive comes from the user's own repository.
        restricted: Any = {"filter": "data"} if hasattr(tarfile, "data_filter") else {}
        tar.extractall(folder, **restricted)  # noqa: S202 - as said
    return folder / "rules"


def _knowledge(rules: Path | None, site: Path) -> Knowledge:
    loaded = library.load(rules=rules, site=site, cache=cache_folder() if rules is None else None)
    if loaded.problems:
        says = (
            f"The rules in {rules or 'use'} hold {len(loaded.problems)} faults; the first: {loaded.problems[0].line()}"
        )
        raise DiagnoseError(says, mend="Run 'diagnose rules check' on them.")
    return loaded.knowledge


def _cases(arguments: Namespace, knowledge: Knowledge) -> list[Case]:
    site = site_folder(arguments)
    paths = [Path(one) for one in arguments.cases or []]
    if not paths:
        paths = [path for path in (library.shipped_cases(), site / "cases") if path.is_dir()]
    cases, problems = library.load_cases(paths, knowledge)
    if problems and arguments.cases:
        raise DiagnoseError("\n".join(["The cases hold faults; mend them first:", *(one.line() for one in problems)]))
    drawn = []
    if arguments.simulated:
        from diagnose.planning.simulated import simulated

        machines = knowledge.site.machines.values()
        drawn = [
            case for machine in machines for case in simulated(knowledge, machine, "loaded", arguments.simulated, 1)
        ]
    if not cases and not drawn:
        raise DiagnoseError("There is no case to compare by.", mend="Name some with --cases, or use --simulated 20.")
    return [*cases, *drawn]


def _runs(cases: list[Case], before: Knowledge, after: Knowledge) -> tuple[dict[str, Run], dict[str, Run]]:
    """Run each case under both rules; once only where what its machine has to do with did not change."""
    seen: dict[tuple[str, str], bool] = {}

    def changed(case: Case) -> bool:
        key = (repr(case.profile) if case.profile else case.machine, case.phase)
        if key not in seen:
            try:
                sides = [slice_of(one, machine_of(case, one), case.phase) for one in (before, after)]
            except DiagnoseError:
                return True
            seen[key] = sides[0] != sides[1]
        return seen[key]

    jobs = [(case, knowledge) for case in cases if changed(case) for knowledge in (before, after)]
    results = iter(on_all_processors("cases", jobs, lambda job: run_case(*job)))
    runs: tuple[dict[str, Run], dict[str, Run]] = ({}, {})
    for case in cases:
        if changed(case):
            runs[0][case.id], runs[1][case.id] = next(results), next(results)
    same = [case for case in cases if not changed(case)]
    for case, result in zip(same, on_all_processors("unchanged", same, lambda job: run_case(job, after)), strict=True):
        runs[0][case.id] = runs[1][case.id] = result
    return runs


def _lines(comparison: Comparison) -> list[str]:
    lines = [*comparison.things, ""] if comparison.things else ["The rules say the same.", ""]
    lines += [f"{one.kind}: {one.case}{': ' + one.says if one.says else ''}" for one in comparison.changes]
    lines += [*comparison.ambiguous, ""] if comparison.ambiguous or comparison.changes else []
    counts = (
        ", ".join(f"{number} {kind}" for kind, number in comparison.counts.items()) or "nothing changes for anybody"
    )
    passed, first = zip(comparison.before, comparison.after, strict=True)
    figures = f"passed {passed[0]} then {passed[1]}, true cause first {first[0]} then {first[1]}"
    return [*lines, f"{comparison.cases} cases: {counts}; {figures}."]


def _as_json(comparison: Comparison) -> dict[str, object]:
    return {
        "cases": comparison.cases,
        "passed": comparison.before[0:1] + comparison.after[0:1],
        "first": comparison.before[1:] + comparison.after[1:],
        "counts": dict(comparison.counts),
        "changes": [one._asdict() for one in comparison.changes],
        "things": list(comparison.things),
        "ambiguous": list(comparison.ambiguous),
    }

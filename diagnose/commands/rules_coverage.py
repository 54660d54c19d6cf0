"""``diagnose rules coverage``: what the cases exercise, which wrongs they would notice, what no check tells apart."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

from diagnose.commands.case_runs import on_all_processors
from diagnose.commands.rule_files import add_rules_option, faultless
from diagnose.commands.rules_snapshot import kept_rows
from diagnose.commands.wiring import say, site_folder
from diagnose.knowledge import library
from diagnose.planning.ambiguity import ambiguities
from diagnose.planning.case_run import run_case
from diagnose.planning.coverage import Tried, cases_for, covered, rows_for, tally
from diagnose.planning.equivalent import why_equivalent
from diagnose.planning.mutation import mutants, with_rule
from diagnose.planning.snapshot import Ready, changes, seen
from diagnose.planning.what_if import shares_with
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

    from diagnose.knowledge.model import Case, Knowledge
    from diagnose.planning.case_run import Run
    from diagnose.planning.coverage import Coverage
    from diagnose.planning.mutation import Mutant
    from diagnose.planning.snapshot import Row

__all__ = ["add_arguments", "run"]

_SHOWN = 15


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the options."""
    add_rules_option(parser)
    parser.add_argument("--cases", metavar="PATH", nargs="+", help="these cases (default: shipped and site's)")
    parser.add_argument("--mutants", metavar="N", help="try N mutants of the rules, drawn evenly; 'all' or 'cautions'")
    parser.add_argument(
        "--by", choices=("both", "rows"), default="both", help="try cases and kept rows (default), or only the rows"
    )
    parser.add_argument("--tries", type=int, default=8, metavar="N", help="cases to try on each mutant (default 8)")
    parser.add_argument("--pairs", action="store_true", help="only the pairs of causes that are hard to tell apart")
    parser.add_argument("--all", action="store_true", help="list everything that is untested, not only the first")
    parser.add_argument("--json", action="store_true", help="print one JSON object")


def run(arguments: Namespace) -> int:
    """Tell what is covered; exit status 1 when a mutant of a caution went unnoticed."""
    knowledge = faultless(arguments)
    pairs = ambiguities(knowledge)
    if arguments.pairs:
        told = {"pairs": [one._asdict() for one in pairs]}
        say(json.dumps(told, indent=2) if arguments.json else "\n".join(_pair_lines(knowledge)))
        return 0
    cases = _cases(arguments, knowledge)
    runs = {
        one.case: one for one in on_all_processors("cases", cases, lambda case: run_case(case, knowledge, rules=True))
    }
    coverage = covered(knowledge, cases, runs)
    tried = _mutated(arguments, knowledge, cases, runs)
    if arguments.json:
        say(json.dumps(_as_json(coverage, tried, [one._asdict() for one in pairs]), indent=2))
    else:
        lines = [*_coverage_lines(coverage, everything=arguments.all), *_mutant_lines(tried), *_pair_lines(knowledge)]
        say("\n".join(lines))
    return 1 if any(one.mutant.kind == "caution dropped" and one.missed for one in tried) else 0


def _cases(arguments: Namespace, knowledge: Knowledge) -> list[Case]:
    named = [Path(one) for one in arguments.cases or []]
    own = [path for path in (library.shipped_cases(), site_folder(arguments) / "cases") if path.is_dir()]
    cases, problems = library.load_cases(named or own, knowledge)
    if problems:
        raise DiagnoseError("\n".join(["The cases hold faults; mend them first:", *(one.line() for one in problems)]))
    if not cases:
        raise DiagnoseError("There is no case in there.", where=" ".join(map(str, named or own)))
    return list(cases)


def _mutated(arguments: Namespace, knowledge: Knowledge, cases: list[Case], runs: dict[str, Run]) -> list[Tried]:
    if not arguments.mutants:
        return []
    wanted = _wanted(arguments.mutants, list(mutants(knowledge)))
    rows = kept_rows(site_folder(arguments) / "snapshot.csv") or []
    ready = Ready(knowledge)  # each process has its own, and keeps it from one mutant to the next

    def tried(mutant: Mutant) -> tuple[str, bool, str, str]:  # what a process can send back: no rules
        equivalent = why_equivalent(mutant, knowledge)
        if equivalent:
            return "", False, "", equivalent
        changed = with_rule(knowledge, mutant.changed)
        row = next((one for one in rows_for(mutant, rows) if _differs(one, mutant, changed, ready)), None)
        noticed, fails = "", False
        if arguments.by != "rows":
            noticed, fails = _by_case(changed, cases_for(mutant, knowledge, cases, runs, arguments.tries), runs)
        return noticed, fails, row.probe.why if row else "", ""

    results = on_all_processors("mutants", wanted, tried)
    return [Tried(mutant, *result) for mutant, result in zip(wanted, results, strict=True)]


def _wanted(which: str, all_of_them: list[Mutant]) -> list[Mutant]:
    if which == "all":
        return all_of_them
    if which == "cautions":
        return [one for one in all_of_them if one.danger == 0]
    if not which.isdigit() or int(which) < 1:
        raise DiagnoseError(f"'{which}' is no number of mutants.", mend="Give a number, 'all' or 'cautions'.")
    step = max(1, len(all_of_them) / int(which))
    return [all_of_them[int(at * step)] for at in range(min(len(all_of_them), int(which)))]


def _differs(row: Row, mutant: Mutant, changed: Knowledge, ready: Ready) -> bool:
    situation = ready.of(row.probe) if mutant.kind.startswith("link") else None
    if situation:
        shares = shares_with(situation, mutant.changed, changed, ready.tables[row.probe.machine, row.probe.phase])
        return any(changes(row, row.seen._replace(causes={cause: shares.get(cause, 0.0) for cause in row.seen.causes})))
    (now,) = seen([(row.probe, list(row.seen.causes))], changed)
    return any(changes(row, now))


def _by_case(changed: Knowledge, cases: list[Case], runs: dict[str, Run]) -> tuple[str, bool]:
    """Return the first case that then fails, or else the first that looks different; and whether it fails."""
    noticed = ""
    for case in cases:
        result = run_case(case, changed)
        if runs[case.id].passed and not result.passed:
            return case.id, True
        if not noticed and result.seen() != runs[case.id].seen():
            noticed = case.id
    return noticed, False


def _coverage_lines(coverage: Coverage, *, everything: bool) -> list[str]:
    lines = []
    for kind, total in coverage.totals.items():
        untested = coverage.untested[kind]
        lines.append(f"{kind}: {total - len(untested)} of {total} exercised ({coverage.share(kind):.0%})")
        shown = untested if everything else untested[:_SHOWN]
        lines += [f"  untested: {one}" for one in shown]
        lines += [f"  and {len(untested) - len(shown)} more; --all lists them"] if len(shown) < len(untested) else []
    return lines


def _mutant_lines(tried: list[Tried]) -> list[str]:
    if not tried:
        return []
    lines = [
        f"{kind}: {total} tried; {cases} noticed by a case ({fails} then fail), {either} by a case or a kept row"
        for kind, (total, cases, fails, either) in tally(tried).items()
    ]
    missed = sorted((one.mutant for one in tried if one.missed), key=lambda one: (one.danger, one.rule))
    lines += [f"  unnoticed: {one.kind}, rule {one.rule}, {one.says}" for one in missed]
    same = [one for one in tried if one.equivalent]
    lines += [f"  changes nothing: {one.mutant.kind}, rule {one.mutant.rule}: {one.equivalent}" for one in same]
    counted = len(tried) - len(same)
    by_case = sum(bool(one.noticed_by) for one in tried)
    either = counted - len(missed)
    lines.append(f"mutants: {len(tried)}, of which {len(same)} change nothing for anybody; of the other {counted}")
    lines.append(f"  the cases alone notice {by_case} ({by_case / max(1, counted):.1%})")
    lines.append(f"  cases and kept rows notice {either} ({either / max(1, counted):.1%})")
    return lines


def _pair_lines(knowledge: Knowledge) -> list[str]:
    pairs = ambiguities(knowledge)
    head = f"{len(pairs)} pairs of causes are hard to tell apart by what an operator can see"
    return [head, *(f"  {' and '.join(one.causes)} (overlap {one.overlap:.0%}): {one.mend}" for one in pairs)]


def _as_json(coverage: Coverage, tried: list[Tried], pairs: list[dict[str, object]]) -> dict[str, object]:
    return {
        "totals": dict(coverage.totals),
        "untested": {kind: list(names) for kind, names in coverage.untested.items()},
        "mutants": {kind: list(row) for kind, row in tally(tried).items()},
        "unnoticed": [
            {"kind": one.mutant.kind, "rule": one.mutant.rule, "says": one.mutant.says} for one in tried if one.missed
        ],
        "pairs": pairs,
    }

"""``diagnose case PATH...``: replay cases; tell which pass, and how well the whole does."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

from diagnose.commands.wiring import open_knowledge, say
from diagnose.consultation.replay import MOST_QUESTIONS, Outcome, replay
from diagnose.knowledge import library
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace
    from collections.abc import Iterable

    from diagnose.knowledge.model import Case, Knowledge

__all__ = ["add_arguments", "run", "summary"]

_TOP = 3


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument("paths", nargs="*", metavar="PATH", help="case files or folders (default: the shipped cases)")
    parser.add_argument("--json", action="store_true", help="print one JSON object with every case and the summary")
    parser.add_argument(
        "--max-questions",
        type=int,
        default=MOST_QUESTIONS,
        metavar="N",
        help=f"ask at most so many questions in each case (default {MOST_QUESTIONS})",
    )
    parser.add_argument("--brief", action="store_true", help="print failed cases and the summary only")


def run(arguments: Namespace) -> int:
    """Replay the cases; exit status 1 when one fails."""
    knowledge = open_knowledge(arguments)
    paths = [Path(path) for path in arguments.paths] or [library.shipped_cases()]
    cases, problems = library.load_cases(paths, knowledge)
    if problems:
        raise DiagnoseError("\n".join(["The cases hold faults; mend them first:", *(one.line() for one in problems)]))
    if not cases:
        raise DiagnoseError("There is no case in there.", where=" ".join(map(str, paths)))
    pairs = [(case, _outcome(case, knowledge, arguments.max_questions)) for case in cases]
    if arguments.json:
        rows = [_row(case, outcome) for case, outcome in pairs]
        say(json.dumps({"cases": rows, "summary": summary(pairs)}, ensure_ascii=False, indent=2))
    else:
        _print(pairs, brief=arguments.brief)
    return 0 if all(outcome.passed for _, outcome in pairs) else 1


def _outcome(case: Case, knowledge: Knowledge, most: int) -> Outcome:
    try:
        return replay(case, knowledge, most)
    except DiagnoseError as error:
        raise DiagnoseError(
            f"Case '{case.id}': {error.says}", where=f"{case.place.file}:{case.place.line}", mend=error.mend
        ) from error


def _row(case: Case, outcome: Outcome) -> dict[str, Any]:
    return {
        "id": case.id,
        "machine": case.machine or (case.profile.id if case.profile else ""),
        "phase": case.phase,
        "true_causes": sorted(case.true_causes),
        "rank": outcome.rank,
        "posterior": round(outcome.posterior, 6),
        "ranking": [
            {"cause": cause or "not-listed", "probability": round(share, 6)} for cause, share in outcome.ranking
        ],
        "questions": list(outcome.questions),
        "cautions": list(outcome.cautions),
        "refer": list(outcome.refer),
        "standing": outcome.standing,
        "passed": outcome.passed,
        "complaints": list(outcome.complaints),
    }


def summary(pairs: Iterable[tuple[Case, Outcome]]) -> dict[str, Any]:
    """Return the figures over all cases: shares of rank 1 and of the first three, questions, cautions missed."""
    pairs = list(pairs)
    total = len(pairs)
    asked = sorted(len(outcome.questions) for _, outcome in pairs)
    return {
        "cases": total,
        "passed": sum(outcome.passed for _, outcome in pairs),
        "rank_1_share": sum(outcome.rank == 1 for _, outcome in pairs) / total,
        "top_3_share": sum(0 < outcome.rank <= _TOP for _, outcome in pairs) / total,
        "questions_mean": sum(asked) / total,
        "questions_90th_percentile": asked[min(total - 1, -(-total * 9 // 10) - 1)],
        "cautions_missed": sum(len(case.must_caution - set(outcome.cautions)) for case, outcome in pairs),
    }


def _print(pairs: list[tuple[Case, Outcome]], *, brief: bool) -> None:
    for case, outcome in pairs:
        if outcome.passed and brief:
            continue
        verdict = "passed" if outcome.passed else "FAILED"
        say(
            f"{verdict}  {case.id}: rank {outcome.rank or 'none'}, {outcome.posterior:.0%}, "
            f"{len(outcome.questions)} questions"
        )
        if not outcome.passed:
            for complaint in outcome.complaints:
                say(f"        {complaint}")
            ranked = ", ".join(f"{cause or 'not listed'} {share:.0%}" for cause, share in outcome.ranking[:4])
            say(f"        ranking: {ranked}")
            say(f"        asked: {', '.join(outcome.questions) or 'nothing'}")
    figures = summary(pairs)
    say(
        f"{figures['passed']} of {figures['cases']} cases passed. Right cause first in {figures['rank_1_share']:.1%}, "
        f"in the first three in {figures['top_3_share']:.1%}. Questions: mean {figures['questions_mean']:.1f}, "
        f"90th percentile {figures['questions_90th_percentile']}. Cautions missed: {figures['cautions_missed']}."
    )

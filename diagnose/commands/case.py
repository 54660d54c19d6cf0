"""``diagnose case PATH...``: replay cases; tell which pass, and how well the whole does."""

from __future__ import annotations

import json
import sys
from argparse import ArgumentTypeError
from contextlib import contextmanager
from pathlib import Path
from time import monotonic
from typing import TYPE_CHECKING, Any

from diagnose.commands.case_figures import Figures
from diagnose.commands.case_runs import Bar, stream
from diagnose.commands.wiring import machine_named, open_knowledge, say
from diagnose.consultation.replay import MOST_QUESTIONS, Outcome, replay
from diagnose.knowledge import library
from diagnose.knowledge.model import PHASES
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace
    from collections.abc import Iterator, Sequence

    from diagnose.knowledge.model import Case, Knowledge

__all__ = ["add_arguments", "run"]

INTERRUPTED = 130
_MANY = 16  # cases from which starting processes pays
_TOGETHER = 20  # drawn cases to a job: they share what a machine and phase need
_MOST_DRAWN = 10_000_000


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
    parser.add_argument(
        "--simulate", type=_count, default=0, metavar="N", help="draw so many cases from the rules themselves instead"
    )
    parser.add_argument(
        "--seed", type=int, default=1, metavar="N", help="with --simulate: the same seed, the same cases"
    )
    parser.add_argument("--machine", metavar="NAME", help="with --simulate: only this machine")
    parser.add_argument(
        "--phase", choices=PHASES, default="loaded", metavar="PHASE", help="with --simulate (default loaded)"
    )
    parser.add_argument("--brief", action="store_true", help="print failed cases and the summary only")


def _count(text: str) -> int:
    if not text.isascii() or not text.isdecimal() or not 1 <= int(text) <= _MOST_DRAWN:
        raise ArgumentTypeError(f"'{text[:20]}' is not a whole number from 1 to {_MOST_DRAWN}")
    return int(text)


def run(arguments: Namespace) -> int:
    """Replay the cases; exit status 1 when one fails, 130 when it was interrupted: then with what there was by then."""
    knowledge = open_knowledge(arguments)
    if arguments.simulate:
        return _simulated(arguments, knowledge)
    paths = [Path(path) for path in arguments.paths] or [library.shipped_cases()]
    cases, problems = library.load_cases(paths, knowledge)
    if problems:
        raise DiagnoseError("\n".join(["The cases hold faults; mend them first:", *(one.line() for one in problems)]))
    if not cases:
        raise DiagnoseError("There is no case in there.", where=" ".join(map(str, paths)))
    figures, rows = Figures(), []
    bar = Bar("cases", len(cases) if arguments.brief or arguments.json else 0)
    with _to_the_end(len(cases), figures) as ended:
        for case, outcome in zip(cases, _outcomes(cases, knowledge, arguments.max_questions), strict=True):
            figures.add(case, outcome)
            bar.step()
            if arguments.json:
                rows.append(_row(case, outcome))
            elif not (outcome.passed and arguments.brief):
                _print(case, outcome)
    _sum_up(arguments, figures, {"cases": rows})
    return ended.status or int(figures.passed < figures.cases)


def _outcomes(cases: Sequence[Case], knowledge: Knowledge, most: int) -> Iterator[Outcome]:
    if len(cases) < _MANY:
        return (_outcome(case, knowledge, most) for case in cases)
    return stream("cases", len(cases), lambda at: _outcome(cases[at], knowledge, most))


def _simulated(arguments: Namespace, knowledge: Knowledge) -> int:
    """Draw cases from the rules, so many to a job, and replay them; only their figures are held."""
    machines = list(knowledge.site.machines.values())
    if arguments.machine:
        machines = [machine_named(arguments.machine, knowledge)]
    jobs = -(-arguments.simulate // _TOGETHER)

    def work(at: int) -> Figures:
        number = min(_TOGETHER, arguments.simulate - at * _TOGETHER)
        machine, seed = machines[at % len(machines)], arguments.seed + at // len(machines)
        figures = Figures()
        from diagnose.planning.simulated import simulated

        for case in simulated(knowledge, machine, arguments.phase, number, seed):
            figures.add(case, _outcome(case, knowledge, arguments.max_questions))
        return figures

    figures, bar, begun = Figures(), Bar("cases", arguments.simulate), monotonic()
    with _to_the_end(arguments.simulate, figures) as ended:
        for done in stream("cases", jobs, work):
            figures.join(done)
            bar.step(done.cases)
    took = monotonic() - begun
    _sum_up(arguments, figures, {"simulated": arguments.simulate, "seconds": round(took, 3)})
    if not arguments.json:
        say(f"Drawn from the rules themselves, seed {arguments.seed}: {figures.cases} cases in {took:.1f} s.")
    return ended.status


class _Ended:
    """Whether it came to its end, as an exit status."""

    status = 0


@contextmanager
def _to_the_end(total: int, figures: Figures) -> Iterator[_Ended]:
    """Let an interrupt end the work and not what is known by then."""
    ended = _Ended()
    try:
        yield ended
    except KeyboardInterrupt:
        ended.status = INTERRUPTED
        print(f"\ndiagnose: interrupted after {figures.cases} of {total} cases.", file=sys.stderr)  # noqa: T201


def _sum_up(arguments: Namespace, figures: Figures, more: dict[str, Any]) -> None:
    if arguments.json:
        say(json.dumps({**more, "summary": figures.summary()}, ensure_ascii=False, indent=2))
    else:
        say(figures.line())


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


def _print(case: Case, outcome: Outcome) -> None:
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

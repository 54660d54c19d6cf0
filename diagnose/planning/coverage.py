"""What the cases exercise, what they leave untested, sorted by danger; and which mutants they notice."""

from __future__ import annotations

from collections import Counter, defaultdict
from typing import TYPE_CHECKING, NamedTuple

from diagnose.knowledge.model import RANKS
from diagnose.planning.mentions import mentions

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from diagnose.knowledge.model import Case, Knowledge
    from diagnose.planning.case_run import Run
    from diagnose.planning.mutation import Mutant

__all__ = ["Coverage", "Tried", "cases_for", "covered", "tally"]


class Coverage(NamedTuple):
    """For each kind of thing how many there are and which no case exercises, the most dangerous first."""

    totals: Mapping[str, int]
    untested: Mapping[str, tuple[str, ...]]

    def share(self, kind: str) -> float:
        """Return the share that is exercised; 1 when there is nothing to exercise."""
        total = self.totals[kind]
        return 1 - len(self.untested[kind]) / total if total else 1.0


class Tried(NamedTuple):
    """One mutant and the case that noticed it, if any; ``fails``: the case then fails, and not only looks different."""

    mutant: Mutant
    noticed_by: str
    fails: bool


def covered(knowledge: Knowledge, cases: Sequence[Case], runs: Mapping[str, Run]) -> Coverage:
    """Return what the cases exercise.

    A finding counts when it is reported or asked; a cause when a case has it; a rule when it holds at a case's end;
    a link when its rule holds in a case that has the cause; a caution when it is raised.
    """
    held = {name for run in runs.values() for name in run.held}
    asked = {name for run in runs.values() for name in run.questions} | {
        name for case in cases for name in case.reported
    }
    links = {(rule, cause) for case in cases for rule in runs[case.id].held for cause in _causes(case)}
    all_links = [(rule.id, link.cause) for rule in knowledge.rules.values() for link in rule.links]
    raised = {name for run in runs.values() for name in run.cautions}
    true = {cause for case in cases for cause in _causes(case)}
    askable = [one.id for one in knowledge.findings.values() if not one.concluded and one.who == "operator"]
    return Coverage(
        {
            "cautions": len(knowledge.cautions),
            "causes": len(knowledge.causes),
            "rules": len(knowledge.rules),
            "findings": len(askable),
            "links": len(all_links),
        },
        {
            "cautions": tuple(sorted(knowledge.cautions.keys() - raised, key=lambda one: _by_rank(one, knowledge))),
            "causes": tuple(sorted(knowledge.causes.keys() - true, key=lambda one: _by_severity(one, knowledge))),
            "rules": tuple(sorted(knowledge.rules.keys() - held, key=lambda one: _by_caution(one, knowledge))),
            "findings": tuple(one for one in askable if one not in asked),
            "links": tuple(f"{rule}: {cause}" for rule, cause in all_links if (rule, cause) not in links),
        },
    )


def cases_for(
    mutant: Mutant, knowledge: Knowledge, cases: Iterable[Case], runs: Mapping[str, Run], most: int
) -> list[Case]:
    """Return the cases most likely to notice: those in which the rule held, then those that tell what it speaks of."""
    rule = knowledge.rules[mutant.rule]
    spoken = {one.attribute for one in mentions(rule.when)} | ({rule.symptom[0]} if rule.symptom else set())
    spoken |= {name for one in spoken & knowledge.findings.keys() for name in knowledge.findings[one].judged_from}
    scored = []
    for at, case in enumerate(cases):
        told = {*case.reported, *case.answers, *runs[case.id].questions}
        score = 100 * (rule.id in runs[case.id].held) + len(spoken & told)
        if score:
            scored.append((-score, at, case))
    return [case for *_, case in sorted(scored, key=lambda row: row[:2])[:most]]


def tally(tried: Iterable[Tried]) -> dict[str, tuple[int, int, int]]:
    """Return, by kind of mutant, how many were tried, how many were noticed, and how many made a case fail."""
    counts: defaultdict[str, Counter[str]] = defaultdict(Counter)
    for one in tried:
        counts[one.mutant.kind].update({"tried": 1, "noticed": bool(one.noticed_by), "fails": one.fails})
    return {kind: (row["tried"], row["noticed"], row["fails"]) for kind, row in sorted(counts.items())}


def _causes(case: Case) -> frozenset[str]:
    return case.true_causes.union(*case.accept)


def _by_rank(caution: str, knowledge: Knowledge) -> tuple[int, str]:
    return RANKS.index(knowledge.cautions[caution].rank), caution


def _by_severity(cause: str, knowledge: Knowledge) -> tuple[int, str]:
    return ("dangerous", "serious", "minor").index(knowledge.causes[cause].severity), cause


def _by_caution(rule: str, knowledge: Knowledge) -> tuple[int, str]:
    ranks = [RANKS.index(knowledge.cautions[one].rank) for one in knowledge.rules[rule].cautions]
    return min(ranks, default=len(RANKS)), rule

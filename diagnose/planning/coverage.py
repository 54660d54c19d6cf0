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
    from diagnose.planning.snapshot import Row

__all__ = ["Coverage", "Tried", "cases_for", "covered", "rows_for", "tally"]


class Coverage(NamedTuple):
    """For each kind of thing how many there are and which no case exercises, the most dangerous first."""

    totals: Mapping[str, int]
    untested: Mapping[str, tuple[str, ...]]

    def share(self, kind: str) -> float:
        """Return the share that is exercised; 1 when there is nothing to exercise."""
        total = self.totals[kind]
        return 1 - len(self.untested[kind]) / total if total else 1.0


class Tried(NamedTuple):
    """One mutant, the case that noticed it, if any, and what the row of the snapshot is about that did.

    ``fails``: the case then fails, and not only looks different. ``equivalent``: why it changes nothing for anybody.
    """

    mutant: Mutant
    noticed_by: str = ""
    fails: bool = False
    row: str = ""
    equivalent: str = ""

    @property
    def missed(self) -> bool:
        """Tell whether it changes something and nothing noticed."""
        return not (self.noticed_by or self.row or self.equivalent)


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
    """Return the cases most likely to notice: those in which the rule held, then those that tell what it speaks of.

    For a link these are all: it counts where the symptom was told.
    """
    rule = knowledge.rules[mutant.rule]
    if mutant.kind.startswith("link"):
        return [case for case in cases if rule.id in runs[case.id].held][:most]
    spoken = {one.attribute for one in mentions(rule.when)} | ({rule.symptom[0]} if rule.symptom else set())
    spoken |= {name for one in spoken & knowledge.findings.keys() for name in knowledge.findings[one].judged_from}
    scored = []
    for at, case in enumerate(cases):
        told = {*case.reported, *case.answers, *runs[case.id].questions}
        score = 100 * (rule.id in runs[case.id].held) + len(spoken & told)
        if score:
            scored.append((-score, at, case))
    return [case for *_, case in sorted(scored, key=lambda row: row[:2])[:most]]


def rows_for(mutant: Mutant, rows: Iterable[Row], most: int = 10) -> list[Row]:
    """Return the rows of the rule most likely to notice: just short of holding for a gate, else where it holds."""
    words = mutant.says.split()
    near = {"gate dropped": {"in another phase", f"without {words[-1]}", f"with {words[-1]}"}}.get(mutant.kind, set())
    if mutant.kind == "condition dropped":
        near = {f"without condition {words[1]}"}
    cause = words[0] if mutant.kind.startswith("link") else ""
    own = [row for row in rows if row.probe.rule == mutant.rule]
    return sorted(own, key=lambda row: (row.probe.why not in near, -row.seen.causes.get(cause, 0.0)))[:most]


def tally(tried: Iterable[Tried]) -> dict[str, tuple[int, int, int, int]]:
    """Return, by kind of mutant, how many were tried, noticed by a case, made one fail, noticed by a case or a row."""
    counts: defaultdict[str, Counter[str]] = defaultdict(Counter)
    for one in (one for one in tried if not one.equivalent):
        seen = {"cases": bool(one.noticed_by), "fails": one.fails, "any": bool(one.noticed_by or one.row)}
        counts[one.mutant.kind].update({"tried": 1, **seen})
    return {kind: (row["tried"], row["cases"], row["fails"], row["any"]) for kind, row in sorted(counts.items())}


def _causes(case: Case) -> frozenset[str]:
    return case.true_causes.union(*case.accept)


def _by_rank(caution: str, knowledge: Knowledge) -> tuple[int, str]:
    return RANKS.index(knowledge.cautions[caution].rank), caution


def _by_severity(cause: str, knowledge: Knowledge) -> tuple[int, str]:
    return ("dangerous", "serious", "minor").index(knowledge.causes[cause].severity), cause


def _by_caution(rule: str, knowledge: Knowledge) -> tuple[int, str]:
    ranks = [RANKS.index(knowledge.cautions[one].rank) for one in knowledge.rules[rule].cautions]
    return min(ranks, default=len(RANKS)), rule

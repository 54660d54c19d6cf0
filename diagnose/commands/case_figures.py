"""What many cases came to, reckoned as they come, so that none of them has to be held."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from diagnose.consultation.replay import Outcome
    from diagnose.knowledge.model import Case

__all__ = ["Figures"]

_TOP = 3
_MOST = 9  # of ten


class Figures:
    """Counts over cases: passed, right cause first or among the first three, questions, cautions missed."""

    def __init__(self) -> None:
        self.cases = self.passed = self.first = self.top = self.missed = 0
        self.asked: Counter[int] = Counter()

    def add(self, case: Case, outcome: Outcome) -> None:
        """Count one case."""
        self.cases += 1
        self.passed += outcome.passed
        self.first += outcome.rank == 1
        self.top += 0 < outcome.rank <= _TOP
        self.missed += len(case.must_caution - set(outcome.cautions))
        self.asked[len(outcome.questions)] += 1

    def join(self, other: Figures) -> None:
        """Count what another has counted."""
        for name in ("cases", "passed", "first", "top", "missed"):
            setattr(self, name, getattr(self, name) + getattr(other, name))
        self.asked += other.asked

    def summary(self) -> dict[str, Any]:
        """Return shares of rank 1 and of the first three, questions asked, cautions missed."""
        total = max(1, self.cases)
        return {
            "cases": self.cases,
            "passed": self.passed,
            "rank_1_share": self.first / total,
            "top_3_share": self.top / total,
            "questions_mean": sum(number * times for number, times in self.asked.items()) / total,
            "questions_90th_percentile": self._most_asked(),
            "cautions_missed": self.missed,
        }

    def _most_asked(self) -> int:
        """Return the number of questions that nine of ten cases do not exceed."""
        wanted, reached = -(-self.cases * _MOST // 10), 0
        for number, times in sorted(self.asked.items()):
            reached += times
            if reached >= wanted:
                return number
        return 0

    def line(self) -> str:
        """Say it in one line."""
        figures = self.summary()
        return (
            f"{figures['passed']} of {figures['cases']} cases passed. Right cause first in "
            f"{figures['rank_1_share']:.1%}, in the first three in {figures['top_3_share']:.1%}. Questions: mean "
            f"{figures['questions_mean']:.1f}, 90th percentile {figures['questions_90th_percentile']}. Cautions "
            f"missed: {figures['cautions_missed']}."
        )

"""From an answer to the next question, whole step, with the shipped rules. Run it by itself.

    python tests/benchmarks/step.py

Every machine of the demo site, answers drawn at random (seeded), changed answers among them. Between answers the
screen prepares the next step, as it does while a person reads; times are of the processor, so that what else runs on
the machine does not count.
"""

from __future__ import annotations

import random
import statistics
import time
from argparse import Namespace

from diagnose.commands.wiring import open_knowledge
from diagnose.consultation import events
from diagnose.consultation.session import Session

CONSULTATIONS, ANSWERS, SEED = 5, 12, 7


def main() -> None:
    knowledge = open_knowledge(Namespace(site=None))
    dice = random.Random(SEED)
    steps, changes = [], []
    for machine in knowledge.site.machines.values():
        for _ in range(CONSULTATIONS):
            session = Session(knowledge, machine, "loaded", happened=())
            session.do(events.GoOn())
            session.prepare()
            for _ in range(ANSWERS):
                question = session.view().question
                if question is None:
                    session.do(events.GoOn())
                    question = session.view().question
                if question is None:
                    break
                session.prepare()
                answer = events.Answer(value=dice.choice(question.choices).value)
                steps.append(timed(session, events.Report(question.finding, answer)))
            name = dice.choice(list(session.state.said))
            session.prepare()
            choice = dice.choice(session.question_for(name).choices)
            changes.append(timed(session, events.Report(name, events.Answer(value=choice.value))))
    show("answer to next question", steps)
    show("changed answer to next question", changes)


def timed(session: Session, intent: events.Intent) -> float:
    begun = time.process_time()
    session.do(intent)
    return (time.process_time() - begun) * 1000


def show(name: str, times: list[float]) -> None:
    ordered = sorted(times)
    ninth = ordered[int(len(ordered) * 0.9)]
    print(
        f"{name:32} {len(times):4} steps   median {statistics.median(times):6.2f} ms   "
        f"90th percentile {ninth:6.2f}   worst {ordered[-1]:6.2f}"
    )


if __name__ == "__main__":
    main()

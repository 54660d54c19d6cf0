"""``diagnose quiz make``: new cases as YAML, drawn from the rules or from a consultation whose outcome is known."""

from __future__ import annotations

import secrets
import sys
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING

from diagnose.commands import wiring
from diagnose.commands.quiz_serving import wish_from
from diagnose.training import generate
from diagnose.training.case_text import case_from_consultation, yaml_text
from diagnose.values.names import did_you_mean
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from argparse import Namespace
    from collections.abc import Sequence

    from diagnose.journal.store import Kept
    from diagnose.knowledge.model import Case, Knowledge

__all__ = ["run"]


def run(arguments: Namespace) -> int:
    """Make the cases and write them."""
    knowledge = wiring.open_knowledge(arguments)
    cases = [_from_journal(arguments, knowledge)] if arguments.consultation else _drawn(arguments, knowledge)
    text = yaml_text(cases)
    if not arguments.out:
        wiring.say(text.rstrip("\n"))
        return 0
    try:
        with Path(arguments.out).open("x", encoding="utf-8") as file:
            file.write(text)
    except FileExistsError as error:
        raise DiagnoseError("That file is there already.", where=arguments.out, mend="Name another.") from error
    except OSError as error:
        raise DiagnoseError("The cases cannot be written.", where=arguments.out) from error
    wiring.say(f"{len(cases)} case{'s' if len(cases) != 1 else ''} written to {arguments.out}.")
    return 0


def _drawn(arguments: Namespace, knowledge: Knowledge) -> list[Case]:
    seed = secrets.randbelow(10**6) if arguments.seed is None else arguments.seed
    made = []
    for one in generate.make(knowledge, wish_from(arguments, knowledge), seed, arguments.count):
        made.append(one.case)
        hard = one.difficulty
        told = ", ".join(
            [
                f"true causes hidden {hard.hidden:.2f} bits on average",
                f"ambiguity {hard.ambiguity:.1f} bits",
                f"faults {hard.faults}",
                f"misleading {hard.misleading:.0f} decibans",
            ]
        )
        print(f"{one.case.id}: {told}", file=sys.stderr)  # noqa: T201 - the door speaks
    return made


def _from_journal(arguments: Namespace, knowledge: Knowledge) -> Case:
    from diagnose.consultation.events import event_from
    from diagnose.consultation.state import fold
    from diagnose.journal.outcomes import standing_outcome
    from diagnose.journal.store import open_to_read

    journal = open_to_read(wiring.journal_path(arguments))
    run = arguments.consultation
    kept = journal.events(run, "consultation")
    if not kept:
        mend = did_you_mean(run, journal.runs()) or "'diagnose journal list' shows them."
        raise DiagnoseError(f"There is no consultation '{run}'.", where=str(journal.path), mend=mend)
    outcome = standing_outcome(journal, run)
    if outcome is None or outcome[1].none_found:
        mend = f"Record it: diagnose journal outcome {run} --cause ID."
        raise DiagnoseError(f"What was wrong in '{run}' is not known.", mend=mend)
    unknown = sorted(set(outcome[1].causes) - set(knowledge.causes))
    if unknown:
        raise DiagnoseError(f"The rules hold no cause '{unknown[0]}' any more.")
    happened = [event_from(dict(one.body)) for one in kept]
    cautions = frozenset(_cautions(journal.events(run, "conclusion"))) & frozenset(knowledge.cautions)
    state = fold(happened)
    if state.others:
        print("diagnose: what was said of other machines is left out.", file=sys.stderr)  # noqa: T201 - the door speaks
    name = f"closed-job-{sha256(run.encode()).hexdigest()[:8]}"  # tells neither the day nor where it is kept
    machine = wiring.machine_named(state.machine, knowledge)
    return case_from_consultation(name, happened, machine, frozenset(outcome[1].causes), knowledge, cautions)


def _cautions(conclusions: Sequence[Kept]) -> list[str]:
    latest = conclusions[-1].body if conclusions else {}
    return [str(name) for name in latest.get("cautions", ())]

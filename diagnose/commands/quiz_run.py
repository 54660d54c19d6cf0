"""``diagnose quiz run``: serve cases one after another, keep what happens, take up what was left."""

from __future__ import annotations

import os
import secrets
import sys
import time
from math import inf
from random import Random
from typing import TYPE_CHECKING, Any, NamedTuple

from diagnose.commands import quiz_names, wiring
from diagnose.commands.quiz_serving import Library, course_named, format_of, quiz_of, wish_from
from diagnose.training.attempt import Begun, event_from, event_record, fold
from diagnose.training.course import next_case, progress
from diagnose.training.quiz import OpenQuiz
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from argparse import Namespace
    from collections.abc import Callable, Iterator, Mapping

    from diagnose.journal.store import Journal
    from diagnose.knowledge.model import Knowledge
    from diagnose.terminal.quiz import Talk
    from diagnose.training.attempt import Event

__all__ = ["run"]


class _Class(NamedTuple):
    """What serving needs: the rules, the cases, the journal (None: keep nothing), and who practises."""

    arguments: Namespace
    knowledge: Knowledge
    library: Library
    journal: Journal | None
    trainee: str
    teams: tuple[str, ...]
    lines: Iterator[str]


def run(arguments: Namespace) -> int:
    """Serve the questions until they are done or the trainee leaves."""
    if not arguments.plain and not _full_screen():
        arguments.plain = True
    if arguments.plain:
        wiring.say("Practice only: at the machine, local procedures and your supervisor come first.")
        sys.stdout.flush()
    knowledge = wiring.open_knowledge(arguments)
    journal = None if arguments.no_journal else _journal(arguments)
    trainee = _trainee(arguments)
    teams = tuple(name.strip() for name in arguments.teams.split(",") if name.strip())
    room = _Class(arguments, knowledge, Library(knowledge, arguments), journal, trainee, teams, wiring.typed_lines())
    if arguments.resume:
        return _resume(room)
    marks: dict[str, list[float]] = {}
    for number, begun in enumerate(_questions(room)):
        result = _serve(room, wiring.new_run(room.journal), [begun], f"Question {number + 1} of {arguments.count}.")
        if result is None:
            break
        marks.setdefault(begun.team, []).append(float(result["mark"]))
    for team in filter(None, marks):
        many = len(marks[team])
        wiring.say(
            f"Team {team}: mean mark {sum(marks[team]) / many:.0f} in {many} question{'s' if many != 1 else ''}."
        )
    if arguments.course and journal:
        course = course_named(arguments.course, arguments, room.library.shipped())
        done, many = progress(course, _served(journal, trainee, arguments.course, course.pass_mark))
        wiring.say(f"Course: {done} of {many} cases done.")
    return 0


def _full_screen() -> bool:
    return sys.stdin.isatty() and sys.stdout.isatty() and os.environ.get("TERM", "dumb") not in ("dumb", "")


def _journal(arguments: Namespace) -> Journal:
    from diagnose.journal.store import open_journal

    return open_journal(wiring.journal_path(arguments))


def _trainee(arguments: Namespace) -> str:
    if not arguments.trainee or arguments.no_journal:
        return ""
    return quiz_names.id_of(arguments.trainee, quiz_names.names_path(arguments), make=not arguments.resume)


# ---- which questions


def _questions(room: _Class) -> Iterator[Begun]:
    arguments = room.arguments
    seed = secrets.randbelow(10**6) if arguments.seed is None else arguments.seed
    for number in range(arguments.count):
        origin, case = _case(room, number, seed)
        if not case:
            wiring.say("The course is done.")
            return
        yield Begun(
            format=format_of(arguments.format, number, seed),
            origin=origin,
            case=case,
            trainee=room.trainee,
            team=room.teams[number % len(room.teams)] if room.teams else "",
            course=arguments.course,
            minutes=arguments.minutes,
            seed=f"{seed} {number}",
        )


def _case(room: _Class, number: int, seed: int) -> tuple[str, str]:
    """Return where the next case is from and its name there; no name when a course is done."""
    arguments = room.arguments
    if arguments.course:
        course = course_named(arguments.course, arguments, room.library.shipped())
        if room.journal is None:
            return "shipped", next(iter(course.cases[number:]), "")
        return "shipped", next_case(course, _served(room.journal, room.trainee, arguments.course, course.pass_mark))
    if arguments.cases:
        cases = sorted(room.library.of_path(arguments.cases))
        if not cases:
            raise DiagnoseError("There is no case in there.", where=arguments.cases)
        order = Random(seed).sample(cases, len(cases))  # noqa: S311 - an order
        return f"file:{arguments.cases}", order[number % len(order)]
    wish = wish_from(arguments, room.knowledge)
    return "made", "|".join((*wish, str(seed), str(number + 1)))


def _served(journal: Journal, trainee: str, course: str, pass_mark: float) -> list[tuple[str, bool]]:
    """Return the (case, passed) of this trainee's, or the class's, attempts at a course, oldest first."""
    served = []
    for run in journal.runs("quiz"):
        begun, result = _begun_and_result(journal, run)
        if begun.course == course and begun.trainee == trainee and result:
            served.append((begun.case, result["mark"] >= pass_mark))
    return served


def _begun_and_result(journal: Journal, run: str) -> tuple[Begun, dict[str, float]]:
    attempt = fold(event_from(dict(one.body)) for one in journal.events(run, "quiz"))
    return attempt.begun, dict(attempt.result)


# ---- serving one


def _resume(room: _Class) -> int:
    if room.journal is None:
        raise DiagnoseError("Without a journal there is nothing to resume.", mend="Leave out --no-journal.")
    for run in reversed(room.journal.runs("quiz")):
        kept = room.journal.events(run, "quiz")
        happened = [event_from(dict(one.body)) for one in kept]
        begun = fold(happened).begun
        if kept[-1].body["kind"] == "Closed" or begun.trainee != room.trainee:
            continue
        if kept[0].rules != room.knowledge.revision:
            print("diagnose: the rules have changed since; what was seen may differ.", file=sys.stderr)  # noqa: T201
            if begun.origin == "made":  # drawn from the rules, it would be another case now
                continue
        _serve(room, run, happened, "")
        return 0
    raise DiagnoseError("No case was left to go on with.", mend="With --trainee, say whose.")


def _serve(room: _Class, run: str, happened: list[Event], title: str) -> Mapping[str, Any] | None:
    """Put one question and return its result; None when it was left."""
    keep = _keeper(room, run)
    fresh = len(happened) == 1
    begun = fold(happened).begun
    heading = " ".join(filter(None, [title, f"Team {begun.team}." if begun.team else ""]))
    quiz = quiz_of(begun, happened, room.library, room.knowledge, keep)
    clean = _cleaner()
    talk: Talk
    if isinstance(quiz, OpenQuiz):
        from diagnose.terminal.quiz_open import OpenTalk

        talk = OpenTalk(quiz, heading, clean, _clock(begun.minutes))
    else:
        from diagnose.terminal.quiz_puzzle import PuzzleTalk

        talk = PuzzleTalk(quiz, room.knowledge, heading, clean)
    if fresh:
        keep(begun)
    _hold(room, talk)
    return None if talk.left else quiz.attempt.result


def _hold(room: _Class, talk: Talk) -> None:
    from diagnose.terminal import quiz_words
    from diagnose.terminal.quiz_faces import hold_full, hold_plain

    if room.arguments.plain:
        hold_plain(talk, room.lines, wiring.say, echo=not sys.stdin.isatty())
    else:
        hold_full(talk)
    if talk.left:
        wiring.say(quiz_words.SAVED if room.journal else quiz_words.NOT_KEPT)


def _keeper(room: _Class, run: str) -> Callable[[Event], None]:
    journal, revision = room.journal, room.knowledge.revision
    if journal is None:
        return lambda _: None

    def keep(event: Event) -> None:
        journal.append(run, "quiz", wiring.now(), "", revision, event_record(event))

    return keep


def _cleaner() -> Callable[[str], str]:
    from diagnose.terminal.harmless import cleaner

    return cleaner(sys.stdout.encoding or "ascii")


def _clock(minutes: float) -> Callable[[], float]:
    """Return what tells the minutes left. A case taken up again gets its time anew."""
    end = time.monotonic() + minutes * 60 if minutes > 0 else inf
    return lambda: (end - time.monotonic()) / 60

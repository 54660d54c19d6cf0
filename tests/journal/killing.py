"""A program that keeps a consultation, a round or a quiz is killed at a random moment; nothing it said may be lost.

The child tells through a pipe what it was told is kept, and which question it then shows; the parent kills it with
SIGKILL, or limits how large its files may grow, and looks at what is on the disk.
"""

from __future__ import annotations

import json
import os
import resource
import signal
import time
from random import Random
from typing import IO, TYPE_CHECKING, NoReturn

from diagnose.consultation import events
from diagnose.consultation.events import Answer, event_from, event_record
from diagnose.consultation.session import Session
from diagnose.journal.store import open_journal
from diagnose.values.problem import DiagnoseError
from tests.knowledge_samples import sample

if TYPE_CHECKING:
    from pathlib import Path

__all__ = ["Found", "kill_once"]

AT = "2026-03-02T08:00:00.000+00:00"
KINDS = ("consultation", "round", "quiz")


class Found:
    """What was found after a kill: events acknowledged, of these lost, whether the file reads, whether it resumes."""

    def __init__(self) -> None:
        self.acknowledged = self.lost = self.unreadable = self.misplaced = self.resumed = self.refused = 0

    def add(self, other: Found) -> None:
        """Add another's figures to these."""
        for name, value in vars(other).items():
            setattr(self, name, getattr(self, name) + value)


def kill_once(path: Path, seed: int, *, most: int = 25, room: int | None = None) -> Found:
    """Kill one writer at a random moment, after at most ``most`` of its messages and a few milliseconds more.

    With ``room`` no file of it may grow beyond so many bytes; it is killed when it has told that it was refused.
    """
    random = Random(seed)
    reader, writer = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reader)
        _write(path, seed, writer, room)
    os.close(writer)
    with os.fdopen(reader, "rb") as pipe:
        heard = _heard(pipe, random.randrange(most) if room is None else None)
        time.sleep(random.uniform(0.0, 0.02))
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        heard += pipe.read()
    said = [json.loads(line) for line in heard.split(b"\n")[:-1]]
    return _judged(path, f"s{seed}", said)


def _heard(pipe: IO[bytes], messages: int | None) -> bytes:
    """Listen to so many messages, or until a refusal is told."""
    heard = b""
    while messages is None or messages > 0:
        line = pipe.readline()
        heard += line
        if not line or (messages is None and line.startswith(b'{"refused"')):
            break
        messages = None if messages is None else messages - 1
    return heard


def _judged(path: Path, run: str, said: list[dict]) -> Found:
    found = Found()
    try:
        journal = open_journal(path)
        found.unreadable = list(journal.rows("PRAGMA quick_check")) != [("ok",)]
        kept = {one.number: one.body for one in journal.events(run)}
        kind = next((one.kind for one in journal.events(run)), "")
    except DiagnoseError:
        found.unreadable = 1
        return found
    acknowledged = [one for one in said if "number" in one]
    found.acknowledged = len(acknowledged)
    found.lost = sum(kept.get(one["number"]) != one["body"] for one in acknowledged)
    found.refused = sum("refused" in one for one in said)
    shown = [one for one in said if "asks" in one]
    if kind == "consultation" and shown and len(kept) >= shown[-1]["after"]:
        # An answer may be on the disk that the writer was killed before acknowledging: that one is beyond the question.
        then = list(kept.values())[: shown[-1]["after"]]
        session = Session(sample(), sample().site.machines["P-1"], happened=map(event_from, then))
        found.resumed = 1
        found.misplaced = session.open_question != shown[-1]["asks"]
    journal.close()
    return found


def _write(path: Path, seed: int, pipe: int, room: int | None) -> NoReturn:
    """Keep events until killed."""

    def tell(**what: object) -> None:
        os.write(pipe, json.dumps(what).encode() + b"\n")

    try:
        if room is not None:
            signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
            resource.setrlimit(resource.RLIMIT_FSIZE, (room, room))
        journal = open_journal(path)
        random, run, count = Random(seed), f"s{seed}", 0

        def keep(kind: str, body: dict) -> None:
            nonlocal count
            number = journal.append(run, kind, AT, "P-1", "", body)
            count += 1
            tell(number=number, body=body)

        kind = KINDS[seed % len(KINDS)]
        if kind == "consultation":
            _consult(lambda event: keep(kind, event_record(event)), random, lambda asks: tell(asks=asks, after=count))
        while True:
            keep("round" if kind == "consultation" else kind, {"row": count, "text": "x" * random.randrange(3000)})
    except DiagnoseError as error:
        tell(refused=str(error))
        signal.pause()  # to be killed
    finally:
        os._exit(0)


def _consult(keep, random: Random, show) -> None:
    session = Session(sample(), sample().site.machines["P-1"], keep=keep)
    session.do(events.Report("oil-look", Answer(value="milky", typed="x" * random.randrange(2000))))
    for _ in range(200):
        show(session.open_question)
        question = session.view().question
        if question is None or random.random() < 0.3:
            session.do(events.Back() if question is None or random.random() < 0.5 else events.Skip(question.finding))
        else:
            session.do(events.Report(question.finding, Answer(value=random.choice(question.choices).value)))

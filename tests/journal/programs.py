"""The real programs, typed at through a pipe, are killed with SIGKILL; what they had acknowledged must be kept.

What counts as acknowledged is read off what the program printed, as a person would: the question after an answered
one, the check after a checked one, "Seen" and marks of a quiz, "Kept as" of a round. Then the journal is read, and
the program is started again to go on: it must stand at the question that was open.
"""

from __future__ import annotations

import os
import re
import resource
import select
import signal
import subprocess
import sys
import time
from pathlib import Path
from random import Random
from typing import NamedTuple

from diagnose.journal.store import open_journal
from diagnose.knowledge import library
from diagnose.values.problem import DiagnoseError

ROOT = Path(__file__).parents[2]
ROUNDS = library.demo_site() / "rounds"
KINDS = ("consult", "start", "quiz", "consult", "quiz", "consult", "round", "consult", "quiz", "round-consult")
COMPLAINTS = ("bearing-oil-look=milky", "exhaust-pressure=42 psig", "gland-leak=blowing both ends")
_STAGES = "Before steam is let in|Slow roll and heat soak|Bringing it up to speed|At speed, before the load"
_ASKS = re.compile(rf"(?:Question|{_STAGES}): (.*)")
_PICK = re.compile(r"(?:Answer|Choice) \d+ of (\d+): |How sure are you")
_SLOW = 1200.0  # seconds after which a program that says nothing has hung: an unlucky quiz draws long, a busy machine longer


class Tally:
    """What was found: kills, answers acknowledged, of these lost, journals unreadable, writes refused.

    Of the runs ``resumed``, ``compared`` had an open question to be found again, and ``misplaced`` stood elsewhere.
    """

    def __init__(self) -> None:
        self.kills = self.acknowledged = self.lost = self.unreadable = self.refused = 0
        self.resumed = self.compared = self.misplaced = 0
        self.faults: list[str] = []

    def add(self, other: Tally) -> None:
        """Add another's figures to these."""
        for name, value in vars(other).items():
            setattr(self, name, getattr(self, name) + value)

    @property
    def well(self) -> bool:
        """Whether nothing was lost, unreadable or misplaced."""
        return not (self.lost or self.unreadable or self.misplaced or self.faults)


class Shown(NamedTuple):
    """What a program had printed when it was killed, and what had been typed into it, in pages.

    ``pages[0]`` is what stood before anything was typed; the page after typed line n is ``pages[n + 1]``.
    """

    pages: list[list[str]]
    typed: list[str]


class Program:
    """One command of the real program with pipes at both ends and a data folder of its own."""

    def __init__(self, arguments: list[str], data: Path, cache: Path, room: int | None = None) -> None:
        kept = {name: value for name, value in os.environ.items() if not name.startswith(("PYTHONUNBUF", "DIAGNOSE"))}
        env = {**kept, "PYTHONPATH": str(ROOT), "DIAGNOSE_DATA": str(data), "DIAGNOSE_CACHE": str(cache)}

        if room is not None:
            env["PYTHONDONTWRITEBYTECODE"] = "1"  # Python itself would leave half a file

        def starve() -> None:
            resource.setrlimit(resource.RLIMIT_FSIZE, (room, room))

        self._process = subprocess.Popen(
            [sys.executable, "-m", "diagnose", *arguments], cwd=data, env=env, bufsize=0,
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
            preexec_fn=starve if room is not None else None,  # noqa: PLW1509 - there are no threads
        )  # fmt: skip
        self._said = b""
        self.typed: list[str] = []

    def hear(self, seconds: float) -> bool:
        """Read what comes until nothing has come for so long; False at the end of it."""
        assert self._process.stdout
        while select.select([self._process.stdout], [], [], seconds)[0]:
            piece = os.read(self._process.stdout.fileno(), 65536)
            self._said += piece
            if not piece:
                return False
        return True

    def hear_question(self) -> bool:
        """Read until the program waits for a line: what it reads from is empty and it has said something more."""
        before, until = len(self._said), time.monotonic() + _SLOW
        while self.hear(0.03):
            if len(self._said) > before and self._waits():
                return True
            assert time.monotonic() < until, self._said.decode()[-2000:]
        return False

    def _waits(self) -> bool:
        """Tell whether the process sleeps in a read, and none of its output is still on its way."""
        waits = Path(f"/proc/{self._process.pid}/wchan").read_text(encoding="ascii")
        return "pipe" in waits

    def type(self, line: str) -> None:
        """Type a line."""
        assert self._process.stdin
        self.typed.append(line)
        self._process.stdin.write(f"{line}\n".encode())

    def kill(self) -> Shown:
        """Kill it at once and return what it had shown."""
        self._process.send_signal(signal.SIGKILL)
        return self.end()

    def end(self) -> Shown:
        """Close its input, wait, and return what it had shown."""
        assert self._process.stdin
        assert self._process.stdout
        self._process.stdin.close()
        self._said += self._process.stdout.read()
        self._process.stdout.close()
        self._process.wait()
        whole = self._said[: self._said.rfind(b"\n") + 1].decode().splitlines()
        pages: list[list[str]] = [[]]
        for line in whole:
            if line.startswith("> "):
                pages.append([])
            else:
                pages[-1].append(line)
        return Shown(pages, self.typed)


def arguments_for(kind: str, random: Random, seed: int) -> list[str]:
    """Return a command of this kind."""
    machine = random.choice(["BFP-2", "CWP-3", "FDF-1"])
    match kind:
        case "consult":
            told = ["--reading", random.choice(COMPLAINTS)]
            return ["consult", "--plain", "--machine", "BFP-2", "--phase", "loaded", *told]
        case "start":
            return ["prestart", "--machine", machine]
        case "quiz":
            format_ = random.choice(["open", "open", "next-check", "first-action", "odd-reading"])
            return ["quiz", "run", "--plain", "--seed", str(seed), "--format", format_]
        case "round":
            return ["rounds", str(ROUNDS / random.choice(["feed-pumps.csv", "lube-pump-sheet.csv"]))]
    return ["rounds", str(ROUNDS / "feed-pumps.csv"), "--consult", "BFP-2", "--plain"]


def a_line(page: list[str], random: Random, kind: str) -> str:
    """Return what a person might type after this page."""
    picks = [found for line in page if (found := _PICK.match(line))]
    if kind == "start":
        return random.choice(["1", "1", "1", "1", "can't tell"])
    if not picks:
        return random.choice([line.removeprefix("Word: ") for line in page if line.startswith("Word: ")] or ["2.5"])
    if picks[-1][1] is None:
        return str(random.randrange(101))
    if kind != "quiz" and random.random() < 0.2:
        return random.choice(["u", "s", "b"])
    return str(1 + random.randrange(int(picks[-1][1])))


def kill_program(folder: Path, cache: Path, seed: int, *, kind: str = "", room: int | None = None) -> Tally:
    """Run one program on a journal in ``folder``, kill it at a random moment, and look at what is kept."""
    random = Random(seed)
    kind = kind or KINDS[seed % len(KINDS)]
    before = _runs(folder)
    program = Program(arguments_for(kind, random, seed), folder, cache, room)
    if random.random() < 0.15 or kind == "round":
        time.sleep(random.uniform(0.0, 2.0 if kind == "round" else 0.6))  # while it starts
        if kind == "round" and random.random() < 0.5:
            while program.hear(1.0):
                pass
    else:
        for _ in range(random.randrange(1, 12)):
            page = _last_page(program) if program.hear_question() else []
            more = page and (kind == "quiz" or _asked(page))
            if not more:
                break  # it has come to its end
            program.type(a_line(page, random, kind))
        if more and random.random() < 0.3:
            program.hear_question()
        else:
            time.sleep(random.expovariate(1 / 0.05))  # between the typed line and what comes of it, mostly
    shown = program.kill()
    return _judged(folder, cache, kind, before, shown)


def _last_page(program: Program) -> list[str]:
    lines = program._said.decode().splitlines()
    at = max((number for number, line in enumerate(lines) if line.startswith("> ")), default=-1)
    return lines[at + 1 :]


def _runs(folder: Path) -> set[str]:
    path = folder / "demo-journal.sqlite3"
    if not path.exists():
        return set()
    journal = open_journal(path)
    found = {run for kind in ("consultation", "start", "quiz", "round") for run in journal.runs(kind)}
    journal.close()
    return found


def _events(path: Path, run: str):
    journal = open_journal(path)
    events = journal.events(run)
    journal.close()
    return events


# ---- what is kept


def _judged(folder: Path, cache: Path, kind: str, before: set[str], shown: Shown) -> Tally:
    found = Tally()
    found.kills = 1
    path = folder / "demo-journal.sqlite3"
    if not path.exists() and not any(_asked(page) for page in shown.pages):
        return found  # killed before there was a journal
    try:
        journal = open_journal(path)
        found.unreadable = list(journal.rows("PRAGMA quick_check")) != [("ok",)]
        journal.close()
        runs = sorted(_runs(folder) - before)
        kept = _facts([one.body for run in runs for one in _events(path, run)])
    except DiagnoseError as error:
        found.unreadable, found.faults = 1, [str(error)]
        return found
    found.refused = sum("The journal cannot be" in line for page in shown.pages for line in page)
    said = _acknowledged(kind, shown)
    if kind == "round":
        said, kept = sorted(said), [("round", run) for run in runs]
    if kind == "round-consult":  # what the sheet says of the machine is kept before the first question
        first = next((at for at, fact in enumerate(kept) if said[1:2] == [fact]), len(kept))
        kept = [*kept[:1], *(kept[first:] or kept[-1:])]
    ahead = len(kept) - len(said)
    if len(runs) == 1 and kind != "round":
        _go_on(found, folder, cache, kind, runs[0], shown, ahead=ahead)
    if kind == "quiz":  # killed between the last answer and its mark, the mark is kept when it is taken up again
        kept = _facts([one.body for run in runs for one in _events(path, run)])
    found.acknowledged = len(said)
    found.lost = sum(one != two for one, two in zip(said, kept, strict=False)) + max(0, len(said) - len(kept))
    if found.lost:
        found.faults = [*found.faults, f"said {said}, kept {kept}"]
    return found


def _asked(page: list[str]) -> str:
    """Return the question that a page puts; "" when it puts none."""
    return next((match[1] for line in reversed(page) if (match := _ASKS.match(line))), "")


def _refused(page: list[str]) -> bool:
    words = ("Not taken", "is not one of the answers", "The journal cannot be")
    return any(word in line for line in page for word in words)


def _acknowledged(kind: str, shown: Shown) -> list[tuple[str, ...]]:
    """Return what the program has shown to be taken, in order."""
    if any("is not kept." in line for page in shown.pages for line in page):
        return []
    if kind == "round":
        return [
            ("round", run) for page in shown.pages for line in page for run in re.findall(r"(\d{8}-\w{4}) \(", line)
        ]
    if kind == "quiz":
        return _quiz_facts_shown(shown)
    facts, asked = [], ""
    if kind != "start" and _asked(shown.pages[0]):
        facts += [("reported",)]
    for number, page in enumerate(shown.pages):
        taken = page and not _refused(page) and number
        if taken and (_asked(page) or len(page) > 1):  # the first line alone may stand before the event is folded
            facts.append(_told(kind, asked, shown.typed[number - 1], page))
        asked = _asked(page) or asked
    return [fact for fact in facts if fact]


def _told(kind: str, asked: str, typed: str, page: list[str]) -> tuple[str, ...]:
    match typed:
        case "s" if "Left for later." in page:
            return ("skipped", asked)
        case "b":
            return ("back",) if "One step back." in page else ()
        case "u" | "can't tell":
            return ("cannot tell", asked)
    noted = next((line.removeprefix("Noted: ").rstrip(".") for line in page if line.startswith("Noted: ")), "")
    if kind == "start":
        return ("seen", asked)
    return ("answered", asked, noted) if noted else ()


def _quiz_facts_shown(shown: Shown) -> list[tuple[str, ...]]:
    lines = [line for page in shown.pages for line in page]
    seen = [re.findall(r"Seen: (.*?)\. (?:Minutes|Named|Done)", line) for line in lines]
    looks = max((len(one[0].split("; ")) for one in seen if one), default=0)
    marks = [line.split()[1] for line in lines if line.startswith("Mark: ")]
    return [("looked",)] * looks + [("mark", mark) for mark in marks]


def _facts(bodies: list[dict]) -> list[tuple[str, ...]]:
    """Return the same of what is kept."""
    findings, checks = _knowledge().findings, _knowledge().checks
    facts: list[tuple[str, ...]] = []
    for body in bodies:
        match body["kind"]:
            case "Answered" if body["asked"] and body["answer"]["cannot_tell"]:
                facts.append(("cannot tell", findings[body["finding"]].ask))
            case "Answered" if body["asked"]:
                facts.append(("answered", findings[body["finding"]].ask, body["answer"]["typed"]))
            case "Answered" if ("reported",) not in facts:
                facts.append(("reported",))
            case "Skipped":
                facts.append(("skipped", findings[body["finding"]].ask))
            case "Withdrawn":
                facts.append(("back",))
            case "Seen":
                word = "cannot tell" if body["answer"]["cannot_tell"] else "seen"
                facts.append((word, findings[checks[body["check"]].ask].ask))
            case "Looked":
                facts.append(("looked",))
            case "Closed":
                facts.append(("mark", f"{body['result']['mark']:.0f}"))
    return facts


def _knowledge():
    if not _KNOWN:
        _KNOWN.append(library.load(site=library.demo_site()).knowledge)
    return _KNOWN[0]


_KNOWN: list = []


# ---- going on


def _go_on(found: Tally, folder: Path, cache: Path, kind: str, run: str, shown: Shown, *, ahead: int) -> None:
    """Start the program again to go on; when nothing is kept that was not shown, the open question must stand there."""
    asked = next((one for page in reversed(shown.pages) if (one := _asked(page))), "")
    again = {
        "start": ["prestart", "--resume", run],
        "quiz": ["quiz", "run", "--plain", "--resume"],
    }.get(kind, ["consult", "--plain", "--resume", run])
    resumed = Program(again, folder, cache).end()
    found.resumed = 1
    stands = _asked(resumed.pages[0])
    last = shown.pages[-1]
    unclear = last and not _asked(last) and not _refused(last)  # half a page, or one without a question
    between = kind == "quiz" and (not last or len(shown.typed) >= len(shown.pages))  # stages are no facts to compare
    if ahead or not asked or unclear or between:
        return  # it was killed between keeping an answer and showing the next question
    found.compared = 1
    if stands != asked:
        found.misplaced = 1
        found.faults = [*found.faults, f"{kind} {run}: '{asked}' was open, '{stands}' after going on"]

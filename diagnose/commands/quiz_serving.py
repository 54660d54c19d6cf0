"""Which question is served: a case of a file, of a course or a made one, in a format; and the same one found again."""

from __future__ import annotations

from pathlib import Path
from random import Random
from typing import TYPE_CHECKING

from diagnose.commands import wiring
from diagnose.knowledge import library
from diagnose.training import generate, puzzles, round_sheet, start_order
from diagnose.training.attempt import FORMATS, Begun
from diagnose.training.course import Course, read_course
from diagnose.training.quiz import OpenQuiz, PuzzleQuiz
from diagnose.values.names import did_you_mean
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from argparse import Namespace
    from collections.abc import Callable, Iterable, Mapping

    from diagnose.knowledge.model import Case, Knowledge
    from diagnose.training.attempt import Event
    from diagnose.training.puzzles import Puzzle

__all__ = ["Library", "course_named", "format_of", "puzzle_for", "quiz_of", "wish_from"]


class Library:
    """The cases there are: the shipped ones, the site's own, those of a path; and made ones by what they came from."""

    def __init__(self, knowledge: Knowledge, arguments: Namespace) -> None:
        self._knowledge = knowledge
        self._site = wiring.site_folder(arguments)
        self._shipped: dict[str, Case] = {}

    def shipped(self) -> Mapping[str, Case]:
        """Return the shipped cases and the site's own, by id."""
        if not self._shipped:
            folders = [library.shipped_cases()]
            own = self._site / "cases"
            folders += [own] if own.is_dir() and self._site != library.demo_site() else []
            self._shipped = {name: case for name, case in self._read(folders).items() if self._has_machine(case)}
        return self._shipped

    def of_path(self, path: str) -> Mapping[str, Case]:
        """Return the cases of a file or folder, by id."""
        return self._read([Path(path)])

    def case(self, origin: str, name: str) -> Case:
        """Return a case again: ``origin`` is "shipped", "made", or "file:PATH"."""
        if origin == "made":
            return self._made(name)
        cases = self.of_path(origin.removeprefix("file:")) if origin.startswith("file:") else self.shipped()
        if name not in cases:
            raise DiagnoseError(f"There is no case '{name}' any more.", mend=did_you_mean(name, cases))
        return cases[name]

    def _made(self, name: str) -> Case:
        difficulty, machine, phase, subsystem, seed, number = name.split("|")
        wish = generate.Wish(difficulty, machine, phase, subsystem)
        return next(generate.make(self._knowledge, wish, int(seed), int(number), after=int(number) - 1)).case

    def _has_machine(self, case: Case) -> bool:
        return case.profile is not None or case.machine in self._knowledge.site.machines

    def _read(self, folders: list[Path]) -> dict[str, Case]:
        cases, problems = library.load_cases(folders, self._knowledge)
        if problems:
            raise DiagnoseError("\n".join(["The cases hold faults:", *(one.line() for one in problems[:20])]))
        return {case.id: case for case in cases}


def wish_from(arguments: Namespace, knowledge: Knowledge) -> generate.Wish:
    """Return what cases are wanted; raises DiagnoseError for a machine or subsystem that there is not."""
    machine = wiring.machine_named(arguments.machine, knowledge).id if arguments.machine else ""
    subsystems = {cause.subsystem.casefold(): cause.subsystem for cause in knowledge.causes.values()}
    wanted = arguments.subsystem.casefold()
    if wanted and wanted not in subsystems:
        mend = did_you_mean(wanted, subsystems, few=40)
        raise DiagnoseError(f"There is no subsystem '{arguments.subsystem}'.", mend=mend)
    return generate.Wish(arguments.difficulty, machine, arguments.phase, subsystems.get(wanted, ""))


def course_named(name: str, arguments: Namespace, known: Mapping[str, Case]) -> Course:
    """Read a course of the site or a shipped one; raises DiagnoseError that tells its faults."""
    site = wiring.site_folder(arguments)
    places = [Path(name), site / "courses" / f"{name}.txt", library.shipped_cases() / "course" / f"{name}.txt"]
    path = next((one for one in places if one.is_file()), None)
    if path is None:
        shipped = [one.stem for one in (library.shipped_cases() / "course").glob("*.txt")]
        raise DiagnoseError(f"There is no course '{name}'.", mend=did_you_mean(name, shipped))
    try:
        text = path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise DiagnoseError("The course cannot be read.", where=str(path)) from error
    course, problems = read_course(text, str(path), known)
    if problems:
        raise DiagnoseError("\n".join(["The course holds faults; mend them first:", *(one.line() for one in problems)]))
    return course


def quiz_of(
    begun: Begun,
    happened: Iterable[Event],
    cases: Library,
    knowledge: Knowledge,
    keep: Callable[[Event], None] = lambda _: None,
) -> OpenQuiz | PuzzleQuiz:
    """Return a question as it stands after what happened."""
    case = cases.case(begun.origin, begun.case)
    if begun.format == "open":
        return OpenQuiz(case, knowledge, happened, keep)
    return PuzzleQuiz(puzzle_for(begun, case, knowledge), happened, keep)


def puzzle_for(begun: Begun, case: Case, knowledge: Knowledge) -> Puzzle:
    """Return the closed question of an attempt; the same one every time."""
    machine = case.profile or knowledge.site.machines[case.machine]
    if begun.format == "odd-reading":
        return round_sheet.odd_reading(knowledge, machine, begun.seed)
    if begun.format == "start-order":
        return start_order.start_order(knowledge, machine, begun.seed)
    ask = puzzles.next_check if begun.format == "next-check" else puzzles.first_action
    return ask(case, knowledge, begun.seed)


def format_of(wanted: str, number: int, seed: int) -> str:
    """Return the format of the question of this number: the wanted one, or each in turn when they are mixed."""
    if wanted != "mixed":
        return wanted
    order = list(FORMATS)
    Random(seed).shuffle(order)  # noqa: S311 - variety
    return order[number % len(order)]

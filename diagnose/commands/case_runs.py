"""Many cases run on all processors, with a bar that shows how far it is."""

from __future__ import annotations

import os
import sys
from typing import TYPE_CHECKING, TypeVar

from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

__all__ = ["Bar", "on_all_processors"]

Job = TypeVar("Job")
Result = TypeVar("Result")

_WORK: list[Callable[[int], object]] = []  # what the processes do; they inherit it, so that nothing has to be sent


class Bar:
    """A progress bar on standard error; nothing where that is no terminal."""

    def __init__(self, what: str, total: int) -> None:
        self._what, self._total, self._done = what, total, 0
        self._shown = sys.stderr.isatty() and total > 0

    def step(self) -> None:
        """One more is done."""
        self._done += 1
        if self._shown:
            filled = 30 * self._done // self._total
            end = "\n" if self._done == self._total else ""
            sys.stderr.write(f"\r{self._what} [{'#' * filled}{'.' * (30 - filled)}] {self._done} of {self._total}{end}")
            sys.stderr.flush()


def on_all_processors(what: str, jobs: Sequence[Job], work: Callable[[Job], Result]) -> list[Result]:
    """Do the work for every job and return the results in the order of the jobs.

    Processes are forked, so that knowledge need not be sent; where they cannot be, or for few jobs, one does all.
    """
    return list(_results(what, jobs, work))


def _results(what: str, jobs: Sequence[Job], work: Callable[[Job], Result]) -> Iterator[Result]:
    import multiprocessing
    from concurrent.futures import ProcessPoolExecutor
    from concurrent.futures.process import BrokenProcessPool

    bar = Bar(what, len(jobs))
    processors = min(os.cpu_count() or 1, len(jobs))
    if processors < 2 or "fork" not in multiprocessing.get_all_start_methods():  # noqa: PLR2004
        for job in jobs:
            yield work(job)
            bar.step()
        return
    _WORK.append(lambda at: work(jobs[at]))
    try:
        with ProcessPoolExecutor(processors, multiprocessing.get_context("fork")) as pool:
            for result in pool.map(_one, range(len(jobs))):
                yield result  # type: ignore[misc]  # what work returns
                bar.step()
    except BrokenProcessPool as error:
        says = f"A process that ran the {what} was ended from outside."
        raise DiagnoseError(says, mend="Try again; it may have been short of memory.") from error
    finally:
        _WORK.pop()


def _one(at: int) -> object:
    return _WORK[-1](at)

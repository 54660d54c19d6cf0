"""Many cases run on all processors, one after another handed back, with a bar that shows how far it is."""

from __future__ import annotations

import os
import sys
from typing import TYPE_CHECKING, TypeVar

from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence
    from concurrent.futures import Future

__all__ = ["Bar", "on_all_processors", "stream"]

Job = TypeVar("Job")
Result = TypeVar("Result")

_AHEAD = 4  # jobs handed out for each processor before their results are taken

_WORK: list[Callable[[int], object]] = []  # what the processes do; they inherit it, so that it need not be sent


class Bar:
    """A progress bar on standard error; nothing where that is no terminal."""

    def __init__(self, what: str, total: int) -> None:
        self._what, self._total, self._done = what, total, 0
        self._shown = sys.stderr.isatty() and total > 0

    def step(self, done: int = 1) -> None:
        """So many more are done."""
        self._done += done
        if self._shown:
            filled = 30 * self._done // self._total
            end = "\n" if self._done == self._total else ""
            sys.stderr.write(f"\r{self._what} [{'#' * filled}{'.' * (30 - filled)}] {self._done} of {self._total}{end}")
            sys.stderr.flush()


def on_all_processors(what: str, jobs: Sequence[Job], work: Callable[[Job], Result]) -> list[Result]:
    """Do the work for every job and return the results in the order of the jobs, showing a bar."""
    bar, results = Bar(what, len(jobs)), []
    for result in stream(what, len(jobs), lambda at: work(jobs[at])):
        results.append(result)
        bar.step()
    return results


def stream(what: str, total: int, work: Callable[[int], Result]) -> Iterator[Result]:
    """Yield the results of jobs 0 to ``total`` - 1 in order; few are held at a time, however many there are.

    Processes are forked, so that jobs and knowledge need not be sent; where they cannot be, or for one job, one does
    all. An interrupt reaches the caller only; what was handed out then is given up.
    """
    import multiprocessing

    if min(os.cpu_count() or 1, total) < 2 or "fork" not in multiprocessing.get_all_start_methods():  # noqa: PLR2004
        yield from map(work, range(total))
        return
    from concurrent.futures.process import BrokenProcessPool

    _WORK.append(work)
    try:
        yield from _forked(total)  # type: ignore[misc]  # what work returns
    except BrokenProcessPool as error:
        says = f"A process that ran the {what} was ended from outside."
        raise DiagnoseError(says, mend="Try again; it may have been short of memory.") from error
    finally:
        _WORK.pop()


def _forked(total: int) -> Iterator[object]:
    import multiprocessing
    from collections import deque
    from concurrent.futures import ProcessPoolExecutor

    processors = min(os.cpu_count() or 1, total)
    pool = ProcessPoolExecutor(processors, multiprocessing.get_context("fork"), initializer=_deaf)
    try:
        waiting: deque[Future[object]] = deque()
        for at in range(total):
            waiting.append(pool.submit(_one, at))
            if len(waiting) >= processors * _AHEAD:
                yield waiting.popleft().result()
        while waiting:
            yield waiting.popleft().result()
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


def _deaf() -> None:
    """Leave an interrupt to the one who started the processes."""
    import signal

    signal.signal(signal.SIGINT, signal.SIG_IGN)


def _one(at: int) -> object:
    return _WORK[-1](at)

"""Fuzz one reader for so many seconds, by hypothesis or by coverage-guided mutation (atheris, where it is installed).

python tests/fuzz/run.py hypothesis rules 60 1
python tests/fuzz/run.py atheris rules 60 1

Prints how many inputs were put, the slowest, the peak of memory, and whether one crashed. What crashed is kept in
``tests/fuzz/seeds/READER/`` and put again by the test suite.
"""

from __future__ import annotations

import hashlib
import os
import resource
import signal
import subprocess
import sys
import tempfile
import time
import traceback
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

    from hypothesis.strategies import SearchStrategy

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))
SEEDS = Path(__file__).parent / "seeds"
MEMORY = 2 << 30  # bytes that a reader may take in all
LONGEST = 10  # seconds of processor time for one input; longer is a hang
WORDS = [b":", b"'", b'"', b"{", b"}", b"[", b"]", b"#", b"\t", b"- ", b"  ", b"&a ", b"*a", b"!", b"\xff", b"\x00"]
WORDS += [
    "\u200b".encode(),
    "é".encode(),
    b"?",
    b"\r",
    b"\n",
    b",",
    b";",
    b"1e999",
    b"nan",
    b"-",
    b"\xef\xbb\xbf",
    b"|",
]


class Watch:
    """Puts inputs to a reader, counts them, and keeps the slowest time and what crashed."""

    def __init__(self, target: str) -> None:
        self.target, self.inputs, self.slowest = target, 0, 0.0
        self.crash: bytes | None = None

    def put(self, data: bytes) -> None:
        """Put one input; a crash or a hang is remembered, the smallest last, and raised again."""
        from tests.fuzz.targets import put

        start = time.process_time()
        signal.setitimer(signal.ITIMER_VIRTUAL, LONGEST)
        try:
            put(self.target, data)
        except BaseException:
            self.crash = data
            raise
        finally:
            signal.setitimer(signal.ITIMER_VIRTUAL, 0)
            self.inputs += 1
            self.slowest = max(self.slowest, time.process_time() - start)

    def line(self, driver: str, seconds: float) -> str:
        """Tell the figures in one line, and keep what crashed."""
        if self.crash is not None:
            keep(self.target, self.crash)
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        return (
            f"{self.target} {driver}: {self.inputs} inputs in {seconds:.0f} s, slowest {self.slowest:.2f} s, "
            f"peak {peak:.0f} MB, {'none' if self.crash is None else 'one'} crashed"
        )


def keep(target: str, data: bytes) -> Path:
    """Keep an input under the hash of its content."""
    folder = SEEDS / target
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / hashlib.sha256(data).hexdigest()[:16]
    path.write_bytes(data)
    return path


def warm_up(target: str, put: Callable[[str, bytes], None]) -> None:
    """Read the samples first: what is loaded once is no slow input."""
    from tests.fuzz.targets import TARGETS

    for sample in TARGETS[target].samples():
        put(target, sample)


def spoiling(samples: list[bytes]) -> SearchStrategy[bytes]:
    """Give a sample with a few lines lost, doubled, moved in, cut or run together, or with something put in."""
    from hypothesis import strategies as st

    pieces = st.one_of(st.sampled_from(WORDS), st.binary(max_size=8), st.text(max_size=6).map(str.encode))

    @st.composite
    def spoilt(draw: st.DrawFn) -> bytes:
        data = draw(st.sampled_from(samples))
        for _ in range(draw(st.integers(1, 6))):
            lines = data.split(b"\n")
            at, to = (draw(st.integers(0, len(lines) - 1)) for _ in range(2))
            match draw(st.integers(0, 5)):
                case 0:
                    del lines[at]
                case 1:
                    lines.insert(to, lines[at])
                case 2:
                    lines[at] = b" " * draw(st.integers(1, 5)) + lines[at]
                case 3:
                    column = draw(st.integers(0, len(lines[at])))
                    lines[at] = lines[at][:column] + draw(pieces) + lines[at][column:]
                case 4:
                    lines = lines[: at + 1]
                case 5:
                    cut = draw(st.integers(0, len(lines[at])))
                    lines[at] = lines[at][:cut] + lines[to][cut:]
            data = b"\n".join(lines)
        return data

    return spoilt()


def by_hypothesis(target: str, seconds: float, seed: int) -> Watch:
    """Spoil the samples until the time is up; each round has the next seed."""
    import hypothesis

    from tests.fuzz.targets import TARGETS, put

    warm_up(target, put)
    watch, samples, end = Watch(target), TARGETS[target].samples(), time.monotonic() + seconds
    spoilt = spoiling(samples)

    while time.monotonic() < end:

        @hypothesis.seed(seed)
        @hypothesis.settings(
            max_examples=200, deadline=None, database=None, suppress_health_check=list(hypothesis.HealthCheck)
        )
        @hypothesis.given(spoilt)
        def round_(data: bytes) -> None:
            if time.monotonic() < end:
                watch.put(data)

        try:
            round_()
        except BaseException:  # noqa: BLE001  a crash of any kind is what is looked for
            traceback.print_exc()
            break
        seed += 1
    return watch


def by_atheris(target: str, seconds: float, seed: int) -> Watch:
    """Let the library mutate the samples by what code they reach; it ends the process itself."""
    import atheris

    with atheris.instrument_imports(include=["diagnose"]):
        from tests.fuzz.targets import TARGETS, put
    warm_up(target, put)
    watch, start = Watch(target), time.monotonic()
    corpus = Path(tempfile.mkdtemp(prefix=f"fuzz-{target}-"))
    for at, sample in enumerate(TARGETS[target].samples()):
        (corpus / f"sample-{at}").write_bytes(sample)
    words = corpus.with_suffix(".words")
    words.write_text("".join('"' + "".join(f"\\x{byte:02x}" for byte in word) + '"\n' for word in WORDS))

    def one_input(data: bytes) -> None:
        if time.monotonic() - start > seconds:  # the library's own end would skip the figures
            sys.stdout.write(watch.line("atheris", time.monotonic() - start) + "\n")
            sys.stdout.flush()
            os._exit(0)
        try:
            watch.put(data)
        except BaseException:  # noqa: BLE001  a crash of any kind is what is looked for
            traceback.print_exc()
            sys.stdout.write(watch.line("atheris", time.monotonic() - start) + "\n")
            sys.stdout.flush()
            os._exit(1)

    flags = [
        f"-seed={seed}",
        f"-dict={words}",
        "-rss_limit_mb=0",
        "-max_len=20000",
        "-verbosity=0",
        "-print_final_stats=0",
    ]
    atheris.Setup([sys.argv[0], *flags, str(corpus)], one_input)
    atheris.Fuzz()
    return watch


def main(driver: str, target: str, seconds: str = "60", seed: str = "1") -> int:
    """Run and tell; exit status 1 when an input crashed."""
    if target == "all":
        runs = [
            subprocess.run([sys.executable, __file__, driver, one, seconds, seed], check=False).returncode
            for one in _targets()
        ]
        return int(any(runs))
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    signal.signal(signal.SIGVTALRM, _hang)
    start = time.monotonic()
    watch = {"hypothesis": by_hypothesis, "atheris": by_atheris}[driver](target, float(seconds), int(seed))
    print(watch.line(driver, time.monotonic() - start))
    return int(watch.crash is not None)


def _targets() -> list[str]:
    from tests.fuzz.targets import TARGETS

    return list(TARGETS)


def _hang(_signal: int, _frame: object) -> None:
    raise TimeoutError(f"longer than {LONGEST} s")


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))

"""Many drawn cases through ``diagnose case --simulate``: cases a second on each processor, and memory as it goes.

    nice python tests/benchmarks/case_batch.py --cases 2000

Memory is that of all its processes together, looked at ten times a second; flat means that the most in the last
quarter of the run is about the most in the second. What it would take for 100,000 is reckoned from the sample.
"""

from __future__ import annotations

import argparse
import contextlib
import json
import os
import resource
import subprocess
import sys
import time
from pathlib import Path


def memory(pid: int) -> float:
    """Return what a process and its children have to themselves, in MiB."""
    total = 0
    children = Path(f"/proc/{pid}/task/{pid}/children").read_text(encoding="ascii").split()
    for one in (str(pid), *children):
        for line in Path(f"/proc/{one}/smaps_rollup").read_text(encoding="ascii").splitlines():
            if line.startswith("Pss:"):
                total += int(line.split()[1])
    return total / 1024


def main() -> None:
    """Run the sample and print its figures."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--cases", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    begun = time.perf_counter()
    command = ["case", "--simulate", str(given.cases), "--seed", str(given.seed), "--json"]
    process = subprocess.Popen([sys.executable, "-m", "diagnose", *command], stdout=subprocess.PIPE, text=True)
    seen = []
    while process.poll() is None:
        with contextlib.suppress(FileNotFoundError, ProcessLookupError):
            seen.append(memory(process.pid))
        time.sleep(0.1)
    told = json.loads(process.communicate()[0])
    took, used = time.perf_counter() - begun, resource.getrusage(resource.RUSAGE_CHILDREN)
    busy = used.ru_utime + used.ru_stime
    cases, quarter = told["summary"]["cases"], max(1, len(seen) // 4)
    print(f"{cases} cases in {took:.0f} s on {os.cpu_count()} processors, which were busy with it for {busy:.0f} s")
    print(
        f"{cases / busy:.1f} cases a second and processor, as far as it had them; 100,000 would take {busy / cases * 1e5 / 3600:.1f} hours of processor time"
    )
    print(
        f"memory of all its processes: {max(seen[quarter : 2 * quarter]):.0f} MiB at most in the second quarter of the run, {max(seen[-quarter:]):.0f} in the last"
    )
    print(told["summary"])


if __name__ == "__main__":
    main()

"""A warm cache: the shipped rules with the demo site taken from it, beside reading the JSON alone and beside a cold load.

python tests/benchmarks/loading_cache.py [RULES-FOLDER] [SITE]
"""

from __future__ import annotations

import json
import statistics
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from typing import TYPE_CHECKING

from diagnose.knowledge.library import demo_site, load, shipped_rules

if TYPE_CHECKING:
    from collections.abc import Callable

ROUNDS = 15


def median(what: Callable[[], object], rounds: int = ROUNDS) -> float:
    """Give the median time in seconds."""
    taken = []
    for _ in range(rounds):
        start = time.perf_counter()
        what()
        taken.append(time.perf_counter() - start)
    return statistics.median(taken)


def main(rules: str = "", site: str = "") -> None:
    """Measure and print."""
    rules_folder, site_folder = Path(rules or shipped_rules()), Path(site or demo_site())
    with tempfile.TemporaryDirectory() as folder:
        cache = Path(folder)
        first = load(rules=rules_folder, site=site_folder, cache=cache)
        if first.problems:
            raise SystemExit(f"not clean, so never kept: {first.problems[0].line()}")
        (kept,) = cache.iterdir()
        written = kept.read_bytes()
        plain = median(lambda: json.loads(written[32:]))
        from diagnose.knowledge.compiled import decode

        decoded = median(lambda: decode(written))
        warm = median(lambda: load(rules=rules_folder, site=site_folder, cache=cache))
        cold = median(lambda: load(rules=rules_folder, site=site_folder), 3)
    knowledge = first.knowledge
    links = sum(len(rule.links) for rule in knowledge.rules.values())
    print(
        f"{len(knowledge.findings)} findings, {len(knowledge.causes)} causes, {len(knowledge.rules)} rules, "
        f"{links} links, {len(knowledge.site.machines)} machines; {len(written) / 1e3:.0f} kB kept"
    )
    print(f"json.loads alone         {plain * 1e3:7.1f} ms")
    print(f"decoded from the cache   {decoded * 1e3:7.1f} ms   {decoded / plain:5.2f} x json.loads")
    print(f"warm load, files hashed  {warm * 1e3:7.1f} ms")
    print(f"cold load                {cold * 1e3:7.1f} ms   {cold / warm:5.1f} x warm")


if __name__ == "__main__":
    main(*sys.argv[1:])

"""The readers of what people and other programs write, each as a function of bytes that must end in words.

A reader may refuse with DiagnoseError; any other exception is a crash.
"""

from __future__ import annotations

import io
import tempfile
from contextlib import suppress
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from diagnose.calculations.laboratory import read_report
from diagnose.consultation.rounds import screen
from diagnose.consultation.understand import understand
from diagnose.journal.exporting import json_lines, take_in
from diagnose.journal.store import open_journal
from diagnose.knowledge.build import answers_from, cases_from
from diagnose.knowledge.characters import decoded
from diagnose.knowledge.compiled import decode, encode
from diagnose.knowledge.library import demo_site, load, load_texts
from diagnose.planning.fixes import fixed
from diagnose.planning.lint import lint
from diagnose.planning.rule_base import RuleBase
from diagnose.planning.tables import as_csv, edits, from_csv, rows, with_edits
from diagnose.planning.told import as_sarif, as_text
from diagnose.values.problem import DiagnoseError
from tests.planning.page_base import MACHINE, RULES, SITE
from tests.planning.samples import CASES

if TYPE_CHECKING:
    from collections.abc import Callable

__all__ = ["TARGETS", "Target", "put"]

ROOT = Path(__file__).resolve().parents[2]


class Target(NamedTuple):
    """One reader: what it does with bytes, and well-formed samples to spoil."""

    read: Callable[[bytes], None]
    samples: Callable[[], list[bytes]]


def put(target: str, data: bytes) -> None:
    """Put bytes to a reader; being refused in words is well."""
    with suppress(DiagnoseError):
        TARGETS[target].read(data)


@cache
def _small():
    return load_texts({"rules/base.yaml": RULES}, {"site.yaml": SITE, "machines/P-1.yaml": MACHINE})[0]


@cache
def _shipped():
    return load(site=demo_site()).knowledge


def _loaded(rules: dict[str, str], site: dict[str, str]) -> None:
    """Load, lint, tell in every form and mend."""
    knowledge, problems = load_texts(rules, site)
    found = [*problems, *lint(RuleBase(knowledge))]
    assert all(one.place.line >= 1 and one.place.column >= 1 and one.says for one in found)
    as_sarif(found, "0")
    list(as_text(found, rules | site))
    fixed(found, rules | site)


def _rules(data: bytes) -> None:
    text = decoded(data, "rules/base.yaml", [])
    if text is not None:
        _loaded({"rules/base.yaml": text}, {})


def _overlay(data: bytes) -> None:
    text = decoded(data, "rules/own.yaml", [])
    if text is not None:
        site = {"site.yaml": SITE, "machines/P-1.yaml": MACHINE, "rules/own.yaml": text}
        _loaded({"rules/base.yaml": RULES}, site)


def _machine(data: bytes) -> None:
    text = decoded(data, "machines/P-1.yaml", [])
    if text is not None:
        _loaded({"rules/base.yaml": RULES}, {"site.yaml": SITE, "machines/P-1.yaml": text})


def _cases(data: bytes) -> None:
    text = decoded(data, "cases.yaml", [])
    if text is not None:
        for knowledge in (_small(), _shipped()):
            cases_from({"cases.yaml": text}, knowledge)


def _answers(data: bytes) -> None:
    text = decoded(data, "answers.yaml", [])
    if text is not None:
        answers_from(text, "answers.yaml")


def _typed(data: bytes) -> None:
    findings = _shipped().findings
    text = data.decode("utf-8", "replace")
    for name in (
        "exhaust-pressure",
        "speed",
        "bearing-temperature-drive-end",
        "vibration-velocity",
        "bearing-oil-look",
    ):
        finding = findings[name]
        words = findings[finding.judged_as] if finding.reading and finding.judged_as else None
        with suppress(DiagnoseError):
            understand(text, finding, words)


def _rounds(data: bytes) -> None:
    screen(io.StringIO(data.decode("utf-8-sig", "replace"), newline=""), _shipped())


def _laboratory(data: bytes) -> None:
    read_report(io.StringIO(data.decode("utf-8-sig", "replace"), newline=""))


def _journal(data: bytes) -> None:
    with tempfile.TemporaryDirectory() as folder:
        journal = open_journal(Path(folder) / "journal.sqlite")
        try:
            take_in(journal, io.StringIO(data.decode("utf-8", "replace")))
            list(json_lines(journal))
        finally:
            journal.close()


def _table(data: bytes) -> None:
    text = decoded(data, "table.csv", [])
    if text is not None:
        cells, _ = from_csv(text)
        with_edits(RULES, edits(cells, _small())[0])


def _cache(data: bytes) -> None:
    decode(data)


def _files(*patterns: str) -> list[bytes]:
    return [path.read_bytes() for pattern in patterns for path in sorted(ROOT.glob(pattern))]


TARGETS = {
    "rules": Target(_rules, lambda: [RULES.encode(), *_files("rules/noise.yaml", "rules/start-up.yaml")]),
    "overlay": Target(
        _overlay, lambda: [RULES[:900].encode(), b"switch-off: [milky-oil]\n", *_files("rules/features.yaml")]
    ),
    "machine": Target(_machine, lambda: [MACHINE.encode(), *_files("cases/demo-site/machines/BFP-2.yaml")]),
    "cases": Target(_cases, lambda: [CASES.encode(), *_files("cases/noise.yaml", "cases/shared.yaml")]),
    "answers": Target(
        _answers,
        lambda: [
            b"machine: BFP-2\nphase: loaded\nreported: {a: 2 bar}\nanswers:\n  b: can't tell\nothers: {P: {a: '1'}}\n"
        ],
    ),
    "typed": Target(
        _typed,
        lambda: [
            b"165 psig",
            b"11.4 bar",
            b"180F",
            b"not sure milky",
            b"0.3 in/s",
            b"3550 rpm",
            b"45 um",
            b"-0.2 barg",
            b"2,9",
        ],
    ),
    "rounds": Target(
        _rounds,
        lambda: [b"\n".join(one.split(b"\n")[:40]) for one in _files("cases/demo-site/rounds/*.csv")],
    ),
    "laboratory": Target(_laboratory, lambda: _files("cases/demo-site/rounds/oil-report-BFP-2.csv")),
    "journal": Target(
        _journal,
        lambda: [
            (
                b'{"run": "a", "kind": "consultation", "at": "2026-01-01T00:00:00Z", "machine": "P-1", "rules": "r", '
                b'"body": {"kind": "Started", "machine": "P-1", "phase": "loaded", "revision": "r"}, "program": "1"}\n'
                b'{"revision": "r", "at": "2026-01-01", "texts": {"rules": {"/a.yaml": "x"}, "site": {}}}\n'
            )
        ],
    ),
    "table": Target(_table, lambda: [as_csv(list(rows(_small()))).encode()]),
    "cache": Target(_cache, lambda: [encode(_small())]),
}
"""Every reader that is fuzzed, by name."""

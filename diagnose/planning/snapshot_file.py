"""The rows of a snapshot as CSV, one a line, out and back."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING

from diagnose.planning.probes import Probe
from diagnose.planning.snapshot import Row, Seen, percent

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

__all__ = ["as_csv", "from_csv"]

_COLUMNS = ("rule", "why", "machine", "phase", "said", "others", "cautions", "conditions", "actions", "causes")


def as_csv(rows: Iterable[Row]) -> str:
    """Write the rows as CSV with a heading, one a line."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(_COLUMNS)
    for probe, found in rows:
        said = "; ".join(f"{name}={_text(value)}" for name, value in probe.said)
        others = "; ".join(f"{machine}:{name}={_text(value)}" for machine, name, value in probe.others)
        causes = "; ".join(f"{name} {percent(share)}" for name, share in found.causes.items())
        shown = ["; ".join(some) for some in (found.cautions, found.conditions, found.actions)]
        writer.writerow([probe.rule, probe.why, probe.machine, probe.phase, said, others, *shown, causes])
    return out.getvalue()


def from_csv(text: str) -> list[Row]:
    """Read what ``as_csv`` wrote. Raises ValueError, with the line, for what it did not write."""
    reader = csv.DictReader(io.StringIO(text))
    rows = []
    for line in reader:
        try:
            rows.append(_row({name: line[name] or "" for name in _COLUMNS}))
        except (KeyError, ValueError) as error:
            raise ValueError(f"line {reader.line_num}") from error
    return rows


def _row(line: Mapping[str, str]) -> Row:
    said = tuple((name, _value(value)) for name, value in (one.split("=", 1) for one in _listed(line["said"])))
    others = []
    for one in _listed(line["others"]):
        name, value = one.split("=", 1)
        machine, finding = name.split(":", 1)
        others.append((machine, finding, _value(value)))
    causes = {
        name: float(share.removesuffix("%")) / 100
        for name, share in (one.split(" ") for one in _listed(line["causes"]))
    }
    probe = Probe(line["rule"], line["why"], line["machine"], line["phase"], said, tuple(others))
    listed = [tuple(_listed(line[one])) for one in ("cautions", "conditions", "actions")]
    return Row(probe, Seen(listed[0], listed[1], listed[2], causes))


def _listed(text: str) -> list[str]:
    return text.split("; ") if text else []


def _text(value: str | float) -> str:
    return value if isinstance(value, str) else f"{value:.6g}"


def _value(text: str) -> str | float:
    try:
        return float(text)
    except ValueError:
        return text

"""Accepted proposals written as a site's overlay: the entries they touch, copied whole, with the learnt numbers."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from diagnose.knowledge import nodes
from diagnose.values.problem import DiagnoseError, Place

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from diagnose.journal.learning import Proposal
    from diagnose.knowledge.model import Knowledge
    from diagnose.values.problem import Problem

__all__ = ["FILE", "overlay", "own_entries"]

FILE = "learnt.yaml"
_NOWHERE = Place("", 0, 0)
_SITE = "site"


def own_entries(proposed: Iterable[Proposal]) -> tuple[Proposal, ...]:
    """Return the proposals that touch the site's own entries, which an overlay cannot replace: to be changed there."""
    return tuple(one for one in proposed if one.place.file.startswith(f"{_SITE}/"))


def overlay(proposed: Iterable[Proposal], knowledge: Knowledge, texts: Mapping[str, str], by: str, at: str) -> str:
    """Return the overlay as YAML. ``texts`` holds the shipped files by name, as ``/bearings.yaml``.

    Entries of the site's own are left out (see ``own_entries``).
    """
    wanted = [one for one in proposed if not one.place.file.startswith(f"{_SITE}/")]
    causes = {one.cause: one for one in wanted if not one.rule}
    rules: dict[str, list[Proposal]] = {}
    for one in wanted:
        if one.rule:
            rules.setdefault(one.rule, []).append(one)
    source = _Source(texts)
    lines = [
        "# Frequencies learnt from this site's closed jobs. 'diagnose journal learn' writes this file anew each time;",
        "# to go back to the shipped frequencies, delete it.",
        f"# Accepted by {json.dumps(by)} on {at}.",
        *_scales(wanted),
    ]
    if causes:
        lines.append("causes:")
        for name, one in causes.items():
            lines += _noted(one, "  ")
            lines += [f"  {name}:", *_block(source.cause(name, knowledge, one), "    ")]
    if rules:
        lines.append("rules:")
        for name, ones in rules.items():
            for one in ones:
                lines += _noted(one, "  ")
            body = _block(source.rule(name, knowledge, ones, by, at), "    ")
            lines += [f"  - {body[0].lstrip()}", *body[1:]]
    return "\n".join(lines) + "\n"


def _scales(proposed: Iterable[Proposal]) -> Iterator[str]:
    words: dict[str, dict[str, float]] = {"how-common": {}, "frequency": {}}
    for one in proposed:
        words["frequency" if one.rule else "how-common"][_word(one)] = one.number
    if any(words.values()):
        yield "scales:"
    for scale, numbers in words.items():
        if numbers:
            yield f"  {scale}:"
            yield from (f"    {json.dumps(word)}: {_number(number)}" for word, number in sorted(numbers.items()))


def _number(number: float) -> str:
    return f"{number:.4g}"


def _word(proposal: Proposal) -> str:
    return f"learnt {_number(proposal.number)}"


def _noted(one: Proposal, indent: str) -> Iterator[str]:
    low, high = one.interval
    what = f"{one.cause} shows {one.finding} {one.value}" if one.rule else f"{one.cause} among closed jobs"
    yield (
        f"{indent}# {what}: was {one.word}, {one.old:.1%}; seen {one.seen} of {one.count}; now {one.new:.1%} "
        f"(95 % interval {low:.1%} to {high:.1%})."
    )


class _Source:
    """The shipped files as nodes, each read once."""

    def __init__(self, texts: Mapping[str, str]) -> None:
        self._texts = texts
        self._read: dict[str, nodes.Node | None] = {}

    def cause(self, name: str, knowledge: Knowledge, proposal: Proposal) -> nodes.Mapping:
        """Return the entry of a cause with how common it is changed."""
        cause = knowledge.causes[name]
        section = self._section(cause.place.file, "causes")
        entry = section.entries[name] if isinstance(section, nodes.Mapping) else None
        return _with(_mapping(entry), {"how-common": _text(_word(proposal)), "subsystem": _text(cause.subsystem)})

    def rule(self, name: str, knowledge: Knowledge, proposed: Iterable[Proposal], by: str, at: str) -> nodes.Mapping:
        """Return the entry of a rule with its frequencies changed, each with the record it rests on as its source."""
        rule = knowledge.rules[name]
        section = self._section(rule.place.file, "rules")
        items = section.items if isinstance(section, nodes.Listing) else []
        entry = next(one for one in items if isinstance(one, nodes.Mapping) and _is_rule(one, name))
        links = {
            one.cause: _with(
                nodes.Mapping({}, {}, _NOWHERE),
                {
                    "seen": _text(_word(one)),
                    "source": _text(f"Records of this site, {one.count} closed jobs, accepted by {by} on {at[:10]}"),
                },
            )
            for one in proposed
        }
        return _with(
            entry, {"causes": _with(_mapping(entry.entries["causes"]), links), "subsystem": _text(rule.subsystem)}
        )

    def _section(self, file: str, section: str) -> nodes.Node | None:
        if file not in self._read:
            problems: list[Problem] = []
            self._read[file] = nodes.read(self._texts[file.removeprefix("rules")], file, problems)
        return _mapping(self._read[file]).entries[section]


def _is_rule(entry: nodes.Mapping, name: str) -> bool:
    named = entry.entries.get("rule")
    return isinstance(named, nodes.Text) and named.text == name


def _mapping(node: nodes.Node | None) -> nodes.Mapping:
    if not isinstance(node, nodes.Mapping):
        raise DiagnoseError("The shipped rules have changed while they were being read.", mend="Try again.")
    return node


def _text(words: str) -> nodes.Text:
    return nodes.Text(words, _NOWHERE)


def _with(mapping: nodes.Mapping, changed: Mapping[str, nodes.Node]) -> nodes.Mapping:
    return nodes.Mapping({**mapping.entries, **changed}, mapping.keys, mapping.place)


def _block(mapping: nodes.Mapping, indent: str) -> list[str]:
    """Return a mapping as lines of YAML: its keys in block style, what is inside in flow style, texts in quotes."""
    return [f"{indent}{_key(key)}: {_flow(node)}" for key, node in mapping.entries.items() if node is not None]


def _flow(node: nodes.Node | None) -> str:
    if isinstance(node, nodes.Mapping):
        return f"{{{', '.join(f'{_key(key)}: {_flow(inner)}' for key, inner in node.entries.items())}}}"
    if isinstance(node, nodes.Listing):
        return f"[{', '.join(map(_flow, node.items))}]"
    return json.dumps(node.text if node else "", ensure_ascii=False)


def _key(key: str) -> str:
    return key if key.replace("-", "").isalnum() and key.isascii() else json.dumps(key, ensure_ascii=False)

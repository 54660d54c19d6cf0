"""A new finding, cause, rule, machine or case: what is asked for it, and the YAML that the answers give."""

from __future__ import annotations

import difflib
import re
from typing import TYPE_CHECKING, NamedTuple

from diagnose.knowledge.model import PHASES, SEVERITIES
from diagnose.planning.conditions import worded

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

    from diagnose.knowledge.model import Knowledge, Rule

__all__ = ["KINDS", "SECTIONS", "Ask", "id_from", "neighbours", "written"]

_PLAIN = re.compile(r"[A-Za-z0-9][A-Za-z0-9 .,;()/+%$=_'-]*[A-Za-z0-9.)%]|[A-Za-z0-9]")


class Ask(NamedTuple):
    """One thing to ask: its key, the question, an example, and the words that complete it.

    ``shape`` says how the answer is written: text, list (items between commas) or pairs (key: value, between commas).
    """

    key: str
    ask: str
    example: str
    shape: str = "text"
    needed: bool = True
    words: Callable[[Knowledge], Iterable[str]] = lambda _: ()


_SOURCE = Ask(
    "source", "Where is it known from?", "common practice", words=lambda known: ["common practice", *known.sources]
)
_PHASES = Ask("phases", "In which phases? (empty: all)", "run-up, loaded", "list", needed=False, words=lambda _: PHASES)
_NEEDS = Ask(
    "needs",
    "Which features must it have? (empty: any)",
    "forced-lubrication",
    "list",
    needed=False,
    words=lambda known: known.features,
)

KINDS: Mapping[str, tuple[Ask, ...]] = {
    "finding": (
        Ask("ask", "The question to the operator", "What does the bearing oil look like?"),
        Ask("how", "How does one look safely?", "Draw a little from the drain into a clean glass."),
        Ask("values", "What may be seen? One value is normal.", "clear: normal, milky: abnormal", "pairs"),
        Ask("effort", "How long does it take?", "3 min", needed=False),
        Ask("hazard", "What must one mind there?", "hot surfaces", needed=False),
        _PHASES,
        _NEEDS,
        Ask("also-called", "What do operators call it?", "white oil, emulsified oil", "list", needed=False),
        _SOURCE,
    ),
    "cause": (
        Ask("title", "What is wrong, in a short line?", "Cooling jacket leaks into the oil"),
        Ask("how-common", "How common is it?", "seldom", words=lambda known: known.scales.how_common),
        Ask("severity", "How grave is it?", "serious", words=lambda _: SEVERITIES),
        Ask("if-left", "What happens if nothing is done?", "The bearing rusts and is wiped."),
        Ask("put-right", "What does maintenance do about it?", "Test the jacket under pressure.", "action"),
        Ask("settled-by", "Which check settles it?", "Pressure test of the jacket.", needed=False),
        _PHASES,
        _NEEDS,
        _SOURCE,
    ),
    "rule": (
        Ask("symptom", "What is seen?", "bearing-oil-look: milky", "pairs", words=lambda known: known.findings),
        Ask(
            "causes",
            "Which causes show it, and how often?",
            "cooling-jacket-leak: usually",
            "pairs",
            needed=False,
            words=lambda known: known.causes,
        ),
        Ask(
            "otherwise",
            "How often is it seen with none of them?",
            "rarely",
            needed=False,
            words=lambda known: known.scales.frequency,
        ),
        Ask(
            "caution", "Which caution does it raise?", "water-in-oil", needed=False, words=lambda known: known.cautions
        ),
        Ask(
            "actions",
            "What does the operator do about it?",
            "Look at the oil level more often.",
            "operator",
            needed=False,
        ),
        _PHASES,
        _NEEDS,
        Ask("reason", "Why is this rule written?", "Seen twice in spring", needed=False),
        Ask("author", "Who writes it?", "planner of the boiler house", needed=False),
        _SOURCE,
    ),
    "machine": (
        Ask("title", "What is it called?", "Boiler feed pump turbine 2", needed=False),
        Ask("drives", "What does it drive?", "kind: centrifugal pump, service: boiler feed", "pairs"),
        Ask(
            "features",
            "What is it fitted with?",
            "ring-oiled-bearings, relief-valve",
            "list",
            words=lambda known: known.features,
        ),
        Ask("governor-class", "Which governor class?", "D", needed=False, words=lambda _: ("A", "B", "C", "D")),
        Ask(
            "rated",
            "What does the nameplate say?",
            "speed: 3560 rpm, exhaust-pressure: 2.0 bar gauge",
            "pairs",
            needed=False,
        ),
        Ask("limits", "Which limits has it?", "exhaust-pressure-max: 2.6 bar gauge", "pairs", needed=False),
        Ask("shares", "Which headers does it share?", "steam: north header, exhaust: LP header", "pairs", needed=False),
    ),
    "case": (
        Ask("title", "What happened, in a short line?", "Oil turned white overnight"),
        Ask("machine", "On which machine?", "BFP-2", words=lambda known: known.site.machines),
        Ask("phase", "In which phase?", "loaded", words=lambda _: PHASES),
        Ask(
            "reported",
            "What was reported first?",
            "bearing-oil-look: milky",
            "pairs",
            words=lambda known: known.findings,
        ),
        Ask(
            "answers",
            "What was found on looking?",
            "oiler-level: rising",
            "pairs",
            needed=False,
            words=lambda known: known.findings,
        ),
        Ask("true-causes", "What was it in the end?", "cooling-jacket-leak", "list", words=lambda known: known.causes),
        Ask(
            "must-caution",
            "Which cautions must be raised?",
            "water-in-oil",
            "list",
            needed=False,
            words=lambda known: known.cautions,
        ),
        Ask("teaches", "What does it teach?", "A rising oiler level points at water.", needed=False),
        _SOURCE,
    ),
}
SECTIONS = {"finding": "findings", "cause": "causes", "rule": "rules"}  # the kinds that stand in a file of rules
_HEADS = {"finding": "  {}:", "cause": "  {}:", "rule": "  - rule: {}", "machine": "machine: {}", "case": "case: {}"}
_INDENT = {"finding": 4, "cause": 4, "rule": 4, "machine": 0, "case": 0}


def id_from(words: str, known: Iterable[str] = ()) -> str:
    """Make an id of a title or question: its first words, joined by hyphens, numbered if it is taken."""
    plain = re.sub(r"[^a-z0-9]+", "-", words.lower()).strip("-")
    name = "-".join(plain.split("-")[:6]) or "new"
    taken = set(known)
    return next(
        one for number in range(1, len(taken) + 2) if (one := name if number == 1 else f"{name}-{number}") not in taken
    )


def _what_it_takes(rule: Rule) -> str:
    return ": ".join(rule.symptom) if rule.symptom else "; ".join(map(worded, rule.when))


def neighbours(kind: str, words: str, knowledge: Knowledge, most: int = 5) -> list[tuple[str, str]]:
    """Return those already there that sound most alike, as (id, title), best first."""
    things = {
        "finding": {name: f"{one.ask} {' '.join(one.also_called)}" for name, one in knowledge.findings.items()},
        "cause": {name: one.title for name, one in knowledge.causes.items()},
        "rule": {name: _what_it_takes(one) for name, one in knowledge.rules.items()},
    }.get(kind, {})
    wanted = set(re.findall(r"[a-z0-9]{3,}", words.lower()))

    def likeness(name: str) -> float:
        said = set(re.findall(r"[a-z0-9]{3,}", f"{name} {things[name]}".lower()))
        shared = sum(bool(difflib.get_close_matches(one, said, n=1, cutoff=0.8)) for one in wanted)
        return shared / max(1, len(wanted))

    scores = {name: likeness(name) for name in things}
    best = sorted((name for name in scores if scores[name] >= 1 / 3), key=lambda name: (-scores[name], name))
    titles = {
        **{name: one.ask for name, one in knowledge.findings.items()},
        **{name: one.title for name, one in knowledge.causes.items()},
    }
    return [(name, titles.get(name, things[name]) if kind != "rule" else things[name]) for name in best[:most]]


def written(kind: str, name: str, answers: Mapping[str, str]) -> str:
    """Return the YAML of a new entry; keys without an answer are left out, and a new rule is a draft."""
    blanks = " " * _INDENT[kind]
    lines = [_HEADS[kind].format(name)]
    if kind == "rule":
        lines.append(f"{blanks}status: draft")
    for ask in KINDS[kind]:
        answer = " ".join(answers.get(ask.key, "").split())
        if answer:
            lines.append(f"{blanks}{ask.key}: {_value(ask.shape, answer)}")
    return "\n".join(lines) + "\n"


def _value(shape: str, answer: str) -> str:
    match shape:
        case "list":
            return f"[{', '.join(_scalar(one, flow=True) for one in _split(answer))}]"
        case "pairs":
            return f"{{{', '.join(_pair(one) for one in _split(answer))}}}"
        case "action":
            return f"[{{who: maintenance, do: {_scalar(answer, flow=True)}}}]"
        case "operator":
            return f"[{{who: operator, do: {_scalar(answer, flow=True)}}}]"
    return _scalar(answer, flow=False)


def _split(answer: str) -> list[str]:
    return [one.strip() for one in answer.strip("[]{} ").split(",") if one.strip()]


def _pair(text: str) -> str:
    key, colon, value = text.partition(":")
    return (
        f"{_scalar(key.strip(), flow=True)}: {_scalar(value.strip(), flow=True)}" if colon else _scalar(text, flow=True)
    )


def _scalar(text: str, *, flow: bool) -> str:
    """Write a text so that it reads back as itself: plain where that is safe, else between double quotes."""
    plain = _PLAIN.fullmatch(text) and " #" not in text and not (flow and "," in text)
    question = text.endswith("?") and _PLAIN.fullmatch(text[:-1]) and not flow
    if plain or question:
        return text
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'

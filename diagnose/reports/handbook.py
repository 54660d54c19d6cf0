"""The whole rule base as one page: by subsystem, symptom and cause, to search offline and to print for the wall."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from diagnose.planning.rule_base import RuleBase
from diagnose.reports.harmless import harmless

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.knowledge.model import Knowledge, Rule

__all__ = ["handbook"]

_FOLDER = Path(__file__).parent
_ROW, _LEFT, _RIGHT, _WIDTH = 22, 300, 560, 860  # of the drawn map, in its own units


class Seen(NamedTuple):
    """A symptom: what it is called, its value, when it counts, the causes by their word, the cautions, the actions."""

    id: str
    finding: str
    value: str
    when: str
    causes: tuple[tuple[str, tuple[tuple[str, str], ...]], ...]  # word, (id, title) of each; the likeliest first
    cautions: tuple[tuple[str, str], ...]  # rank, say
    actions: tuple[str, ...]
    draft: bool


class Line(NamedTuple):
    """A line of the map, from a symptom to a cause; ``wide`` by how often the cause shows it."""

    top: float
    bottom: float
    wide: float


class Room(NamedTuple):
    """One subsystem: its symptoms, its causes, and the map between them."""

    id: str
    title: str
    symptoms: tuple[Seen, ...]
    causes: tuple[Any, ...]
    left: tuple[tuple[str, float], ...]
    right: tuple[tuple[str, float], ...]
    lines: tuple[Line, ...]
    height: float


def handbook(knowledge: Knowledge, title: str) -> str:
    """Return the page as text, to be written as UTF-8: nothing fetched, everything escaped."""
    import jinja2  # 80 ms, and only a page needs it
    from markupsafe import Markup

    environment = jinja2.Environment(
        loader=jinja2.FileSystemLoader(_FOLDER), autoescape=True, undefined=jinja2.StrictUndefined, finalize=_shown
    )
    style = Markup((_FOLDER / "page.css").read_text(encoding="utf-8").strip())  # noqa: S704  our own file
    base = RuleBase(knowledge)
    names = dict.fromkeys(rule.subsystem for rule in knowledge.rules.values() if rule.symptom and rule.links)
    rooms = [_room(name, base) for name in names]
    return environment.get_template("handbook.html.j2").render(
        title=title,
        style=style,
        rooms=rooms,
        knowledge=knowledge,
        signs=base.signs,
        right=_RIGHT,
        left=_LEFT,
        width=_WIDTH,
    )


def _shown(value: Any) -> Any:  # noqa: ANN401  whatever a template prints
    return harmless(value) if type(value) is str else value


def _room(name: str, base: RuleBase) -> Room:
    knowledge = base.knowledge
    rules = [rule for rule in knowledge.rules.values() if rule.subsystem == name and rule.symptom and rule.links]
    causes = [cause for cause in knowledge.causes.values() if cause.subsystem == name]
    named = list(dict.fromkeys(link.cause for rule in rules for link in rule.links))
    left = {rule.id: _ROW * (at + 1.0) for at, rule in enumerate(rules)}
    right = {cause: _ROW * (at + 1.0) for at, cause in enumerate(named)}
    lines = [Line(left[rule.id], right[link.cause], 4 * link.probability) for rule in rules for link in rule.links]
    return Room(
        id="-".join(name.lower().split()),
        title=name[:1].upper() + name[1:].replace("-", " "),
        symptoms=tuple(_seen(rule, knowledge) for rule in rules),
        causes=tuple(causes),
        left=tuple((": ".join(rule.symptom or ()), left[rule.id]) for rule in rules),
        right=tuple((knowledge.causes[cause].title, at) for cause, at in right.items()),
        lines=tuple(lines),
        height=_ROW * (max(len(rules), len(named)) + 1.0),
    )


def _seen(rule: Rule, knowledge: Knowledge) -> Seen:
    finding, value = rule.symptom or ("", "")
    by_word: dict[str, list[tuple[str, str]]] = {}
    for link in sorted(rule.links, key=lambda link: -link.probability):
        by_word.setdefault(link.word, []).append((link.cause, knowledge.causes[link.cause].title))
    return Seen(
        id=rule.id,
        finding=knowledge.findings[finding].ask,
        value=value,
        when="; ".join(_when(rule, knowledge)),
        causes=tuple((word, tuple(causes)) for word, causes in by_word.items()),
        cautions=tuple((knowledge.cautions[one].rank, knowledge.cautions[one].say) for one in rule.cautions),
        actions=tuple(f"{one.who}: {one.do}" for one in rule.actions),
        draft=rule.draft,
    )


def _when(rule: Rule, knowledge: Knowledge) -> Iterator[str]:
    from diagnose.knowledge.model import PHASES
    from diagnose.planning.conditions import worded

    if not rule.phases.issuperset(PHASES):
        yield ", ".join(phase for phase in PHASES if phase in rule.phases)
    for word, features in (("with", rule.needs), ("without", rule.lacks)):
        known = (knowledge.features.get(one) for one in sorted(features))
        yield from (f"{word}: {one.title}" for one in known if one)
    yield from (worded(condition) for condition in rule.when)

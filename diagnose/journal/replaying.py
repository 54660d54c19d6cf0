"""A kept consultation lived through again: under the very rules it was held under, or saying what has changed."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import TYPE_CHECKING, Any

from diagnose.consultation.events import Started, event_from
from diagnose.consultation.session import Session
from diagnose.journal.conclusions import conclusion, latest_conclusion
from diagnose.journal.revisions import kept_rules
from diagnose.values.names import did_you_mean
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from diagnose.consultation.events import Event
    from diagnose.journal.store import Journal, Kept
    from diagnose.knowledge.model import Knowledge, Machine

__all__ = ["Held", "Replay", "held", "replay", "rule_changes"]

_NOT_CONTENT = ("place", "order")  # where an item stands does not change what it means
_TABLES = ("features", "findings", "causes", "rules", "cautions")


@dataclass(frozen=True, slots=True)
class Held:
    """A kept consultation: its events with the time of each (UTC, ISO 8601), in order."""

    run: str
    machine: str
    rules: str  # revision under which the latest event was kept
    program: str
    moments: tuple[tuple[str, Event], ...]

    @property
    def events(self) -> tuple[Event, ...]:
        """The events alone."""
        return tuple(event for _, event in self.moments)


@dataclass(frozen=True, slots=True)
class Replay:
    """A consultation with the rules and machine it was lived through with again.

    ``exact``: these are the rules of its revision. ``changes`` tells in lines what is different now from what was
    kept; empty when the replay came to the very same ending, or when no ending was kept to compare with.
    """

    held: Held
    knowledge: Knowledge
    machine: Machine
    session: Session
    exact: bool
    compared: bool
    changes: tuple[str, ...]


def held(journal: Journal, run: str) -> Held:
    """Return a kept consultation; raises DiagnoseError when there is none of that id."""
    kept = journal.events(run, "consultation")
    if not kept:
        mend = did_you_mean(run, journal.runs()) or "'diagnose journal list' shows them."
        raise DiagnoseError(f"There is no consultation '{run}'.", where=str(journal.path), mend=mend)
    moments = tuple((one.at, _event(one)) for one in kept)
    if not isinstance(moments[0][1], Started):
        raise DiagnoseError(f"Consultation '{run}' has lost its beginning.", mend="Run 'diagnose journal check'.")
    return Held(run, kept[0].machine, kept[-1].rules, kept[-1].program, moments)


def _event(kept: Kept) -> Event:
    try:
        return event_from(dict(kept.body))
    except (KeyError, TypeError) as error:
        says = f"Event {kept.number} of '{kept.run}' is of a kind this version does not know."
        raise DiagnoseError(says, mend="Use the version of the program that wrote it, or a newer one.") from error


def replay(journal: Journal, consultation: Held, today: Knowledge | None) -> Replay:
    """Live through a consultation again.

    Under the rules of its own revision where today's are those or their texts were kept; else under today's, and
    ``changes`` says so. Raises DiagnoseError when neither serves.
    """
    knowledge, exact = _rules_of(journal, consultation, today)
    machine = knowledge.site.machines.get(consultation.machine)
    if machine is None:
        says = f"The machine '{consultation.machine}' of '{consultation.run}' is no longer in the site."
        raise DiagnoseError(says, mend="Put its file back into machines/ to read old consultations.")
    _check_names(consultation, knowledge)
    session = Session(knowledge, machine, happened=consultation.events)
    session.come_back()
    before = latest_conclusion(journal, consultation.run)
    changes = list(_different(before, conclusion(session.view(), len(consultation.moments)))) if before else []
    if changes and exact and consultation.program != _program():
        changes.append(f"Kept by version {consultation.program} of the program; this is {_program()}.")
    if not exact:
        lacking = "are kept, but this version cannot load them" if _are_kept(journal, consultation) else "were not kept"
        changes.insert(0, f"Rules of revision {consultation.rules} {lacking}; replayed under {knowledge.revision}.")
    return Replay(consultation, knowledge, machine, session, exact, before is not None, tuple(changes))


def _program() -> str:
    from diagnose import __version__

    return __version__


def _rules_of(journal: Journal, consultation: Held, today: Knowledge | None) -> tuple[Knowledge, bool]:
    if today is not None and today.revision == consultation.rules:
        return today, True
    from diagnose.knowledge.library import load_kept

    texts = kept_rules(journal, consultation.rules)
    if texts is not None:
        loaded = load_kept(texts)
        if not loaded.problems and loaded.knowledge.revision == consultation.rules:
            return loaded.knowledge, True
    if today is None:
        raise DiagnoseError(f"The rules of revision {consultation.rules} were not kept, and today's cannot be used.")
    return today, False


def _are_kept(journal: Journal, consultation: Held) -> bool:
    return kept_rules(journal, consultation.rules) is not None


def _check_names(consultation: Held, knowledge: Knowledge) -> None:
    """Raise DiagnoseError for the first answer whose finding is no longer in the rules."""
    for event in consultation.events:
        name = getattr(event, "finding", "")
        if name and name not in knowledge.findings:
            says = f"'{consultation.run}' cannot be replayed: finding '{name}' is no longer in the rules."
            raise DiagnoseError(says, mend="'diagnose journal export' still gives every event of it.")


def _different(before: Mapping[str, Any], now: Mapping[str, Any]) -> Iterator[str]:
    """Yield what an ending kept and the same ending reckoned again do not share, to the last bit."""
    if before["events"] != now["events"]:
        return  # it was kept at another moment of the consultation
    for part in ("standing", "cautions", "refer"):
        if before[part] != now[part]:
            yield f"{part.capitalize()} then: {_shown(before[part])}; now: {_shown(now[part])}."
    then, today = dict(map(tuple, before["ranking"])), dict(map(tuple, now["ranking"]))
    for cause in dict.fromkeys((*then, *today)):
        if then.get(cause) != today.get(cause):
            name = cause or "something not covered"
            yield f"Cause {name} then: {_percent(then.get(cause))}; now: {_percent(today.get(cause))}."


def _shown(value: Any) -> str:  # noqa: ANN401 - a text or a list of them
    return value if isinstance(value, str) else ", ".join(value) or "none"


def _percent(share: float | None) -> str:
    return "not shown" if share is None else f"{share:.6%}"


def rule_changes(before: Knowledge, now: Knowledge) -> Iterator[str]:
    """Yield every feature, finding, cause, rule, caution and machine that differs between two revisions."""
    tables = [(name, getattr(before, name), getattr(now, name)) for name in _TABLES]
    for table, old, new in [*tables, ("machines", before.site.machines, now.site.machines)]:
        for name in dict.fromkeys((*old, *new)):
            if name not in new:
                yield f"{table[:-1].capitalize()} {name}: taken out."
            elif name not in old:
                yield f"{table[:-1].capitalize()} {name}: added."
            elif changed := list(_changed_fields(old[name], new[name])):
                yield f"{table[:-1].capitalize()} {name}: {', '.join(changed)} changed."
    if before.scales != now.scales:
        yield "Scales: changed."


def _changed_fields(old: Any, new: Any) -> Iterator[str]:  # noqa: ANN401 - two items of one kind
    for name in _columns(old):
        if name not in _NOT_CONTENT and _content(getattr(old, name)) != _content(getattr(new, name)):
            yield name.replace("_", " ")


def _content(value: Any) -> Any:  # noqa: ANN401 - any part of the model
    """Strip a part of the model of its places."""
    if isinstance(value, tuple) and not hasattr(value, "_fields"):
        return tuple(_content(one) for one in value)
    columns = _columns(value)
    if columns:
        return type(value).__name__, tuple(
            (name, _content(getattr(value, name))) for name in columns if name not in _NOT_CONTENT
        )
    return value


def _columns(value: Any) -> tuple[str, ...]:  # noqa: ANN401 - any part of the model
    names = getattr(value, "_fields", None)
    if names:
        return tuple(names)
    return tuple(column.name for column in fields(value)) if hasattr(value, "__dataclass_fields__") else ()

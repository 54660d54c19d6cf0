"""Lay words to findings: what an operator typed, matched with synonyms and spelling tolerance, best first.

A finding is found by its best phrase (how much of the meaning, by rarity, is shared with what was typed) and by how
much of what was typed its phrases hold together. The value is told by the words of the values themselves.
"""

from __future__ import annotations

from collections import Counter
from math import log
from typing import TYPE_CHECKING, NamedTuple

from diagnose.consultation.trade_words import NORMAL, NOT, meanings, told_by
from diagnose.consultation.wording import plain

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from diagnose.knowledge.model import Finding

__all__ = ["Match", "Phrase", "find", "phrases"]

LEAST_SCORE = 30.0  # of 100; or else
LEAST_HELD = 4.0  # weight of typed words held: about two telling ones, so that long tales find something too
MOST_TYPED = 400  # characters looked at: nobody describes one thing in more
_BY_PHRASE, _BY_FINDING = 0.3, 0.7  # shares of the score; these two and the next tuned on the also-called phrases,
_HINT = 0.5  # what a word of the how-to-look counts beside a word of a phrase  - each left out in turn and searched
_UNKNOWN = 4.5  # weight of a typed word that no phrase holds: near that of the rarest word
_NEAR_SPELLING = 78.0
_TOLD = 0.3  # share of a value's words that must be told
_IN_A_PHRASE, _EVERYWHERE = 0.5, 0.8  # how firmly a word is held that one phrase uses; that four use, so tells no value
_NORMAL_LESS = 0.9  # an operator reports what is not normal: of two values told alike, the abnormal one
_NAMED, _ASKED, _VALUED = 0.97, 0.85, 0.98  # trust in an id, a question, a value beside an operator's own phrase (1)


class Match(NamedTuple):
    """A finding that the words may mean; ``value`` is "" when the words do not tell which."""

    finding: str
    value: str
    words: str
    score: float  # 0 to 100


class Phrase(NamedTuple):
    """Words that stand for a finding, as meanings; with weight 0 they only hint at it."""

    finding: str
    meanings: tuple[str, ...]
    weight: float


def phrases(findings: Mapping[str, Finding]) -> tuple[Phrase, ...]:
    """Return every phrase that stands for a finding an operator may report, with a weight for how telling it is."""
    return tuple(phrase for finding in findings.values() for phrase in _phrases_of(finding, findings))


def _phrases_of(finding: Finding, findings: Mapping[str, Finding]) -> Iterable[Phrase]:
    target = finding.judged_as if finding.reading and finding.judged_as else finding.id
    name = plain(finding.id)
    for phrase in finding.also_called:
        yield Phrase(target, meanings(phrase), 1.0)
    yield Phrase(target, meanings(name), _NAMED)
    if finding.ask:
        yield Phrase(target, meanings(finding.ask), _ASKED)
    yield Phrase(target, meanings(f"{finding.how} {finding.subsystem}"), 0.0)
    for value, normal in findings[target].values.items():
        if not normal and value != "true":
            for alternative in plain(value).split(" or "):
                yield Phrase(target, meanings(f"{name} {alternative}"), _VALUED)


def find(text: str, findings: Mapping[str, Finding], known: Iterable[Phrase], limit: int = 8) -> tuple[Match, ...]:
    """Return the findings that the words most likely mean, best first, each once; none when no word fits any."""
    known = tuple(known)
    holds = _holds(known)
    rarity = _rarity(holds)
    typed = _respelt(meanings(text[:MOST_TYPED]), rarity)
    wanted = {word: rarity.get(word, _UNKNOWN) for word in typed}
    whole = sum(wanted.values())
    held = {
        name: sum(weight * words.get(word, 0.0) for word, weight in wanted.items()) for name, words in holds.items()
    }
    best: dict[str, float] = {}
    for phrase in known:
        if held[phrase.finding]:
            shared = phrase.weight * _shared(wanted, whole, phrase, rarity)
            score = 100 * (_BY_PHRASE * shared + _BY_FINDING * held[phrase.finding] / whole)
            best[phrase.finding] = max(score, best.get(phrase.finding, 0.0))
    ranked = sorted(best.items(), key=lambda item: -item[1])
    return tuple(
        _match(findings[name], score, set(typed), holds[name])
        for name, score in ranked[:limit]
        if score >= LEAST_SCORE or held[name] >= LEAST_HELD
    )


def _holds(known: Iterable[Phrase]) -> dict[str, dict[str, float]]:
    """How firmly each finding holds each meaning, 0 to 1: the more of its phrases use it, the firmer."""
    counts: dict[str, dict[str, float]] = {}
    for phrase in known:
        words = counts.setdefault(phrase.finding, {})
        for word in set(phrase.meanings):
            words[word] = words.get(word, 0.0) + (1.0 if phrase.weight else _HINT)
    return {name: {word: count / (count + 1) for word, count in words.items()} for name, words in counts.items()}


def _rarity(holds: Mapping[str, Mapping[str, float]]) -> dict[str, float]:
    """Weight of each meaning: the fewer findings use it, the more it tells (inverse document frequency)."""
    counts = Counter(word for words in holds.values() for word in words)
    return {word: log(1 + len(holds) / count) for word, count in counts.items()}


def _shared(wanted: Mapping[str, float], whole: float, phrase: Phrase, rarity: Mapping[str, float]) -> float:
    """Share of the meaning that words and phrase have in common (harmonic mean of the shares of each)."""
    words = set(phrase.meanings)
    both = sum(weight for word, weight in wanted.items() if word in words)
    return 2 * both / (whole + sum(rarity[word] for word in words)) if both else 0.0


def _respelt(words: Sequence[str], rarity: Mapping[str, float]) -> list[str]:
    """Replace words that no phrase uses by the nearest that one does, where it is near."""
    unknown = {word for word in words if word not in rarity and len(word) > 2}  # noqa: PLR2004
    if not unknown:
        return list(words)
    from rapidfuzz import fuzz, process  # slow to import: only when a word is not known

    near = {
        word: found[0]
        for word in unknown
        if (found := process.extractOne(word, rarity.keys(), scorer=fuzz.ratio, score_cutoff=_NEAR_SPELLING))
    }
    return [near.get(word, word) for word in words]


def _match(finding: Finding, score: float, typed: set[str], held: Mapping[str, float]) -> Match:
    value = _value_told(finding, typed, held)
    name = plain(finding.id)
    return Match(finding.id, value, f"{name}: {plain(value)}" if value and value != "true" else name, round(score, 1))


def _value_told(finding: Finding, typed: set[str], held: Mapping[str, float]) -> str:
    """Return the abnormal value that the words tell; empty when they only name the finding, or tell a normal value."""
    named = set(meanings(f"{plain(finding.id)} {finding.ask}"))
    abnormal = [value for value, normal in finding.values.items() if not normal]
    in_values = {word for value in abnormal for word in meanings(plain(value))}
    told = _most_told(finding, typed, named | {word for word, firmly in held.items() if firmly >= _EVERYWHERE})
    if told:
        return "" if finding.values[told] else told
    says_more = any(held.get(word, 0.0) >= _IN_A_PHRASE for word in typed - (named - in_values))
    return abnormal[0] if len(abnormal) == 1 and says_more else ""


def _most_told(finding: Finding, words: set[str], named: set[str]) -> str:
    """Return the value whose own words stand out most among these; empty when none does, or two alike."""
    points = {value: _told(value, normal, words, named) for value, normal in finding.values.items()}
    most = max(points.values(), default=0.0)
    best = [value for value, count in points.items() if count == most]
    return best[0] if most >= _TOLD and len(best) == 1 else ""


def _told(value: str, normal: bool, words: set[str], named: set[str]) -> float:  # noqa: FBT001 - as the finding holds it
    """How far the words tell a value, 0 to 1: the best share of one of its alternatives, naming words by half."""
    if normal and NOT in words:
        return 0.0
    if normal and words & set(meanings(" ".join(NORMAL))):
        return 1.0
    shares = [0.0]
    for alternative in plain(value).split(" or "):
        own = set(meanings(alternative))
        if NOT in own and NOT not in words:
            continue
        told = {word for word in own if word in words or told_by().get(word, frozenset()) & words}
        shares.append(sum(0.5 if word in named else 1.0 for word in told) / max(1, len(own)))
    return max(shares) * (_NORMAL_LESS if normal else 1.0)

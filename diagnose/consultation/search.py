"""Lay words to findings: what an operator typed, matched with synonyms and spelling tolerance, best first."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from diagnose.consultation.wording import plain

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from diagnose.knowledge.model import Finding

__all__ = ["Match", "Phrase", "find", "phrases"]

LEAST_SCORE = 45.0
_SMALL = frozenset(
    "a an and are as at be been by can come comes does for from get gets got going gone has have i in into is it its "  # noqa: SIM905
    "just keep keeps like me my now of one or our seems so some than that the their there this to too very was we "
    "what when which will with you your".split()
)


@dataclass(frozen=True, slots=True)
class Match:
    """A finding that the words may mean; ``value`` is "" when the words do not tell which."""

    finding: str
    value: str
    words: str
    score: float  # 0 to 100


@dataclass(frozen=True, slots=True)
class Phrase:
    """Words that stand for a finding, or for one of its values."""

    finding: str
    value: str
    text: str
    weight: float


def phrases(findings: Mapping[str, Finding]) -> tuple[Phrase, ...]:
    """Return every phrase that stands for a finding an operator may report, with a weight for how telling it is."""
    return tuple(phrase for finding in findings.values() for phrase in _phrases_of(finding, findings))


def _phrases_of(finding: Finding, findings: Mapping[str, Finding]) -> Iterable[Phrase]:
    target = finding.judged_as if finding.reading and finding.judged_as else finding.id
    for phrase in finding.also_called:
        yield Phrase(target, "", phrase.lower(), 1.0)
    yield Phrase(target, "", plain(finding.id), 0.97)
    if finding.ask:
        yield Phrase(target, "", _meaning(finding.ask), 0.85)
    for value, normal in findings[target].values.items():
        if not normal and value != "true":
            yield Phrase(target, value, f"{plain(finding.id)} {plain(value)}", 0.98)


def find(text: str, findings: Mapping[str, Finding], known: Iterable[Phrase], limit: int = 8) -> tuple[Match, ...]:
    """Return the findings that the words most likely mean, best first, each once.

    Token-based similarity (rapidfuzz) over every phrase, so that word order, extra words and misspellings matter
    little; words that few findings use count more.
    """
    from rapidfuzz import fuzz  # slow to import: only when something is looked up

    wanted = _meaning(text)
    if not wanted:
        return ()
    known = tuple(known)
    texts = [_meaning(phrase.text) for phrase in known]
    rarity = _rarity(texts)
    spelt = _respelt(wanted.split(), rarity)
    best: dict[str, tuple[float, Phrase]] = {}
    for phrase, its_text in zip(known, texts, strict=True):
        similar = fuzz.token_sort_ratio(" ".join(spelt), its_text)
        score = phrase.weight * (0.35 * similar + 65.0 * _shared(spelt, its_text.split(), rarity))
        if score > best.get(phrase.finding, (0.0, phrase))[0]:
            best[phrase.finding] = (score, phrase)
    ranked = sorted(best.items(), key=lambda item: -item[1][0])
    return tuple(
        _match(finding, findings, phrase, score, spelt)
        for finding, (score, phrase) in ranked[:limit]
        if score >= LEAST_SCORE
    )


def _meaning(text: str) -> str:
    """Lower-case words without punctuation and small words."""
    words = re.findall(r"[a-z0-9/]+", text.lower().replace("'", ""))
    return " ".join(_stem(word) for word in words if word not in _SMALL)


def _stem(word: str) -> str:
    for ending in ("ing", "ed", "es", "s", "y"):
        if word.endswith(ending) and len(word) - len(ending) >= 3:  # noqa: PLR2004
            stem = word.removesuffix(ending)
            return stem[:-1] if len(stem) > 3 and stem[-1] == stem[-2] and stem[-1] not in "sl" else stem  # noqa: PLR2004
    return word.removesuffix("e") if len(word) > 4 else word  # noqa: PLR2004


def _rarity(texts: list[str]) -> dict[str, float]:
    from math import log

    counts: dict[str, int] = {}
    for text in texts:
        for word in set(text.split()):
            counts[word] = counts.get(word, 0) + 1
    return {word: log(1 + len(texts) / count) for word, count in counts.items()}


def _respelt(words: list[str], rarity: Mapping[str, float]) -> list[str]:
    """Replace words that no phrase uses by the nearest that one does, where it is near."""
    from rapidfuzz import fuzz, process

    spelt = []
    for word in words:
        near = (
            None
            if word in rarity or word.isdigit()
            else process.extractOne(word, list(rarity), scorer=fuzz.ratio, score_cutoff=72)
        )
        spelt.append(near[0] if near else word)
    return spelt


def _shared(wanted: list[str], phrase: list[str], rarity: Mapping[str, float]) -> float:
    """Share of the meaning, by rarity, that words and phrase have in common (F-measure leaning to what was typed)."""
    common = sum(rarity.get(word, 1.0) for word in set(wanted) & set(phrase))
    if not common:
        return 0.0
    typed = common / sum(rarity.get(word, 6.0) for word in set(wanted))
    covered = common / sum(rarity.get(word, 1.0) for word in set(phrase))
    return 2 * typed * covered / (typed + covered)


def _match(name: str, findings: Mapping[str, Finding], phrase: Phrase, score: float, spelt: list[str]) -> Match:
    finding = findings[name]
    abnormal = [value for value, normal in finding.values.items() if not normal]
    value = phrase.value or (abnormal[0] if len(abnormal) == 1 else _value_meant(abnormal, spelt, phrase.text))
    words = f"{plain(name)}: {plain(value)}" if value and value != "true" else plain(name)
    return Match(name, value, words, round(score, 1))


def _value_meant(values: list[str], spelt: list[str], phrase: str) -> str:
    """Return the one value whose own words were typed, or stand in the phrase that matched."""
    for words in (set(spelt), set(_meaning(phrase).split())):
        hits = [(len(words & set(_meaning(plain(value)).split())), value) for value in values]
        most = max(hits)[0]
        named = [value for count, value in hits if count == most]
        if most and len(named) == 1:
            return named[0]
    return ""

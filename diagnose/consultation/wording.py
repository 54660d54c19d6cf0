"""Sentences that every face of a consultation shares, so that screen, plain lines and pages say the same."""

from __future__ import annotations

__all__ = [
    "AUTHORITY",
    "RANK_WORDS",
    "REFER_WORDS",
    "STANDING_WORDS",
    "STATEMENT",
    "plain",
    "probability_words",
    "strength",
]

AUTHORITY = (
    "Order of authority: local procedure and supervisor, then nameplate and site limits, then this machine's own "
    "normal, then a published standard, then a rule of thumb."
)
STATEMENT = "This is advice from rules; it operates nothing and cannot see the machine. You and your supervisor decide."
RANK_WORDS = {
    "stop-now": "STOP NOW",
    "do-not-start": "DO NOT START",
    "call-supervisor": "CALL THE SUPERVISOR",
    "watch": "WATCH",
}
STANDING_WORDS = {
    "asking": "More can be learnt: the next question stands below.",
    "stop-caution": "A caution says stop: act on it first. You can go on with the questions afterwards.",
    "settled": "One cause stands out and a second fault is unlikely.",
    "nothing-worth-asking": "No further question of yours would tell much.",
    "not-covered": "The answers fit none of the listed causes well: something these rules do not cover is likely.",
    "stopped": "Stopped at your wish.",
    "no-symptom": "Nothing has been reported yet.",
    "left": "Saved. The consultation stays open.",
}
REFER_WORDS = {
    "dangerous-cause": "A dangerous cause is possible: call the supervisor now.",
    "not-covered": "Something these rules do not cover may be wrong: refer to the supervisor.",
    "conflict": "The answers fit each other badly: check the instruments and refer to the supervisor.",
    "unsettled": "No single cause is sure: refer to the supervisor with what was seen.",
}
# Words of the IPCC guidance note on uncertainty (2010), table 1.
_LIKELIHOOD = (
    (0.99, "virtually certain"),
    (0.90, "very likely"),
    (0.66, "likely"),
    (0.33, "about as likely as not"),
    (0.10, "unlikely"),
    (0.01, "very unlikely"),
    (0.0, "exceptionally unlikely"),
)


# Grades of a Bayes factor after Jeffreys, Theory of Probability, appendix B, in decibans (from memory).
_STRENGTHS = ((15.0, "very strongly"), (10.0, "strongly"), (5.0, "clearly"), (1.0, "slightly"))


def strength(decibans: float) -> str:
    """Return a weight of evidence in words.

    >>> strength(-7)
    'clearly against'
    """
    how = next((words for least, words in _STRENGTHS if abs(decibans) >= least), "")
    if not how:
        return "hardly either way"
    return f"{how} {'for' if decibans > 0 else 'against'}"


def probability_words(probability: float) -> str:
    """Return the words for a probability in 0..1.

    >>> probability_words(0.7)
    'likely'
    """
    return next(words for least, words in _LIKELIHOOD if probability >= least)


def plain(identifier: str) -> str:
    """Return an id as words.

    >>> plain("low-or-empty")
    'low or empty'
    """
    return identifier.replace("-", " ")

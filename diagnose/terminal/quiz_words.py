"""Sentences of the quiz at the terminal."""

from __future__ import annotations

__all__ = [
    "ACT_AGAIN",
    "ALL_SAID",
    "ASK_HINT",
    "AS_PAGE",
    "FIRST",
    "HELP",
    "HINT",
    "HOW_SURE",
    "LOOK",
    "MARKED",
    "NOT_A_SHARE",
    "NOT_KEPT",
    "NO_HINT",
    "NO_WAY_BACK",
    "READY",
    "SAVED",
    "TIME_LEFT",
    "TIME_UP",
    "WHAT_TO_DO",
    "WHERE",
    "WHICH_CAUSE",
    "WHOM",
]

FIRST = "Before anything else: what do you do now?"
LOOK = "What do you look at? Choose where, or type what in your own words."
WHERE = "What do you look at there?"
ACT_AGAIN = "Act: stop, hold or call now"
ASK_HINT = "Hint (5 marks off)"
READY = "Ready: no more checks, name the causes"
HINT = "Hint: a check under '{where}' would tell most now."
NO_HINT = "Hint: no check would tell much more."
TIME_UP = "The time for checks is up: name the causes from what you saw."
WHICH_CAUSE = "Which causes? Choose where, or type words of one. Up to three."
HOW_SURE = "How sure are you of it, from 0 to 100 percent?"
NOT_A_SHARE = "'{typed}' is not a number from 0 to 100."
ALL_SAID = "Done: that is all"
WHAT_TO_DO = "What do you do yourself, first thing first? What you leave out is handed over."
WHOM = "Whom do you tell?"
MARKED = "Marks and what it teaches"
AS_PAGE = "This debrief as a page, with both paths drawn: diagnose quiz debrief --page FILE"
TIME_LEFT = "Time left: {minutes:.0f} min."
NO_WAY_BACK = "What was done cannot be undone in a quiz."
SAVED = "Saved. 'diagnose quiz run --resume' takes it up again; with --trainee, if you gave a name."
NOT_KEPT = "Left. No record was kept, so this case cannot be taken up again."
HELP = (
    "Choose by number, arrow keys or words: a check by your own word; act, hint, ready and done as they stand. "
    "b closes a list or takes the last thing named back, q saves and leaves. What was looked at or done stays."
)

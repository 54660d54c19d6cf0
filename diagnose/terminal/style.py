"""The looks a piece of text may have. Colours are the sixteen that users set themselves; words carry the meaning."""

from __future__ import annotations

from enum import Enum

__all__ = ["RANK_STYLES", "RULES", "Style"]


class Style(Enum):
    """One look; the value is its class name for the terminal library."""

    TEXT = "text"
    HEAD = "head"
    SAFETY = "safety"
    STOP_NOW = "stop-now"
    DO_NOT_START = "do-not-start"
    CALL_SUPERVISOR = "call-supervisor"
    WATCH = "watch"
    DO = "do"
    ASK = "ask"
    HOW = "how"
    MIND = "mind"
    OPTION = "option"
    CHOSEN = "chosen"
    TITLE = "title"
    BAR = "bar"
    CAUSE = "cause"
    NOT_COVERED = "not-covered"
    SAID = "said"
    NOTICE = "notice"
    TROUBLE = "trouble"
    MORE = "more"
    KEYS = "keys"
    PROMPT = "prompt"


RULES: dict[Style, str] = {
    Style.TEXT: "",
    Style.HEAD: "bold",
    Style.SAFETY: "",
    Style.STOP_NOW: "bold reverse ansired",
    Style.DO_NOT_START: "bold ansired",
    Style.CALL_SUPERVISOR: "bold ansiyellow",
    Style.WATCH: "bold",
    Style.DO: "",
    Style.ASK: "bold",
    Style.HOW: "",
    Style.MIND: "bold ansiyellow",
    Style.OPTION: "",
    Style.CHOSEN: "reverse",
    Style.TITLE: "underline",
    Style.BAR: "ansicyan",
    Style.CAUSE: "",
    Style.NOT_COVERED: "italic",
    Style.SAID: "",
    Style.NOTICE: "ansigreen",
    Style.TROUBLE: "bold ansired",
    Style.MORE: "reverse",
    Style.KEYS: "ansicyan",
    Style.PROMPT: "bold",
}

RANK_STYLES = {
    "stop-now": Style.STOP_NOW,
    "do-not-start": Style.DO_NOT_START,
    "call-supervisor": Style.CALL_SUPERVISOR,
    "watch": Style.WATCH,
}

"""The pages of the codes that the loader reports; what cannot be shown as rules is said in words."""

from __future__ import annotations

import re

from diagnose.planning.loader_pages import findings, names, rules, text
from diagnose.planning.page import Page, page_of

__all__ = ["loader_pages"]


def loader_pages() -> tuple[Page, ...]:
    """Read the pages, each of which begins with its code at the margin."""
    texts = (part for room in (text, names, findings, rules) for part in re.split(r"\n(?=[a-z0-9-]+: )", room.PAGES))
    return tuple(page_of(part, "error") for part in texts)

"""Times as people say them on the command line, made into the UTC that is kept."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta

from diagnose.values.problem import DiagnoseError
from diagnose.values.text import one_line

__all__ = ["moment"]

_AGO = re.compile(r"(\d{1,5})\s*(h|d|hours?|days?)(\s+ago)?", re.ASCII)


def moment(text: str, now: str) -> str:
    """Return a date, a date with a time, or so many hours or days before ``now``, as UTC in ISO 8601.

    A time without an offset is meant in this computer's zone. Raises DiagnoseError for anything else.

    >>> moment("12h", "2026-03-02T12:00:00.000+00:00")
    '2026-03-02T00:00:00.000+00:00'
    """
    ago = _AGO.fullmatch(text.strip().lower())
    try:
        if ago:
            span = timedelta(**{"hours" if ago[2].startswith("h") else "days": int(ago[1])})
            then = datetime.fromisoformat(now) - span
        else:
            then = datetime.fromisoformat(text.strip()).astimezone()
        return then.astimezone(UTC).isoformat(timespec="milliseconds")
    except (ValueError, OverflowError) as error:
        says = f"'{one_line(text)}' is not a time."
        raise DiagnoseError(says, mend="Write 2026-03-02, '2026-03-02 14:00', 12h or 7d.") from error

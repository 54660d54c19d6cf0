"""``python -m diagnose.knowledge FOLDER [SITE]``: every fault of a rules folder with its line, then counts.

Exit status 0: no fault; 1: faults; 2: wrong use.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

from diagnose.knowledge.library import load
from diagnose.values.problem import DiagnoseError, frame

if TYPE_CHECKING:
    from diagnose.knowledge.library import Loaded


def main(arguments: list[str]) -> int:
    """Load, show, and give the exit status."""
    if not 1 <= len(arguments) <= 2:  # noqa: PLR2004  the folder, and perhaps a site
        print("Use: python -m diagnose.knowledge FOLDER [SITE]", file=sys.stderr)  # noqa: T201
        return 2
    folders = [Path(one) for one in arguments]
    try:
        loaded = load(rules=folders[0], site=folders[1] if len(folders) > 1 else None)
    except DiagnoseError as error:
        print(error, file=sys.stderr)  # noqa: T201
        return 2
    print("\n".join(_lines(loaded)))  # noqa: T201
    return 1 if loaded.problems else 0


def _lines(loaded: Loaded) -> list[str]:
    lines: list[str] = []
    for problem in loaded.problems:
        lines.append(problem.line())
        if problem.place.file in loaded.texts:
            lines.append(frame(problem, loaded.texts[problem.place.file]))
    knowledge = loaded.knowledge
    counts = {
        "findings": sum(not finding.concluded for finding in knowledge.findings.values()),
        "conditions": sum(finding.concluded for finding in knowledge.findings.values()),
        "causes": len(knowledge.causes),
        "rules": len(knowledge.rules),
        "links": sum(len(rule.links) for rule in knowledge.rules.values()),
        "cautions": len(knowledge.cautions),
        "features": len(knowledge.features),
        "machines": len(knowledge.site.machines),
        "problems": len(loaded.problems),
    }
    lines.append(", ".join(f"{number} {what}" for what, number in counts.items()))
    return lines


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

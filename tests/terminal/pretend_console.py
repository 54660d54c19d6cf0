"""A consultation to be driven by hand or by a test at a real terminal: python pretend_console.py full|plain [no-symptom]."""

import sys

from pretend_session import PretendSession


def main(how: str, *more: str) -> None:
    """Run the full screen or the plain lines over a pretended consultation."""
    session = PretendSession(reported="no-symptom" not in more)
    if how == "full":
        from diagnose.terminal.app import run_full

        run_full(session)
    else:
        from diagnose.terminal.plain import run_plain

        run_plain(session, iter(sys.stdin.readline, ""), print, echo=not sys.stdin.isatty())
    sys.stdout.write(f"intents: {[type(intent).__name__ for intent in session.intents]}\n")


if __name__ == "__main__":
    main(*sys.argv[1:])

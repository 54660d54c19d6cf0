"""Nothing leaves the computer: the whole suite runs with the network closed, and so does every command."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
from pathlib import Path

import pytest

from diagnose.commands.main import COMMANDS
from tests.conftest import OPENS, NetworkUsedError

ROOT = Path(__file__).parents[2]
WATCHED = f"""
import sys
OPENS = {OPENS!r}
def refuse(event, arguments):
    if event in OPENS or event == "socket.__new__" and arguments[1] not in (-1, 1):
        sys.stderr.write(f"NETWORK {{event}}")
        sys.stderr.flush()
        import os; os._exit(99)
sys.addaudithook(refuse)
from diagnose.commands.main import main
raise SystemExit(main(sys.argv[1:]))
"""
ROUNDS = ROOT / "cases" / "demo-site" / "rounds" / "feed-pumps.csv"
ON = ["--machine", "BFP-2"]
RUNS = {
    "consult": ["consult", *ON, "--phase", "loaded", "--reading", "exhaust-pressure=42 psig", "--no-input", "--report"],
    "find": ["find", "oil has gone milkey"],
    "prestart": ["prestart", *ON],
    "rounds": ["rounds", str(ROUNDS), "--html", "page.html"],
    "journal": ["journal", "handover"],
    "case": ["case", str(ROOT / "cases" / "lubrication.yaml"), "--brief"],
    "quiz": ["quiz", "run", "--plain", "--seed", "1"],
    "rules": ["rules", "handbook", "handbook.html"],
    "calculate": ["calculate", "--help"],
}


def watched(arguments, folder):
    """Run a command in a process that ends with status 99 when anything opens a socket of the network."""
    env = {**os.environ, "PYTHONPATH": str(ROOT), "DIAGNOSE_DATA": str(folder), "DIAGNOSE_CACHE": str(folder / "cache")}
    return subprocess.run(
        [sys.executable, "-c", WATCHED, *arguments],
        cwd=folder, env=env, input="1\n2\nq\n", capture_output=True, text=True, timeout=300, check=False,
    )  # fmt: skip


def test_the_suite_runs_with_the_network_closed():
    """A connection from a test is refused before it is tried; a pair of sockets within the process is not."""
    with socket.socket() as one, pytest.raises(NetworkUsedError):
        one.connect(("127.0.0.1", 9))
    with pytest.raises(NetworkUsedError):
        socket.getaddrinfo("localhost", 9)
    left, right = socket.socketpair()
    left.send(b"x")
    assert right.recv(1) == b"x"
    left.close()
    right.close()


def test_the_watch_sees_a_connection(tmp_path):
    """A process under the same watch that connects ends with status 99, so that the tests below can fail."""
    talks = WATCHED.replace(
        "from diagnose.commands.main import main", "import socket\nsocket.create_connection(('127.0.0.1', 9))"
    )
    ran = subprocess.run([sys.executable, "-c", talks], cwd=tmp_path, capture_output=True, text=True, check=False)
    assert (ran.returncode, ran.stderr.split()[0]) == (99, "NETWORK")


@pytest.mark.parametrize("command", COMMANDS)
def test_no_command_opens_a_socket(command, tmp_path):
    """Each command does its work, pages included, without a socket of the network."""
    if command == "journal":
        watched(RUNS["consult"], tmp_path)
    ran = watched(RUNS[command], tmp_path)
    assert ran.returncode in (0, 1), ran.stderr
    assert "NETWORK" not in ran.stderr
    assert "Traceback" not in ran.stderr


def test_no_module_of_ours_names_the_network():
    """No module imports what speaks to the network."""
    for path in (ROOT / "diagnose").rglob("*.py"):
        words = path.read_text(encoding="utf-8").split()
        named = {
            word
            for at, word in enumerate(words)
            if words[at - 1 : at] in (["import"], ["from"])
            and word.split(".")[0] in ("socket", "ssl", "http", "ftplib", "smtplib", "socketserver", "requests")
        }
        assert not named, path
        assert "urllib.request" not in words, path

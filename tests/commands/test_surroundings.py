"""The real program in surroundings that are not kind to it: locales, encodings, homes, terminals."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pexpect
import pytest

ROOT = Path(__file__).parents[2]
sys.path.append(str(ROOT / "tests" / "terminal"))
from seen_terminal import SeenTerminal  # noqa: E402 - a neighbour of the tests of the terminal

ASKED = ["consult", "--plain", "--machine", "BFP-2", "--phase", "loaded", "--reading", "bearing-oil-look=milky"]
PUMPS = str(ROOT / "cases" / "demo-site" / "rounds" / "feed-pumps.csv")
SURROUNDINGS = {
    "C locale": {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"},
    "POSIX locale": {"LC_ALL": "POSIX", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"},
    "Turkish": {"LANG": "tr_TR.UTF-8", "LC_ALL": "tr_TR.UTF-8", "LANGUAGE": "tr"},
    "unknown locale": {"LC_ALL": "xx_YY.UTF-8"},
    "far east of Greenwich": {"TZ": "Pacific/Kiritimati"},
    "a zone of half an hour": {"TZ": "Asia/Kolkata"},
    "no such zone": {"TZ": "Nowhere/Nothing"},
    "ASCII terminal": {"PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"},
    "Latin-1 terminal": {"PYTHONIOENCODING": "latin-1", "PYTHONUTF8": "0"},
    "UTF-16 terminal": {"PYTHONIOENCODING": "utf-16"},
    "development mode": {"PYTHONDEVMODE": "1", "PYTHONWARNINGS": "error"},
    "optimised": {"PYTHONOPTIMIZE": "2"},
}


def run(arguments, folder, through=(), typed=b"", **environment):
    """Run the real program with little more than these variables around it."""
    env = {"PATH": os.environ["PATH"], "PYTHONPATH": str(ROOT), "HOME": str(folder)}
    env |= {"DIAGNOSE_DATA": str(folder / "data"), "DIAGNOSE_CACHE": str(folder / "cache"), **environment}
    env = {name: value for name, value in env.items() if value}
    return subprocess.run(
        [*through, sys.executable, "-m", "diagnose", *arguments],
        cwd=folder, env=env, input=typed, capture_output=True, timeout=300, check=False,
    )  # fmt: skip


def words(ran, encoding="utf-8"):
    """Return what it printed, after it ended well and complained of nothing."""
    said = ran.stdout.decode(encoding)
    assert ran.returncode == 0, f"{said[-500:]} {ran.stderr!r}"
    assert ran.stderr == b""
    return said


@pytest.mark.parametrize("name", SURROUNDINGS)
def test_a_consultation_is_the_same_in_any_surroundings(name, tmp_path):
    """Locale, zone and encoding change neither the questions nor the causes nor the cautions."""
    encoding = SURROUNDINGS[name].get("PYTHONIOENCODING", "utf-8")
    said = words(run(ASKED, tmp_path, typed="1\n1\nq\n".encode(encoding), **SURROUNDINGS[name]), encoding)
    usual = words(run(ASKED, tmp_path, typed=b"1\n1\nq\n", LC_ALL="C.UTF-8"))

    def asked_and_ranked(text):
        return [line for line in text.splitlines() if line.startswith(("Question", "Cause ", "Caution", "CALL"))]

    assert len(asked_and_ranked(usual)) > 10
    assert asked_and_ranked(said) == asked_and_ranked(usual)


@pytest.mark.parametrize("name", ["C locale", "Turkish", "ASCII terminal", "Latin-1 terminal"])
def test_rules_rounds_and_pages_do_not_depend_on_the_locale(name, tmp_path):
    """Files are read and written as UTF-8 whatever the locale says, and words meet in any case of letters."""
    around = SURROUNDINGS[name]
    assert run(["rules", "check"], tmp_path, **around).returncode == 0
    ran = run(["rounds", PUMPS, "--html", "page.html", "--no-journal"], tmp_path, **around)
    assert ran.returncode == 1, ran.stderr
    assert "µ" not in ran.stdout.decode("ascii", "ignore")
    assert "<svg" in (tmp_path / "page.html").read_text(encoding="utf-8")
    found = words(run(["find", "OIL MILKY IN BEARING"], tmp_path, **around), "latin-1")
    assert "milky" in found.splitlines()[0]


def test_moments_are_kept_in_utc_whatever_the_zone(tmp_path):
    """Two consultations from the two ends of the day are listed in the order in which they were held."""
    for zone in ("Pacific/Kiritimati", "Pacific/Niue"):  # UTC+14, UTC-11
        words(run([*ASKED, "--no-input"], tmp_path, TZ=zone))
    listed = words(run(["journal", "list"], tmp_path, TZ="Pacific/Niue")).splitlines()
    times = [line.split("(UTC)")[0].split()[-2:] for line in listed]
    assert len(times) == 2
    assert times == sorted(times, reverse=True)


def bytes_typed():
    """Return what no terminal of ours would send: bytes that are no text, and text that is no answer."""
    return b"\xff\xfe\x00\n" + "ğüşiöç İI ½ ✓\n".encode() + b"\x1b[A\n" + b"x" * 100_000 + b"\nq\n"


@pytest.mark.parametrize("name", ["C locale", "Turkish", "ASCII terminal"])
def test_bytes_that_are_no_text_are_not_understood_and_no_fault(name, tmp_path):
    """Each is answered with a line that it is not taken, and the consultation goes on to be left."""
    ran = run(ASKED, tmp_path, typed=bytes_typed(), **SURROUNDINGS[name])
    assert ran.returncode == 0, ran.stderr
    assert ran.stdout.count(b"Not taken") >= 3
    assert b"Saved." in ran.stdout
    assert b"\x1b" not in ran.stdout


def test_arguments_that_are_no_text_are_one_line(tmp_path):
    """A machine named in bytes that are no text is refused in a line."""
    ran = run(["consult", "--no-input", "--machine", b"\xff\xfeBFP", "--phase", "loaded"], tmp_path, LC_ALL="C.UTF-8")
    assert ran.returncode == 2
    assert ran.stderr.count(b"\n") == 1
    assert b"no machine" in ran.stderr


@pytest.mark.parametrize("home", ["/proc/nothing", "/dev/null", "read-only"])
def test_without_a_home_to_write_in_the_operator_is_served(home, tmp_path):
    """A home that is not there or cannot be written: the consultation is held, and one line says it is not kept."""
    if home == "read-only":
        home = str(tmp_path / "home")
        (tmp_path / "home").mkdir(mode=0o500)
    ran = without_rights([*ASKED, "--no-input"], tmp_path, HOME=home, DIAGNOSE_DATA="", DIAGNOSE_CACHE="")
    assert ran.returncode == 0, ran.stderr
    assert b"CALL THE SUPERVISOR" in ran.stdout
    assert b"Kept as" not in ran.stdout
    assert b"not kept" in ran.stderr
    assert ran.stderr.count(b"\n") == 1


def test_without_a_home_at_all_it_keeps_where_the_system_says(tmp_path):
    """With HOME unset, data and cache go where the system's own variables point."""
    places = {"XDG_DATA_HOME": str(tmp_path / "share"), "XDG_CACHE_HOME": str(tmp_path / "quick")}
    said = words(run([*ASKED, "--no-input"], tmp_path, HOME="", DIAGNOSE_DATA="", DIAGNOSE_CACHE="", **places))
    assert "Kept as" in said
    assert list((tmp_path / "share" / "diagnose").glob("*.sqlite3"))


def without_rights(arguments, folder, **environment):
    """Run as an owner bound by the rights of files: the superuser may write anywhere, which proves nothing."""
    if os.geteuid() != 0:
        return run(arguments, folder, **environment)
    bound = shutil.which("setpriv")
    if not bound:
        pytest.skip("needs a user who is not the superuser, or 'setpriv'")
    return run(arguments, folder, (bound, "--bounding-set", "-dac_override,-dac_read_search"), **environment)


@pytest.mark.parametrize(
    ("columns", "term"), [(40, "xterm"), (40, "linux"), (80, "xterm"), (80, "vt100"), (80, "ansi")]
)
def test_small_and_poor_terminals_show_question_and_answers(columns, term, tmp_path):
    """At 40 columns, with 8 colours or none, an operator sees the caution, the question and every answer's number."""
    env = {"PATH": os.environ["PATH"], "PYTHONPATH": str(ROOT), "HOME": str(tmp_path), "TERM": term}
    env |= {"DIAGNOSE_DATA": str(tmp_path), "DIAGNOSE_CACHE": str(tmp_path / "cache"), "PROMPT_TOOLKIT_NO_CPR": "1"}
    env |= {"LC_ALL": "C.UTF-8", "PROMPT_TOOLKIT_COLOR_DEPTH": "DEPTH_4_BIT"}
    arguments = [one for one in ASKED if one != "--plain"]
    child = pexpect.spawn(
        sys.executable, ["-m", "diagnose", *arguments], cwd=str(tmp_path), env=env, dimensions=(30, columns),
        encoding="utf-8",
    )  # fmt: skip
    seen = SeenTerminal(child, columns, 30)
    text = seen.wait_for("? all keys", 60)
    assert "CALL THE SUPERVISOR" in text
    assert all(re.search(rf"^ *{number} [a-z]", text, re.MULTILINE) for number in range(1, 5)), text
    seen.send("2\r")
    seen.wait_for("Noted: heavy.", 60)
    seen.send("q\r")
    seen.wait_for_end(60)
    assert child.exitstatus == 0
    assert "38;5" not in seen.raw, "256 colours were sent"
    child.close(force=True)

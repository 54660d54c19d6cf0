"""A page opened in a real browser without a screen, and looked at."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import zlib
from html import unescape
from pathlib import Path

import pytest

__all__ = ["accessibility", "checker", "chromium", "measured", "picture", "printed"]

_AXE = ("/usr/lib/node_modules", "/usr/local/lib/node_modules", "~/.cache/diagnose-tests/node_modules", "node_modules")
_LIGHT = {"dark": "@media all", "light": "@media not all"}


def chromium() -> str:
    """Return the browser; skip the test where there is none."""
    found = os.environ.get("DIAGNOSE_CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")
    if not found:
        pytest.skip("needs Chromium: install the package 'chromium', or set DIAGNOSE_CHROMIUM")
    return found


def checker() -> str:
    """Return the text of the accessibility checker axe-core; skip the test where it is not installed."""
    folders = [os.environ.get("DIAGNOSE_AXE", "")] + [f"{Path(one).expanduser()}/axe-core" for one in _AXE]
    for folder in filter(None, folders):
        file = Path(folder, "axe.min.js")
        if file.is_file():
            return file.read_text(encoding="utf-8")
    return pytest.skip("needs axe-core: npm install --prefix ~/.cache/diagnose-tests axe-core, or set DIAGNOSE_AXE")


def _run(folder: Path, *options: str) -> str:
    command = [
        chromium(),
        "--headless=new",
        "--no-sandbox",
        "--disable-gpu",
        "--hide-scrollbars",
        "--disable-dev-shm-usage",
    ]
    command += [f"--user-data-dir={folder / 'profile'}", "--no-first-run", "--disable-background-networking"]
    done = subprocess.run([*command, *options], capture_output=True, text=True, timeout=90, check=True)
    return done.stdout


def in_scheme(text: str, scheme: str) -> str:
    """Return the page as a reader who prefers this scheme sees it."""
    return text.replace("@media (prefers-color-scheme: dark)", _LIGHT[scheme])


def _file(folder: Path, text: str) -> str:
    file = folder / "page.html"
    file.write_text(text, encoding="utf-8")
    return file.as_uri()


def _with_script(text: str, script: str) -> str:
    """Let a script of the test run on the page, which itself allows none."""
    allowed = re.sub(r'<meta http-equiv="Content-Security-Policy"[^>]*>', "", text)
    return allowed.replace("</body>", f"<script>{script}</script></body>")


def _told(folder: Path, text: str, script: str, width: int) -> object:
    """Run a script on the page that sets document.title to JSON, and return that."""
    address = _file(folder, _with_script(text, script))
    dom = _run(folder, f"--window-size={width},900", "--virtual-time-budget=20000", "--dump-dom", address)
    return json.loads(unescape(re.search(r"<title>(.*?)</title>", dom, re.DOTALL)[1]))


def accessibility(folder: Path, text: str) -> list[str]:
    """Return the faults that axe-core finds by WCAG 2 A and AA and its best practices, a line each."""
    script = checker() + (
        ";axe.run(document,{runOnly:['wcag2a','wcag2aa','wcag21a','wcag21aa','wcag22aa','best-practice']}).then(r=>{"
        "document.title=JSON.stringify({passes:r.passes.length,faults:r.violations.map("
        "v=>v.id+': '+v.nodes.slice(0,3).map(n=>n.target.join(' ')+' '+n.failureSummary).join('; '))})})"
    )
    told = _told(folder, text, script, 900)
    assert told["passes"] > 10, "the checker has not run"
    return told["faults"]


def measured(folder: Path, text: str, width: int) -> dict:
    """Return how wide the page is, how wide the window, and the boxes of all texts in drawings beside their own."""
    script = (
        "let out=[];document.querySelectorAll('svg').forEach(s=>{let b=s.getBoundingClientRect();"
        "s.querySelectorAll('text').forEach(t=>{let r=t.getBoundingClientRect();"
        "out.push([s.id,t.textContent,r.left-b.left,b.right-r.right,r.top-b.top,b.bottom-r.bottom,r.left,r.right,r.top,r.bottom])})});"
        "document.title=JSON.stringify({page:document.documentElement.scrollWidth,window:innerWidth,texts:out})"
    )
    return _told(folder, text, script, width)


def printed(folder: Path, text: str, size: str) -> bytes:
    """Return the page printed as PDF on A4 or Letter."""
    address = _file(folder, text.replace("@page { margin", f"@page {{ size: {size}; margin"))
    _run(folder, "--no-pdf-header-footer", f"--print-to-pdf={folder / 'page.pdf'}", address)
    return (folder / "page.pdf").read_bytes()


def picture(folder: Path, text: str, width: int = 640, height: int = 2400) -> tuple[int, int, list[bytes]]:
    """Return the page as a picture: width, height, and its rows of red, green and blue."""
    target = folder / "page.png"
    _run(folder, f"--window-size={width},{height}", f"--screenshot={target}", _file(folder, text))
    return _pixels(target.read_bytes())


def _pixels(png: bytes) -> tuple[int, int, list[bytes]]:
    """Decode an RGB or RGBA picture (W3C PNG, section 9: filter types)."""
    width, height = int.from_bytes(png[16:20], "big"), int.from_bytes(png[20:24], "big")
    depth = {2: 3, 6: 4}[png[25]]
    data, place = b"", 8
    while place < len(png):
        size, kind = int.from_bytes(png[place : place + 4], "big"), png[place + 4 : place + 8]
        data += png[place + 8 : place + 8 + size] if kind == b"IDAT" else b""
        place += 12 + size
    raw, stride = zlib.decompress(data), width * depth
    rows, above = [], bytearray(stride)
    for at in range(height):
        start = at * (stride + 1)
        row = _unfiltered(raw[start], bytearray(raw[start + 1 : start + 1 + stride]), above, depth)
        above = row
        rows.append(bytes(row) if depth == 3 else b"".join(bytes(row[x : x + 3]) for x in range(0, stride, 4)))
    return width, height, rows


def _unfiltered(kind: int, row: bytearray, above: bytearray, depth: int) -> bytearray:
    for x in range(len(row)) if kind else ():
        left, up = row[x - depth] if x >= depth else 0, above[x]
        corner = above[x - depth] if x >= depth else 0
        if kind == 4:
            guess = left + up - corner
            near = min((left, up, corner), key=lambda one: abs(guess - one))
        else:
            near = {1: left, 2: up, 3: (left + up) // 2}[kind]
        row[x] = (row[x] + near) & 255
    return row

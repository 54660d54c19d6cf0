"""Pages as a browser shows, prints and reads them out. Skipped where no Chromium is installed."""

from __future__ import annotations

import re
import zlib

import pytest

from diagnose.reports.html import page
from tests.reports import browser
from tests.reports.pages import document, hostile_document, hostile_shift, shift
from tests.reports.training_pages import PAGES as TRAINING

MADE = {"report": document, "handover": shift}
ALL = {**MADE, "hostile report": hostile_document, "hostile handover": hostile_shift, **TRAINING}


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("name", ALL)
def test_the_accessibility_checker_finds_no_fault(name, scheme, tmp_path):
    """axe-core, by WCAG 2.2 A and AA and its best practices, contrast included, finds nothing in light or dark."""
    text = browser.in_scheme(page(ALL[name]()), scheme)
    assert browser.accessibility(tmp_path, text) == []


@pytest.mark.parametrize("width", [500, 900])
@pytest.mark.parametrize("name", ALL)
def test_nothing_runs_out_of_the_page_or_its_drawing(name, width, tmp_path):
    """The page is no wider than its window, and no text of a drawing leaves the drawing or lies on another."""
    told = browser.measured(tmp_path, page(ALL[name]()), width)
    assert told["page"] <= told["window"]
    assert [text for _, text, *sides in told["texts"] if min(sides[:4]) < -2] == []
    assert not list(_overlaps(told["texts"]))


def _overlaps(texts):
    for at, (drawing, one, *_, left, right, top, bottom) in enumerate(texts):
        for other, two, *_sides, left2, right2, top2, bottom2 in texts[at + 1 :]:
            over = min(right, right2) - max(left, left2) > 2 and min(bottom, bottom2) - max(top, top2) > 4
            if drawing == other and over:
                yield drawing, one, two


@pytest.mark.parametrize(("size", "box"), [("A4", (595, 842)), ("Letter", (612, 792))])
def test_it_prints_on_either_paper(size, box, tmp_path):
    """Printed, the report is a PDF of that paper's size with text on every page."""
    pdf = browser.printed(tmp_path, page(document()), size)
    boxes = {
        tuple(round(float(n)) for n in found.split()[2:]) for found in re.findall(rb"/MediaBox \[([\d. ]+)\]", pdf)
    }
    assert boxes == {box}
    pages = len(re.findall(rb"/Type /Page\b", pdf))
    assert 2 <= pages <= 10
    assert sum(b"BT" in part for part in _streams(pdf)) >= pages


def _streams(pdf: bytes):
    for part in re.findall(rb"stream\r?\n(.*?)\r?\nendstream", pdf, re.DOTALL):
        try:
            yield zlib.decompress(part)
        except zlib.error:
            continue


@pytest.mark.parametrize(("scheme", "paper"), [("light", (255, 255, 255)), ("dark", (0x12, 0x19, 0x1D))])
def test_it_looks_like_a_page(scheme, paper, tmp_path):
    """The picture is mostly paper of the scheme's colour, with writing, and with a long bar in the chart's colour."""
    width, height, rows = browser.picture(tmp_path, browser.in_scheme(page(document()), scheme))
    share = sum(row[x : x + 3] == bytes(paper) for row in rows for x in range(0, 3 * width, 3)) / (width * height)
    assert 0.6 < share < 0.97
    bar = bytes((0x0D, 0x5F, 0x6E) if scheme == "light" else (0x6C, 0xC5, 0xD4)) * 60
    assert sum(bar in row for row in rows) > 10

"""The page is whole in itself, well formed, and no text in it does anything."""

from __future__ import annotations

import re
import subprocess
import sys
from html.parser import HTMLParser

import pytest

from diagnose.reports.html import page
from diagnose.reports.markdown import markdown
from tests.reports.pages import HOSTILE, document, hostile_document, hostile_shift, shift

PAGES = {"report": document, "handover": shift, "hostile report": hostile_document, "hostile handover": hostile_shift}
TAGS = {
    "html",
    "head",
    "meta",
    "title",
    "style",
    "body",
    "header",
    "main",
    "section",
    "footer",
    "h1",
    "h2",
    "p",
    "ul",
    "li",
    "dl",
    "div",
    "dt",
    "dd",
    "table",
    "caption",
    "thead",
    "tbody",
    "tr",
    "th",
    "td",
    "strong",
    "span",
    "figure",
    "figcaption",
    "svg",
    "desc",
    "rect",
    "line",
    "path",
    "text",
}
VOID = {"meta"}
SVG_VOID = {"rect", "line", "path"}


class Reader(HTMLParser):
    """Checks nesting, and collects tags, attributes and headings."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.text: list[str] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag, attrs):
        """Note an opened tag."""
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        """Note a shape, which closes itself."""
        assert tag in SVG_VOID
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag):
        """Close the tag opened last."""
        assert self.open.pop() == tag

    def handle_data(self, data):
        """Note a text."""
        self.text.append(data)


@pytest.fixture(scope="module", params=PAGES)
def read(request):
    return Reader(page(PAGES[request.param]()))


def test_only_our_own_tags_are_on_the_page_and_all_are_closed(read):
    """No text has become a tag, and every tag is closed in its place."""
    assert {tag for tag, _ in read.tags} <= TAGS
    assert read.open == []


def test_nothing_is_fetched_and_nothing_runs(read):
    """No attribute names an address or holds a script, and the style fetches nothing."""
    for tag, attributes in read.tags:
        assert not {"src", "href", "srcset", "action", "data", "style"} & set(attributes), tag
        assert not [name for name in attributes if name.startswith("on")]
    assert "default-src 'none'" in str(read.tags)
    style = "".join(read.text).split("</style>")[0]
    assert "url(" not in style
    assert "@import" not in style


def test_ids_are_unique_and_everything_named_by_id_exists(read):
    """Every id occurs once, and every aria-labelledby points at one."""
    ids = [attributes["id"] for _, attributes in read.tags if "id" in attributes]
    assert len(ids) == len(set(ids))
    named = [one for _, attributes in read.tags for one in (attributes.get("aria-labelledby") or "").split()]
    assert set(named) <= set(ids)


def test_headings_and_table_headers_are_in_order(read):
    """One first heading, then second ones only; every table has a caption and scoped headers for columns and rows."""
    headings = [tag for tag, _ in read.tags if re.fullmatch(r"h\d", tag)]
    assert headings[0] == "h1"
    assert set(headings[1:]) == {"h2"}
    tags = [tag for tag, _ in read.tags]
    assert tags.count("caption") == tags.count("table")
    assert all(attributes.get("scope") in ("col", "row") for tag, attributes in read.tags if tag == "th")


def test_every_drawing_is_told_in_words(read):
    """Each drawing is an image with a title and a description."""
    drawings = [attributes for tag, attributes in read.tags if tag == "svg"]
    assert drawings or HOSTILE
    for attributes in drawings:
        assert attributes["role"] == "img"
        assert len(attributes["aria-labelledby"].split()) == 2
    tags = [tag for tag, _ in read.tags]
    assert tags.count("desc") == len(drawings)


def test_every_character_can_be_seen(read):
    """No control, escape, turning-round or invisible character is left anywhere on the page."""
    assert [one for one in "".join(read.text) if not one.isprintable() and one != "\n"] == []


@pytest.mark.parametrize("made", [hostile_document, hostile_shift])
def test_a_megabyte_in_a_field_does_not_make_an_endless_page(made):
    """A text nobody can read is cut, and the page says so."""
    text = page(made())
    assert "cut here; the journal holds all 1000000 characters" in text
    assert len(text) < 400_000
    assert len(markdown(made())) < 400_000


@pytest.mark.parametrize("made", PAGES.values(), ids=PAGES)
def test_markdown_holds_no_markup_of_others(made):
    """Read with HTML, tables and links allowed, the Markdown yields no raw HTML, image, link or code."""
    reader = pytest.importorskip("markdown_it", reason="markdown-it-py is not installed")
    tokens = reader.MarkdownIt("commonmark", {"html": True}).enable("table").parse(markdown(made()))
    kinds = {token.type for token in tokens} | {inner.type for token in tokens for inner in token.children or ()}
    assert not kinds & {"html_block", "html_inline", "image", "link_open", "code_inline", "code_block", "fence"}
    assert "table_open" in kinds


@pytest.mark.parametrize("made", [document, shift])
def test_page_and_markdown_hold_the_same_words(made):
    """Every caption, cell and sentence of the document is in both."""
    text, marked = page(made()), markdown(made())
    for section in made().sections:
        assert f">{section.title}</h2>" in text
        assert f"## {section.title}" in marked
    assert text.count("<tr>") >= marked.count("\n| ")


def test_the_template_library_is_loaded_by_a_page_alone():
    """Importing the rooms of reports loads no template library."""
    code = (
        "import sys, diagnose.reports.html, diagnose.reports.consultation, diagnose.reports.handover, "
        "diagnose.reports.markdown; print('jinja2' in sys.modules)"
    )
    assert subprocess.check_output([sys.executable, "-c", code], text=True).strip() == "False"

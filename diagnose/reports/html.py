"""A document as one self-contained HTML page: printable, readable in dark, nothing fetched, everything escaped."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from diagnose import __version__
from diagnose.reports.harmless import harmless

if TYPE_CHECKING:
    from diagnose.reports.document import Document

__all__ = ["page"]

_FOLDER = Path(__file__).parent


def page(document: Document) -> str:
    """Return the page as text, to be written as UTF-8."""
    import jinja2  # 80 ms, and only a page needs it
    from markupsafe import Markup

    environment = jinja2.Environment(
        loader=jinja2.FileSystemLoader(_FOLDER), autoescape=True, undefined=jinja2.StrictUndefined, finalize=_shown
    )
    style = Markup((_FOLDER / "page.css").read_text(encoding="utf-8").strip())  # noqa: S704 - our own file
    template = environment.get_template("page.html.j2")
    return template.render(document=document, style=style, version=__version__)


def _shown(value: Any) -> Any:  # noqa: ANN401 - whatever a template prints
    """Make what is printed harmless; our own markup and numbers pass."""
    return harmless(value) if type(value) is str else value

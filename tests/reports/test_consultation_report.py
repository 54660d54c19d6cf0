"""A report holds all that the consultation was and came to."""

from __future__ import annotations

from datetime import timedelta, timezone

import pytest

from diagnose.consultation.wording import AUTHORITY, RANK_WORDS, STATEMENT
from diagnose.reports.consultation import Found, report
from diagnose.reports.course import course
from diagnose.reports.document import Alert, Figure, Table
from diagnose.reports.html import page
from diagnose.reports.markdown import markdown
from tests.reports import pages
from tests.reports.pages import at, document, record


def blocks(made, kind):
    """Return all blocks of a kind."""
    return [block for section in made.sections for block in section.blocks if isinstance(block, kind)]


@pytest.mark.parametrize("render", [page, markdown])
def test_everything_the_view_says_is_on_the_page(render):
    """Cautions, answers, causes, actions, procedures, referred checks, radio lines and revision are all there."""
    made = record()
    view, text = made.view, _plain(render(report(made, at(59))))
    wanted = [*view.supervisor, view.revision, AUTHORITY, STATEMENT, *view.procedures]
    wanted += [part for row in view.cautions for part in (RANK_WORDS[row.rank], row.say, row.do, row.procedure)]
    wanted += [row.ask for row in view.answered if not row.cannot_tell] + [row.said for row in view.answered]
    wanted += [part for row in view.ranking for part in (row.title, row.words, f"{row.probability:.1%}")]
    wanted += [part for row in view.actions for part in (row.do, row.comes_from)]
    wanted += [row.ask for row in view.referred]
    assert [one for one in wanted if _plain(one.removesuffix("can't tell")) not in text] == []


def _plain(text: str) -> str:
    import html
    import re

    return " ".join(html.unescape(re.sub(r"\\(?=[^\w\s])", "", text)).split())


def test_cautions_come_before_anything_else_with_the_time_they_were_shown():
    """The first section holds every caution in force, worst first, each with the moment it first appeared."""
    made = document()
    alerts = made.sections[0].blocks
    assert made.sections[0].title == "Cautions"
    assert [block.rank for block in alerts if isinstance(block, Alert)] == [row.rank for row in record().view.cautions]
    assert any(
        "Shown first at 12:00:01" in line for block in alerts if isinstance(block, Alert) for line in block.lines
    )


def test_a_caution_that_was_lifted_is_still_told():
    """A stop caution whose answer was taken back stands in the list of lifted ones, and in the timeline twice."""
    made = document()
    text = page(made)
    assert "The bearing is failing. Shown at 12:00:06, lifted by a later answer." in text
    moments = list(course(record().moments, record().knowledge, record().machine))
    assert [row.caution for one in moments for row in one.raised].count("bearing-failing") == 1
    assert [row.caution for one in moments for row in one.lifted] == ["bearing-failing", "watch-it"] or [
        row.caution for one in moments for row in one.lifted
    ] == ["bearing-failing"]


def test_the_timeline_has_a_row_for_every_event_with_its_time_in_the_zone_asked_for():
    """Each event has its row, in order, in local time."""
    made = report(record(), at(59), timezone(timedelta(hours=2)))
    rows = next(block.rows for block in blocks(made, Table) if block.caption == "What happened when")
    assert len(rows) == len(record().moments)
    assert rows[0][0] == "2026-03-02 14:00:00"
    assert rows[1][0] == "14:00:01"


def test_a_reading_is_drawn_with_its_limit_and_usual_value():
    """The gauge of the exhaust pressure tells reading and limit in words, and the table says what it was judged as."""
    made = document()
    gauge = next(block.picture for block in blocks(made, Figure) if block.picture.id == "gauge-exhaust-pressure")
    assert "read 2.9 bar gauge" in gauge.description
    assert "exhaust pressure max 2.6 bar gauge" in gauge.description
    row = next(block.rows for block in blocks(made, Table) if block.caption == "Readings taken")[0]
    assert row[-1] == "high"


def test_drawn_weights_are_those_of_the_view():
    """The table of weights holds each answer's decibans for each of the likeliest causes."""
    made = record()
    table = next(block for block in blocks(report(made, at(59)), Table) if block.caption.startswith("What each answer"))
    causes = [row for row in made.view.ranking if row.cause and row.weights][: len(table.columns) - 1]
    assert list(table.columns[1:]) == [row.title for row in causes]
    for at_row, row in enumerate(table.rows):
        assert list(row[1:]) == [f"{cause.weights[at_row].decibans:+.1f}" for cause in causes]


def test_what_was_not_checked_is_listed_with_who_can():
    """Can't tell, left for later, the open question and checks of others each have a row with its reason."""
    made = document(skip=True, stop=False)
    table = next(block for block in blocks(made, Table) if block.caption == "Not checked")
    reasons = {row[1] for row in table.rows}
    assert {"could not be told", "left for later", "needs somebody else"} <= reasons
    assert ("What does the laboratory say of the oil?", "needs somebody else", "maintenance") in table.rows


def test_a_corrected_outcome_shows_both_records():
    """Both outcomes are there, the first marked as corrected, the second with its reason."""
    first = Found(at(40), "Gland steam", "found", "Repacked", "Pat", "")
    second = Found(at(50), "Jacket leak", "found", "Welded", "Kim", "jacket tested")
    text = page(document(found=(first, second)))
    assert text.count("(corrected below)") == 1
    assert "jacket tested" in text
    assert "Repacked" in text


def test_an_open_job_says_so():
    """Without an outcome the section says that the job is open."""
    assert "Nothing is recorded yet" in page(document())


def test_a_consultation_that_has_only_begun_has_a_page():
    """With nothing reported every section stands and says so."""
    from diagnose.consultation.session import Session
    from tests.knowledge_samples import sample

    kept = []
    session = Session(sample(), sample().site.machines["P-1"], keep=kept.append)
    text = page(
        pages.report(pages.record(moments=((at(0), kept[0]),), state=session.state, view=session.view()), at(1))
    )
    for says in ("No caution was raised", "Nothing was reported", "No number was read", "No answer weighs"):
        assert says in text

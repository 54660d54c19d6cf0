"""The pages behind the codes: their examples do what they say."""

import ast
import re
from pathlib import Path

import pytest

import diagnose.knowledge
from diagnose.planning.checks import CHECKS
from diagnose.planning.lint import LEVELS, lint, page, pages
from diagnose.planning.loader_pages import loader_pages
from diagnose.planning.page import page_of
from diagnose.values.problem import DiagnoseError
from tests.planning.page_base import laid

OF_CHECKS = [page_of(check.__doc__, check.LEVEL) for check in CHECKS]
LOADER_PAGES = loader_pages()
IN_WORDS = (
    "contrary",
    "file-ending",
    "not-an-instrument",
    "not-a-stretch",
    "not-utf-8",
    "switch-off-in-shipped",
    "too-deep",
    "too-large",
    "unknown-machine",
    "unreadable-file",
)
AS_RULES = [one for one in LOADER_PAGES if one.code not in IN_WORDS]


def test_the_base_of_the_examples_is_clean():
    """With nothing laid over it, neither the loader nor a check finds anything."""
    base, problems = laid()
    assert (problems, lint(base)) == ((), ())


@pytest.mark.parametrize("shown", OF_CHECKS, ids=lambda one: one.code)
def test_a_check_finds_its_bad_example_and_passes_its_good_one(shown):
    """The bad example is told with the page's code; of the good one there is nothing at all to tell."""
    base, problems = laid(shown.bad)
    assert not problems
    assert shown.code in {one.code for one in lint(base)}
    base, problems = laid(shown.good)
    assert (problems, lint(base)) == ((), ())


@pytest.mark.parametrize("shown", AS_RULES, ids=lambda one: one.code)
def test_the_loader_tells_a_bad_example_and_reads_a_good_one(shown):
    """The bad example is told with the page's code; the loader has nothing against the good one."""
    assert shown.code in {one.code for one in laid(shown.bad)[1]}
    assert laid(shown.good)[1] == ()


@pytest.mark.parametrize("check", CHECKS, ids=lambda one: one.CODE)
def test_a_check_has_a_complete_page(check):
    """Its page begins with its code, has a level that exists, and nothing in it is empty."""
    shown = page_of(check.__doc__, check.LEVEL)
    assert shown.code == check.CODE
    assert check.LEVEL in LEVELS
    assert all((shown.title, shown.bad.strip(), shown.good.strip(), shown.mend))
    assert check.__name__.rpartition(".")[2].replace("_", "-") == check.CODE


def test_every_code_has_one_page():
    """No code has two pages, and the pages of the loader are those of the codes that its modules report."""
    codes = [one.code for one in pages()]
    assert len(set(codes)) == len(codes)
    assert set(reported()) == {one.code for one in LOADER_PAGES}


def test_a_page_is_found_by_its_code():
    """A wrong code is answered with the nearest right one."""
    assert page("same-row").text().startswith("same-row (warning): ")
    with pytest.raises(DiagnoseError, match="Did you mean 'same-row'"):
        page("same-rows")


def reported():
    """Give the codes written in the loader's modules."""
    for file in Path(diagnose.knowledge.__file__).parent.glob("*.py"):
        for call in ast.walk(ast.parse(file.read_text())):
            if (
                isinstance(call, ast.Call)
                and len(call.args) > 1
                and re.search("report|Problem", ast.unparse(call.func))
            ):
                code = call.args[1]
                if isinstance(code, ast.Constant):
                    yield code.value
    yield from (f"unknown-{kind}" for kind in ("caution", "cause", "feature", "finding", "machine"))

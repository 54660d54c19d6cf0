"""The shipped rules, demo site and course cases, loaded once."""

import pytest

from diagnose.knowledge import library


@pytest.fixture(scope="session")
def knowledge():
    """Return the shipped knowledge laid over by the demo site."""
    return library.load(site=library.demo_site()).knowledge


@pytest.fixture(scope="session")
def cases(knowledge):
    """Return every shipped case by id."""
    return {case.id: case for case in library.load_cases([library.shipped_cases()], knowledge)[0]}


@pytest.fixture
def oil_case(cases):
    """Return the case of a glass that is empty before a start: a do-not-start, one cause."""
    return cases["course-oil-low-before-the-start"]

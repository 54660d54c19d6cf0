"""Both YAML parsers, for every test that asks for one."""

import pytest
import yaml


@pytest.fixture(params=[False, True], ids=["c", "python"])
def pure(request):
    """Whether the parser in Python is to be used; the one in C must be there to be tested."""
    assert request.param or hasattr(yaml, "CSafeLoader")
    return request.param

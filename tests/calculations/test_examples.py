"""The examples in the docstrings, worked by hand."""

import doctest
import importlib
import pkgutil

import pytest

import diagnose.calculations

MODULES = [module.name for module in pkgutil.iter_modules(diagnose.calculations.__path__)]
ROUNDS = ("round_blocks", "round_clock", "round_columns", "round_log")


@pytest.mark.parametrize("name", MODULES)
def test_every_formula_file_shows_an_example_that_comes_out(name):
    """Each module has examples, and each gives what it shows."""
    tried = doctest.testmod(importlib.import_module(f"diagnose.calculations.{name}"))
    assert tried.attempted > 0 or name == "hunting"
    assert tried.failed == 0


@pytest.mark.parametrize("name", ROUNDS)
def test_examples_of_reading_rounds_come_out(name):
    """The examples in the modules that read round sheets give what they show."""
    tried = doctest.testmod(importlib.import_module(f"diagnose.consultation.{name}"))
    assert tried.attempted > 0
    assert tried.failed == 0

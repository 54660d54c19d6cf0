"""The examples in the docstrings."""

import doctest
import importlib
import pkgutil

import pytest

import diagnose.belief

MODULES = [module.name for module in pkgutil.iter_modules(diagnose.belief.__path__)]


@pytest.mark.parametrize("name", MODULES)
def test_examples_come_out_as_written(name):
    """Every example in the module's docstrings gives what it shows."""
    assert doctest.testmod(importlib.import_module(f"diagnose.belief.{name}")).failed == 0


def test_some_modules_have_examples():
    """The formulas are shown by example, so the check above has something to run."""
    tried = sum(doctest.testmod(importlib.import_module(f"diagnose.belief.{name}")).attempted for name in MODULES)
    assert tried >= 10

"""Commands run as a user runs them, with cache and data in a folder of their own."""

from __future__ import annotations

import pytest


@pytest.fixture(autouse=True)
def own_folders(tmp_path_factory, monkeypatch):
    """Keep the compiled rules of one test run in one place, and every journal apart."""
    monkeypatch.setenv("DIAGNOSE_CACHE", str(tmp_path_factory.getbasetemp() / "cache"))
    monkeypatch.setenv("DIAGNOSE_DATA", str(tmp_path_factory.mktemp("data")))
    monkeypatch.delenv("DIAGNOSE_SITE", raising=False)

"""Where the libraries come from: every one bounded, locked for CI, and with a licence that is written down."""

from __future__ import annotations

import re
import tomllib
from importlib.metadata import PackageNotFoundError, distribution
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name
from packaging.version import Version

ROOT = Path(__file__).parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
NEEDED = [Requirement(text) for text in PROJECT["dependencies"]]
EXTRAS = {name: [Requirement(text) for text in texts] for name, texts in PROJECT["optional-dependencies"].items()}
LOCK = dict(
    line.split("==")
    for line in (ROOT / ".ci" / "lock.txt").read_text(encoding="utf-8").lower().splitlines()
    if line and not line.startswith("#")
)
# How a licence is written by its owners, and how we write it: all of them let anyone use and pass on.
LICENCES = {"mit": "MIT", "mit license": "MIT", "bsd": "BSD-3", "bsd-3-clause": "BSD-3", "bsd license": "BSD-3"}
LICENCES |= {"psf-2.0": "PSF-2.0", "apache-2.0": "Apache-2.0", "the mit license (mit)": "MIT"}


def carried(requirements, seen=None):
    """Return the names of these libraries and of all that they bring along."""
    seen = {} if seen is None else seen
    for one in requirements:
        name = canonicalize_name(one.name)
        if name in seen or (one.marker and not one.marker.evaluate({"extra": ""})):
            continue
        seen[name] = distribution(name)
        carried([Requirement(text) for text in seen[name].requires or ()], seen)
    return seen


def licence(found):
    """Return the licence that an installed library states."""
    told = found.metadata
    stated = [told.get("License-Expression", ""), *(told.get("License") or "").strip().splitlines()[:1]]
    stated += [one.rpartition(" :: ")[2] for one in told.get_all("Classifier", []) if one.startswith("License ::")]
    return next(
        (LICENCES[one.strip().lower()] for one in stated if one and one.strip().lower() in LICENCES), str(stated)
    )


@pytest.mark.parametrize("name", sorted(carried(NEEDED + EXTRAS["spreadsheet"])))
def test_the_licence_of_every_library_carried_is_written_down(name):
    """DEVELOPERS.md names each library that a user gets, with the licence that the library itself states."""
    stated = licence(carried(NEEDED + EXTRAS["spreadsheet"])[name])
    written = {canonicalize_name(one): says for one, says in re.findall(r"([\w.-]+)\s+\(([\w.-]+)\)", DEVELOPERS)}
    assert written.get(name) == stated


def test_every_library_that_a_user_gets_is_bounded_on_both_sides():
    """A new main version of a library is not taken unseen, nor one too old."""
    for one in (*NEEDED, *EXTRAS["spreadsheet"]):
        assert {clause.operator for clause in one.specifier} == {">=", "<"}, str(one)


def test_the_lock_holds_a_version_within_the_bounds_for_every_library_that_ci_installs():
    """Each direct need, and all that it brings along where it is installed here, is locked to one version."""
    locked = {canonicalize_name(name): Version(version) for name, version in LOCK.items()}
    direct = [*NEEDED, *EXTRAS["test"], *EXTRAS["check"]]
    for one in direct:
        version = locked.get(canonicalize_name(one.name))
        assert version, f"{one.name} is not locked: run .ci/lock"
        assert version in one.specifier, f"{one} against {version}: run .ci/lock"
    for one in direct:
        try:
            brought = carried([one])
        except PackageNotFoundError:  # the checks need not be installed where only tests run
            continue
        assert set(brought) <= set(locked), f"{one.name} brings what is not locked: run .ci/lock"

"""What once crashed a reader, or hung it, ends in words."""

from pathlib import Path

import pytest

from tests.fuzz.targets import TARGETS, put

SEEDS = sorted(path for path in (Path(__file__).parent / "seeds").glob("*/*") if path.is_file())


@pytest.mark.parametrize("target", TARGETS)
def test_the_samples_themselves_are_read(target):
    """Every reader takes its own samples: fuzzing begins at what is well formed."""
    assert TARGETS[target].samples()
    for sample in TARGETS[target].samples():
        put(target, sample)


@pytest.mark.parametrize("path", SEEDS, ids=lambda path: f"{path.parent.name}-{path.name}")
def test_a_kept_seed_ends_in_words(path):
    """Being refused is well; anything else would raise here."""
    put(path.parent.name, path.read_bytes())


@pytest.mark.parametrize(
    ("target", "head", "row"),
    [
        ("laboratory", "property,value,unit,new", "TAN,{},mg KOH/g,0.1"),
        ("rounds", "date and time,machine,inlet pressure (psig)", "2026-01-05 02:00,BFP-1,{}"),
        ("rounds", "date and time,machine,{}", "2026-01-05 02:00,BFP-1,246"),
        ("table", "kind,rule,symptom,cause,was,word", "link,{},a,b,c,d"),
    ],
)
def test_a_cell_too_long_for_the_csv_library_ends_in_words(target, head, row):
    """The library refuses more than 131072 characters in a cell; an unclosed quote makes such cells."""
    put(target, f"{head}\n{row}\n".replace("{}", '"' + "a" * 200_000 + '"').encode())

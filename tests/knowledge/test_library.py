"""Files of rules, sites and cases; and the cache."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from diagnose.knowledge import library
from diagnose.knowledge.library import LibraryError, load, load_cases

from .samples import MACHINE, RULES, SITE
from .test_cases import CASE


@pytest.fixture
def plant(tmp_path):
    """Give a folder of rules and a site with one machine and one case."""
    files = {
        "rules/sample.yaml": RULES,
        "plant/site.yaml": SITE["site.yaml"],
        "plant/machines/BFP-2.yaml": MACHINE,
        "plant/cases/a.yaml": CASE,
    }
    for name, text in files.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text, encoding="utf-8")
    return tmp_path


def read(plant, **more):
    return load(rules=plant / "rules", site=plant / "plant", **more)


def test_rules_and_a_site_are_read_from_folders(plant, pure):
    """Places name the files as the folders were given."""
    loaded = read(plant, pure=pure)
    assert loaded.problems == ()
    assert loaded.knowledge.rules["milky-oil"].place.file == str(plant / "rules" / "sample.yaml")
    assert loaded.knowledge.site.machines["BFP-2"].place.file == str(plant / "plant" / "machines" / "BFP-2.yaml")
    assert loaded.texts == {}


def test_shipped_files_are_found_beside_the_package_in_a_checkout():
    """The folder exists; the demo site lies in the cases."""
    assert library.shipped_rules() == Path(library.__file__).parents[2] / "rules"
    assert library.shipped_rules().is_dir()
    assert library.demo_site().parent == library.shipped_cases()


def test_shipped_files_are_found_in_the_package_once_it_is_installed(tmp_path, monkeypatch):
    """Files that came with the package win over a folder that happens to lie beside it."""
    (tmp_path / "rules").mkdir()
    (tmp_path / "diagnose" / "shipped" / "rules").mkdir(parents=True)
    monkeypatch.setattr("diagnose.__file__", str(tmp_path / "diagnose" / "__init__.py"))
    assert library.shipped_rules() == tmp_path / "diagnose" / "shipped" / "rules"


def test_files_in_folders_below_are_read_and_hidden_ones_are_not(plant):
    """Rules may be sorted into folders; what an editor leaves behind is passed over."""
    (plant / "rules" / "more").mkdir()
    (plant / "rules" / "more" / "x.yaml").write_text("features: {a: {title: A}}")
    (plant / "rules" / ".#x.yaml").write_text("rubbish: [")
    (plant / "rules" / "notes.txt").write_text("rubbish: [")
    loaded = read(plant)
    assert loaded.problems == ()
    assert "a" in loaded.knowledge.features


def test_the_text_of_faulty_files_comes_along(plant):
    """Only files with problems, under the name that the problem's place gives."""
    (plant / "rules" / "bad.yaml").write_text("cuases: {}\n")
    loaded = read(plant)
    assert {p.place.file for p in loaded.problems} == set(loaded.texts) == {str(plant / "rules" / "bad.yaml")}


MISSING = [
    ("no such folder", lambda plant: load(rules=plant / "nowhere"), "There is no such rules folder. Check the path."),
    ("a file", lambda plant: load(rules=plant / "rules" / "sample.yaml"), "This is a file; a rules folder is wanted."),
    ("empty", lambda plant: load(rules=plant / "plant" / "none"), "The rules folder holds no .yaml file."),
    ("no site", lambda plant: load(rules=plant / "rules", site=plant / "nowhere"), "There is no such site."),
    (
        "not a site",
        lambda plant: load(rules=plant / "rules", site=plant / "plant" / "none"),
        "This folder is not a site.",
    ),
    ("no answers", lambda plant: library.read_answers(plant / "nowhere.yaml"), "There is no such file of answers."),
]


@pytest.mark.parametrize(("use", "says"), [row[1:] for row in MISSING], ids=[row[0] for row in MISSING])
def test_a_folder_that_cannot_be_used_is_one_clear_line(plant, use, says):
    """What is wrong, with the folder's name in front."""
    (plant / "plant" / "none").mkdir()
    with pytest.raises(LibraryError) as raised:
        use(plant)
    assert says in str(raised.value)
    assert str(raised.value).startswith(str(plant))
    assert "\n" not in str(raised.value)


def problems_of(plant, name, content):
    path = plant / "rules" / name
    path.write_bytes(content)
    return [problem.line().removeprefix(f"{plant}/rules/") for problem in read(plant).problems]


def test_a_file_in_another_encoding_is_told_where_it_goes_wrong(plant):
    """Line and column of the first byte that is not UTF-8."""
    assert problems_of(plant, "x.yaml", "features:\n  a: {title: Öl}\n".encode("latin-1")) == [
        "x.yaml:2:14 not-utf-8 The file is not UTF-8 text. Save it as UTF-8 in your editor."
    ]
    assert problems_of(plant, "x.yaml", "a: b".encode("utf-16"))[0].startswith("x.yaml:1:1 not-utf-8")


def test_a_byte_order_mark_is_no_fault(plant):
    """Some editors write one."""
    assert problems_of(plant, "x.yaml", b"\xef\xbb\xbffeatures: {a: {title: A}}\n") == []


def test_a_file_of_fifty_megabytes_is_refused_without_being_read_whole(plant):
    """Five megabytes are the most."""
    path = plant / "rules" / "x.yaml"
    path.touch()
    os.truncate(path, 50_000_000)
    lines = [problem.line() for problem in read(plant).problems]
    assert lines == [f"{path}:1:1 too-large The file is larger than 5 MB. Split it; one file a subsystem."]


def test_a_file_under_another_ending_is_told(plant):
    """Rules that nobody reads would be missed."""
    assert problems_of(plant, "x.yml", b"features: {}")[0].startswith(
        "x.yml:1:1 file-ending Files ending in .yml are not read."
    )


def test_a_file_that_cannot_be_read_is_told(plant):
    """A link to nowhere and a pipe are problems, not errors, and nothing waits on the pipe."""
    (plant / "rules" / "x.yaml").symlink_to(plant / "nowhere")
    os.mkfifo(plant / "rules" / "y.yaml")
    assert [p.code for p in read(plant).problems] == ["unreadable-file", "unreadable-file"]


def test_cases_are_read_from_files_and_folders_but_not_from_a_sites_machines(plant):
    """Of a site's folder its cases are read, and nothing else."""
    knowledge = read(plant).knowledge
    for path in (plant / "plant" / "cases" / "a.yaml", plant / "plant" / "cases", plant / "plant"):
        cases, problems = load_cases([path], knowledge)
        assert problems == ()
        assert [case.id for case in cases] == ["milky-oil"]


def test_answers_are_read_or_refused_with_a_place(plant):
    """The first fault is raised with file, line and column."""
    path = plant / "answers.yaml"
    path.write_text("machine: BFP-2\nreported: {bearing-oil-look: milky}\n")
    assert library.read_answers(path) == {"machine": "BFP-2", "reported": {"bearing-oil-look": "milky"}}
    path.write_text("machine: BFP-2\nreport: {a: b}\n")
    with pytest.raises(
        LibraryError, match=r"answers\.yaml:2:1: 'report' is not a key of an answers file\. Did you mean 'reported'\?"
    ):
        library.read_answers(path)


def test_the_cache_gives_what_a_fresh_load_gives(plant):
    """Written once, then read, with equal knowledge."""
    first = read(plant, cache=plant / "cache")
    assert len(list((plant / "cache").iterdir())) == 1
    assert read(plant, cache=plant / "cache") == first == read(plant)


def test_a_warm_cache_needs_no_yaml(plant):
    """A second start imports neither yaml nor pint."""
    read(plant, cache=plant / "cache")
    code = (
        "import sys; from pathlib import Path; from diagnose.knowledge.library import load;"
        f"p = Path({str(plant)!r}); k = load(rules=p / 'rules', site=p / 'plant', cache=p / 'cache').knowledge;"
        "print(len(k.rules), 'yaml' in sys.modules, 'pint' in sys.modules, 'platformdirs' in sys.modules)"
    )
    out = subprocess.check_output([sys.executable, "-c", code], text=True)
    assert out.split() == ["5", "False", "False", "False"]


def test_a_changed_file_is_read_anew(plant):
    """One changed letter in a rule or in a machine is seen at the next load."""
    read(plant, cache=plant / "cache")
    (plant / "rules" / "sample.yaml").write_text(RULES.replace("Cooling jacket leaks", "Cooling jacket cracked"))
    assert read(plant, cache=plant / "cache").knowledge.causes["cooling-jacket-leak"].title == "Cooling jacket cracked"
    (plant / "plant" / "machines" / "BFP-2.yaml").write_text(MACHINE.replace("3560", "3600"))
    machine = read(plant, cache=plant / "cache").knowledge.site.machines["BFP-2"]
    assert machine.values["rated-speed"].value == 3600


def test_a_damaged_cache_is_ignored_and_mended(plant):
    """Cut short, overwritten or empty, the files are read instead and the cache is whole again."""
    fresh = read(plant, cache=plant / "cache")
    (kept,) = (plant / "cache").iterdir()
    whole = kept.read_bytes()
    for damaged in (b"", whole[:-10], whole.replace(b"Cooling", b"Looking"), b"\x00" * 100):
        kept.write_bytes(damaged)
        assert read(plant, cache=plant / "cache") == fresh
        assert kept.read_bytes() == whole


def test_faulty_knowledge_is_not_kept(plant):
    """What has a problem is told at every start."""
    (plant / "rules" / "bad.yaml").write_text("cuases: {}\n")
    assert read(plant, cache=plant / "cache").problems == read(plant, cache=plant / "cache").problems != ()
    assert not (plant / "cache").exists()


def test_a_cache_that_cannot_be_written_is_no_fault(plant):
    """A file where the folder should be changes nothing."""
    (plant / "cache").write_text("in the way")
    assert read(plant, cache=plant / "cache").problems == ()
    assert (plant / "cache").read_text() == "in the way"


def test_two_writers_leave_one_whole_file(plant):
    """Processes that compile at the same moment all get the knowledge, and the last file is whole."""
    code = (
        "import sys; from pathlib import Path; from diagnose.knowledge.library import load;"
        f"p = Path({str(plant)!r}); sys.stdin.read();"
        "k = load(rules=p / 'rules', site=p / 'plant', cache=p / 'cache').knowledge; print(k.revision)"
    )
    writers = [
        subprocess.Popen([sys.executable, "-c", code], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
        for _ in range(3)
    ]
    for writer in writers:
        writer.stdin.close()
    revisions = {writer.stdout.read().strip() for writer in writers}
    for writer in writers:
        assert writer.wait() == 0
        writer.stdout.close()
    assert revisions == {read(plant).knowledge.revision}
    assert [file.suffix for file in (plant / "cache").iterdir()] == [".json"]


def test_old_cache_files_are_cleared_away(plant):
    """Eight are kept, however often the rules change."""
    for number in range(11):
        (plant / "rules" / "sample.yaml").write_text(f"{RULES}# {number}\n")
        read(plant, cache=plant / "cache")
    assert len(list((plant / "cache").iterdir())) == 8


def test_the_revision_does_not_depend_on_where_the_files_lie(plant):
    """A copy of rules and site in another folder has the same revision."""
    (plant / "copy").mkdir()
    for name in ("rules", "plant"):
        subprocess.run(["cp", "-r", str(plant / name), str(plant / "copy" / name)], check=True)
    assert read(plant / "copy").knowledge.revision == read(plant).knowledge.revision


def test_a_site_may_lie_in_a_folder_called_rules(plant):
    """Only folders of the site itself sort its files."""
    (plant / "plant").rename(plant / "rules-and-sites")
    (plant / "rules-and-sites").rename(plant / "machines")
    loaded = load(rules=plant / "rules", site=Path(plant / "machines"))
    assert loaded.problems == ()
    assert loaded.knowledge.site.title == "North plant"

"""Finds, reads and keeps the files of rules, sites and cases: the only reader of files below the edge."""

from __future__ import annotations

import contextlib
import os
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

import diagnose
from diagnose.knowledge.characters import LARGEST, decoded
from diagnose.knowledge.compiled import FORMAT, fingerprint
from diagnose.values.problem import DiagnoseError, Place, Problem

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from diagnose.knowledge.model import Case, Knowledge

__all__ = [
    "LibraryError",
    "Loaded",
    "demo_site",
    "load",
    "load_cases",
    "load_kept",
    "load_texts",
    "read_answers",
    "shipped_cases",
    "shipped_rules",
    "texts_to_keep",
]

_KEPT = 8  # compiled forms kept in the cache: some sites, some revisions


class LibraryError(DiagnoseError):
    """A folder that is missing, empty, not a folder or not readable."""


class Loaded(NamedTuple):
    """What loading gives. ``texts`` holds the files with problems in them by name, to show the lines; else nothing."""

    knowledge: Knowledge
    problems: tuple[Problem, ...]
    cases: tuple[Case, ...] = ()
    texts: Mapping[str, str] = {}


def shipped_rules() -> Path:
    """Give the folder of the shipped rules: in the installed package, or beside it in a checkout."""
    return _shipped("rules")


def shipped_cases() -> Path:
    """Give the folder of the shipped cases."""
    return _shipped("cases")


def demo_site() -> Path:
    """Give the folder of the demo site."""
    return shipped_cases() / "demo-site"


def load(
    *,
    rules: Path | None = None,
    site: Path | None = None,
    cases: bool = False,
    cache: Path | None = None,
    pure: bool = False,
) -> Loaded:
    """Load the shipped rules, or those in ``rules``, with a site laid over them; and, if wanted, all cases of both.

    Places name the shipped files ``rules/...`` and other files as their folder was given. Knowledge without a problem
    is kept in the folder ``cache``, where one is given, and taken from there while no file changes.
    ``pure`` selects the YAML parser in Python. Raises LibraryError when a folder cannot be used.
    """
    problems: list[Problem] = []
    shipped = _shipped_files(rules, problems)
    of_site = _site_files(site, problems) if site else {}
    key = _revision((str(rules or "rules"), shipped), (str(site), of_site))
    loaded = None if problems or cache is None else _from_cache(_cache_file(cache, key, rules, site))
    if loaded is None:
        loaded = _compile(shipped, of_site, problems, key, str(site or ""), pure=pure)
        if cache is not None and not loaded.problems:
            _keep(loaded.knowledge, _cache_file(cache, key, rules, site))
    return _with_cases(loaded, site, pure=pure) if cases else loaded


def load_texts(
    rules: Mapping[str, str], site: Mapping[str, str] | None = None, *, pure: bool = False
) -> tuple[Knowledge, tuple[Problem, ...]]:
    """Load from texts by file name. A site's files go by name: ``site.yaml``, ``machines/x.yaml``, ``rules/x.yaml``."""
    from diagnose.knowledge.build import knowledge_from, site_texts

    of_site = site or {}
    raw = [{name: text.encode("utf-8", "surrogatepass") for name, text in texts.items()} for texts in (rules, of_site)]
    return knowledge_from(rules, site_texts(of_site), _revision(("", raw[0]), ("", raw[1])), pure=pure)


def texts_to_keep(*, rules: Path | None = None, site: Path | None = None) -> dict[str, dict[str, str]]:
    """Give the texts that ``load`` reads, to be kept for ``load_kept``: those of ``rules`` and of the ``site``.

    They go by where they lie in their folder, as ``/bearings.yaml``. Raises LibraryError when a folder cannot be used.
    """
    problems: list[Problem] = []
    groups = {"rules": (str(rules or "rules"), _shipped_files(rules, problems))}
    groups["site"] = (str(site or ""), _site_files(site, problems) if site else {})
    return {
        group: {name[len(label) :]: (raw or b"").decode("utf-8", "surrogateescape") for name, raw in files.items()}
        for group, (label, files) in groups.items()
    }


def load_kept(texts: Mapping[str, Mapping[str, str]], *, pure: bool = False) -> Loaded:
    """Load what ``texts_to_keep`` gave: the same knowledge with the same revision, its places named by folder."""
    raw = {
        group: {name: text.encode("utf-8", "surrogateescape") for name, text in texts[group].items()} for group in texts
    }
    rules = {f"rules{name}": content for name, content in raw["rules"].items()}
    site = {f"site{name}": content for name, content in raw["site"].items()}
    return _compile(rules, site, [], _revision(("rules", rules), ("site", site)), "site", pure=pure)


def load_cases(
    paths: Iterable[Path], knowledge: Knowledge, *, pure: bool = False
) -> tuple[tuple[Case, ...], tuple[Problem, ...]]:
    """Load cases from files and folders; of a site's folder, its ``cases``. Raises LibraryError when one is missing."""
    from diagnose.knowledge.build import cases_from

    problems: list[Problem] = []
    texts: dict[str, str | None] = {}
    for path in paths:
        found = [(str(path), path)] if path.is_file() else list(_files(path, str(path), "cases folder", problems))
        texts |= _decoded(_contents((one for one in found if _may_be_case(one[1], path)), problems), problems)
    cases, faults = cases_from(texts, knowledge, pure=pure)
    return cases, tuple(sorted({*problems, *faults}))


def read_answers(path: Path) -> dict[str, Any]:
    """Read a file of answers given beforehand: any of machine, phase, reported, answers and others, all as text.

    Raises LibraryError for the first fault in it.
    """
    from diagnose.knowledge.build import answers_from

    if not path.is_file():
        raise LibraryError("There is no such file of answers.", where=str(path), mend="Check the path.")
    problems: list[Problem] = []
    text = _decoded(_contents([(str(path), path)], problems), problems)[str(path)]
    answers, faults = answers_from(text or "", str(path))
    for problem in (*problems, *faults):
        raise LibraryError(problem.says, where=str(problem.place), mend=problem.mend)
    return answers


def _revision(rules: tuple[str, Mapping[str, bytes | None]], site: tuple[str, Mapping[str, bytes | None]]) -> str:
    """Hash names and contents, wherever the two folders lie; each comes with the label that its files begin with."""
    groups = (("rules", *rules), ("site", *site))
    return fingerprint(
        (f"{group} {name[len(label) :]}", raw) for group, label, files in groups for name, raw in files.items()
    )


def _shipped(name: str) -> Path:
    package = Path(diagnose.__file__).parent
    installed = package / "shipped" / name
    return installed if installed.is_dir() else package.parent / name


def _shipped_files(rules: Path | None, problems: list[Problem]) -> dict[str, bytes | None]:
    folder = rules or shipped_rules()
    files = _contents(_files(folder, str(rules or "rules"), "rules folder", problems), problems)
    if not files and not problems:
        raise LibraryError("The rules folder holds no .yaml file.", where=str(folder))
    return files


def _site_files(site: Path, problems: list[Problem]) -> dict[str, bytes | None]:
    found = list(_files(site, str(site), "site", problems))
    own = [(name, path) for name, path in found if _is_of_site(path.relative_to(site))]
    if not own:
        mend = "A site has a site.yaml, and its machines in machines/."
        raise LibraryError("This folder is not a site.", where=str(site), mend=mend)
    return _contents(own, problems)


def _is_of_site(path: Path) -> bool:
    return path.parts[0] in ("rules", "machines", "site.yaml")


def _may_be_case(file: Path, given: Path) -> bool:
    """Tell a case from the files of a site that lies in the same folder."""
    if file == given:
        return True
    folder = file.parent
    while folder != given and not (folder / "site.yaml").exists():
        folder = folder.parent
    return not (folder / "site.yaml").exists() or file.relative_to(folder).parts[0] == "cases"


def _files(folder: Path, label: str, what: str, problems: list[Problem]) -> Iterator[tuple[str, Path]]:
    """Give the .yaml files of a folder and those below it, by name; each as it is called in places, and its path."""
    if not folder.exists():
        raise LibraryError(f"There is no such {what}.", where=str(folder), mend="Check the path.")
    if not folder.is_dir():
        raise LibraryError(f"This is a file; a {what} is wanted.", where=str(folder))
    for path in sorted(_walk(folder)):
        name = os.path.join(label, path.relative_to(folder))  # noqa: PTH118  the folder's name as it was given
        if path.suffix in (".yml", ".YAML", ".YML"):
            says = f"Files ending in {path.suffix} are not read."
            problems.append(Problem(Place(name, 1, 1), "file-ending", says, "Rename it to end in .yaml."))
        elif path.suffix == ".yaml":
            yield name, path


def _walk(folder: Path) -> Iterator[Path]:
    def refuse(error: OSError) -> None:
        raise LibraryError("This folder cannot be read.", where=str(error.filename), mend="Check its permissions.")

    for parent, folders, files in os.walk(folder, onerror=refuse):
        folders[:] = [name for name in folders if not name.startswith(".")]
        yield from (Path(parent, name) for name in files if not name.startswith("."))


def _contents(files: Iterable[tuple[str, Path]], problems: list[Problem]) -> dict[str, bytes | None]:
    """Read files; one that cannot be read is reported and None."""
    read: dict[str, bytes | None] = {}
    for name, path in files:
        with contextlib.suppress(OSError):
            read[name] = _content(path)
        if read.setdefault(name) is None:
            place = Place(name, 1, 1)
            problems.append(Problem(place, "unreadable-file", "The file cannot be read.", "Check its permissions."))
    return read


def _content(path: Path) -> bytes | None:
    """Read as much as a file may hold and one byte more; None for what is not a plain file, such as a pipe."""
    if not path.is_file():
        return None
    with path.open("rb") as file:
        return file.read(LARGEST + 1)


def _decoded(files: Mapping[str, bytes | None], problems: list[Problem]) -> dict[str, str | None]:
    return {name: None if raw is None else decoded(raw, name, problems) for name, raw in files.items()}


def _compile(
    shipped: Mapping[str, bytes | None],
    of_site: Mapping[str, bytes | None],
    problems: list[Problem],
    key: str,
    folder: str,
    *,
    pure: bool,
) -> Loaded:
    from diagnose.knowledge.build import knowledge_from, site_texts

    texts, site = _decoded(shipped, problems), _decoded(of_site, problems)
    knowledge, found = knowledge_from(texts, site_texts(site, folder), key, pure=pure)
    faults = tuple(sorted({*problems, *found}))
    with_faults = {problem.place.file for problem in faults}
    shown = {name: text for name, text in {**texts, **site}.items() if text is not None and name in with_faults}
    return Loaded(knowledge, faults, (), shown)


def _with_cases(loaded: Loaded, site: Path | None, *, pure: bool) -> Loaded:
    folders = [folder for folder in (shipped_cases(), site and site / "cases") if folder and folder.is_dir()]
    cases, faults = load_cases(dict.fromkeys(folders), loaded.knowledge, pure=pure)
    return loaded._replace(cases=cases, problems=tuple(sorted({*loaded.problems, *faults})))


def _cache_file(cache: Path, key: str, rules: Path | None, site: Path | None) -> Path:
    """Name the file for these contents, where they lie and what reads them: places name files as they were given."""
    version = f"{diagnose.__version__} {FORMAT} {rules} {site}".encode("utf-8", "surrogatepass")
    return cache / f"knowledge-{fingerprint([(key, version)])}.json"


def _from_cache(file: Path) -> Loaded | None:
    """Take knowledge from the cache; None when it is not there, damaged, or in another form."""
    from diagnose.knowledge.compiled import decode

    try:
        text = file.read_bytes()
    except OSError:
        return None
    knowledge = decode(text)
    return Loaded(knowledge, ()) if knowledge else None


def _keep(knowledge: Knowledge, file: Path) -> None:
    """Write the cache so that a reader sees the whole file or none; a cache that cannot be written is no fault."""
    import tempfile  # only when something was compiled

    from diagnose.knowledge.compiled import encode

    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(prefix="knowledge-", suffix=".part", dir=file.parent)
        try:
            with os.fdopen(handle, "wb") as part:
                part.write(encode(knowledge))
            Path(name).replace(file)
        except BaseException:
            Path(name).unlink(missing_ok=True)
            raise
        _prune(file.parent)
    except OSError:
        return


def _prune(cache: Path) -> None:
    newest_first = sorted(cache.glob("knowledge-*.json"), key=lambda file: -file.stat().st_mtime_ns)
    for old in newest_first[_KEPT:]:
        old.unlink(missing_ok=True)

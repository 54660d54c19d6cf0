"""Change one thing at a time in a room of the package and see whether the room's own tests notice.

    nice python -m tests.benchmarks.mutation belief --most 200 --seed 1 --survivors survivors.txt

The changes are those that mutation testers make: an operator or comparison for its neighbour, a condition negated, a
number moved by one, a constant or word replaced, a value lost, a statement left out. Annotations, decorators, texts of
errors and docstrings are left alone. Each changed module is run in a forked process; which ones are tried is drawn at
random by the seed, so that a part of them is a fair sample of all.
"""

from __future__ import annotations

import argparse
import ast
import copy
import importlib.abc
import importlib.util
import os
import resource
import sys
import time
from pathlib import Path
from random import Random
from typing import NamedTuple

import pytest
from hypothesis import Phase, settings

ROOT = Path(__file__).parents[2]
COMPARISONS = {
    ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq,
    ast.In: ast.NotIn, ast.NotIn: ast.In, ast.Is: ast.IsNot, ast.IsNot: ast.Is,
}  # fmt: skip
ARITHMETIC = {
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult, ast.FloorDiv: ast.Mult, ast.Mod: ast.Mult,
    ast.Pow: ast.Mult, ast.BitAnd: ast.BitOr, ast.BitOr: ast.BitAnd, ast.BitXor: ast.BitAnd, ast.LShift: ast.RShift,
    ast.RShift: ast.LShift,
}  # fmt: skip


class Mutant(NamedTuple):
    """One change: the module it is in, which one of the module's, at which line, and what it is."""

    module: str
    number: int
    line: int
    what: str


class Changer(ast.NodeTransformer):
    """Walks a module, lists every change that could be made, and makes the one with the number asked for."""

    def __init__(self, wanted: int = -1) -> None:
        self.wanted, self.found = wanted, []

    def visit(self, node):
        """Offer the changes of this node, then go into it unless one was made."""
        for what, changed in (*_operators(node), *_values(node), *_statements(node)):
            self.found.append((getattr(node, "lineno", 0), what))
            if len(self.found) - 1 == self.wanted:
                return ast.copy_location(changed, node)
        return self._inside(node)

    def _inside(self, node):
        match node:
            case ast.If(test=ast.Name(id="TYPE_CHECKING")) | ast.Import() | ast.ImportFrom() | ast.JoinedStr():
                return node
            case ast.Raise() | ast.arg():
                return node
            case ast.Assign(targets=[ast.Name(id=("__all__" | "__slots__"))]):
                return node
            case ast.Expr(value=ast.Constant()):
                return node
            case ast.AnnAssign():
                if node.value is not None:
                    node.value = self.visit(node.value)
                return node
            case ast.FunctionDef():
                node.args.defaults = [self.visit(one) for one in node.args.defaults]
                node.args.kw_defaults = [one and self.visit(one) for one in node.args.kw_defaults]
                node.body = [self.visit(one) for one in node.body]
                return node
            case ast.ClassDef():
                node.body = [self.visit(one) for one in node.body]
                return node
        return self.generic_visit(node)


def _operators(node):
    match node:
        case ast.Compare(ops=[op]) if type(op) in COMPARISONS:
            yield "comparison", _with(node, ops=[COMPARISONS[type(op)]()])
        case ast.BinOp(op=op) if type(op) in ARITHMETIC:
            yield "operator", _with(node, op=ARITHMETIC[type(op)]())
        case ast.AugAssign(op=op):
            yield "operator", _with(node, op=ARITHMETIC[type(op)]())
            yield "statement left out", ast.Pass()
        case ast.BoolOp(op=op):
            yield "and/or", _with(node, op=ast.Or() if isinstance(op, ast.And) else ast.And())
        case ast.UnaryOp(op=ast.Not(), operand=operand):
            yield "not left out", operand
        case ast.UnaryOp(op=ast.USub(), operand=operand):
            yield "sign", operand


def _values(node):
    match node:
        case ast.Constant(value=bool(value)):
            yield "constant", ast.Constant(value=not value)
        case ast.Constant(value=int(value) | float(value)):
            yield "number", ast.Constant(value=value + 1)
        case ast.Constant(value=str(value)):
            yield "word", ast.Constant(value=f"XX{value}XX")


def _statements(node):
    none = ast.Constant(value=None)
    match node:
        case ast.If() | ast.While() | ast.IfExp() if not _typing(node.test):
            yield "condition", _with(node, test=ast.UnaryOp(op=ast.Not(), operand=node.test))
        case ast.Break():
            yield "break", ast.Continue()
        case ast.Continue():
            yield "continue", ast.Break()
        case ast.Return(value=value) if value is not None and not _is_none(value):
            yield "nothing returned", ast.Return(value=none)
        case ast.Assign(value=value) if not _is_none(value) and not _declares(node):
            yield "value lost", _with(node, value=none)
        case ast.Expr(value=ast.Call() | ast.Yield() | ast.YieldFrom()):
            yield "statement left out", ast.Pass()


def _with(node, **fields):
    changed = copy.copy(node)
    for name, value in fields.items():
        setattr(changed, name, value)
    return changed


def _typing(test):
    return isinstance(test, ast.Name) and test.id == "TYPE_CHECKING"


def _is_none(value):
    return isinstance(value, ast.Constant) and value.value is None


def _declares(node):
    """Tell whether this names types or exports: nothing that runs."""
    first = node.targets[0]
    name = first.id if isinstance(first, ast.Name) else ""
    return name in ("__all__", "__slots__") or name[:1].isupper()


class Changed(importlib.abc.MetaPathFinder, importlib.abc.Loader):
    """Gives one module in its changed form to whoever imports it."""

    def __init__(self, name: str, code) -> None:
        self.name, self.code = name, code

    def find_spec(self, fullname, path=None, target=None):
        """Find that module only."""
        if fullname != self.name:
            return None
        return importlib.util.spec_from_loader(fullname, self, is_package=self.name.count(".") == 1)

    def exec_module(self, module):
        """Run the changed code as the module."""
        module.__file__ = str(_file(self.name))
        if self.name.count(".") == 1:
            module.__path__ = [str(_file(self.name).parent)]
        exec(self.code, module.__dict__)


def _file(module: str) -> Path:
    path = ROOT.joinpath(*module.split("."))
    return path / "__init__.py" if path.is_dir() else path.with_suffix(".py")


def mutants(room: str) -> list[Mutant]:
    """Return every change of a room's modules."""
    found = []
    for path in sorted((ROOT / "diagnose" / room).glob("*.py")):
        module = f"diagnose.{room}" if path.stem == "__init__" else f"diagnose.{room}.{path.stem}"
        changer = Changer()
        changer.visit(ast.parse(path.read_text(encoding="utf-8")))
        found += [Mutant(module, number, *one) for number, one in enumerate(changer.found)]
    return found


def passes(tests: list[str], mutant: Mutant | None, seconds: float) -> tuple[bool, float]:
    """Run tests with this change in a process of their own; return whether they pass, and the processor time."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime
    child = os.fork()
    if child == 0:
        _run(tests, mutant, seconds)
    _, status = os.waitpid(child, 0)
    return status == 0, resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime - before


def _run(tests: list[str], mutant: Mutant | None, seconds: float):
    try:
        silence = os.open(os.devnull, os.O_RDWR)
        for stream in (0, 1, 2):
            os.dup2(silence, stream)
        resource.setrlimit(resource.RLIMIT_CPU, (int(seconds), int(seconds) + 1))
        resource.setrlimit(resource.RLIMIT_AS, (4 << 30, 4 << 30))
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
        if mutant:
            tree = ast.parse(_file(mutant.module).read_text(encoding="utf-8"))
            tree = ast.fix_missing_locations(Changer(mutant.number).visit(tree))
            sys.meta_path.insert(0, Changed(mutant.module, compile(tree, str(_file(mutant.module)), "exec")))
        settings.register_profile(
            "once", phases=(Phase.explicit, Phase.generate), database=None, derandomize=True, deadline=None
        )
        settings.load_profile("once")  # a change that is noticed need not be made small
        quiet = ["-x", "-q", "-p", "no:cacheprovider", "-W", "ignore::pytest.PytestAssertRewriteWarning"]
        os._exit(int(pytest.main([*quiet, *tests])))
    except BaseException:  # noqa: BLE001 - whatever it is, the change was noticed
        os._exit(70)


def main() -> int:
    """Try the changes and print what share was noticed; survivors with their places."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("room", choices=("engine", "belief"))
    parser.add_argument("--most", type=int, default=10**6, help="try so many, drawn at random")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--module", default="", help="only this module of the room")
    parser.add_argument("--survivors", metavar="FILE", help="write each survivor there as it is found")
    parser.add_argument("--skip", action="append", default=["ten_thousand", "no_memory"], help="tests left out")
    given = parser.parse_args()
    os.chdir(ROOT)
    tests = [str(path) for path in sorted((ROOT / "tests" / given.room).glob("test_*.py"))]
    tests.sort(key=lambda name: ("properties" in name, "questioning" in name, "enumeration" in name))  # slow ones last
    tests += ["-k", " and ".join(f"not {one}" for one in given.skip)]
    well, took = passes(tests, None, 1000)
    if not well:
        print("The tests do not pass as it is.")
        return 1
    every = mutants(given.room)
    order = [one for one in every if given.module in ("", one.module.rpartition(".")[2])]
    Random(given.seed).shuffle(order)
    order, noticed, begun = order[: given.most], 0, time.perf_counter()
    print(f"{len(every)} changes in {given.room}, {len(order)} to try; unchanged tests take {took:.1f} s", flush=True)
    for tried, mutant in enumerate(order, 1):
        survived, _ = passes(tests, mutant, 3 * took + 5)
        noticed += not survived
        if survived:
            place = f"{_file(mutant.module).relative_to(ROOT)}:{mutant.line}: {mutant.what} (number {mutant.number})"
            print(place, flush=True)
            if given.survivors:
                with Path(given.survivors).open("a", encoding="utf-8") as file:
                    file.write(place + "\n")
        if tried % 50 == 0 or tried == len(order):
            share = noticed / tried
            print(f"{noticed} of {tried} noticed ({share:.1%}); {time.perf_counter() - begun:.0f} s", flush=True)
    return 0


if __name__ == "__main__":
    raise SystemExit(main())

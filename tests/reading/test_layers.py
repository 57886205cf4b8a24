"""Dependencies point one way, and the core needs no site generator."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

KB = Path(__file__).parent.parent.parent / "kb"

# Lowest first; the members of one layer know nothing of each other.
LAYERS = (
    ("kb.problems", "kb.wording", "kb.store"),
    ("kb.quantities",),
    ("kb.records",),
    ("kb.reading",),
    ("kb.shop",),
    ("kb.formulas", "kb.drawings"),
    ("kb.figures",),
    ("kb.captures",),
    ("kb.calculators",),
    ("kb.safety",),
    ("kb.diagnosis", "kb.fits"),
    ("kb.recompute", "kb.own_calculators"),
    ("kb.audience",),
    ("kb.search", "kb.moving"),
    ("kb.pages",),
    ("kb.adapters", "kb.handbook", "kb.fresh_site"),
    ("kb.shop_site",),
    ("kb.cli",),
    ("kb.entry",),
    ("kb.serving",),
)
RANK = {name: rank for rank, layer in enumerate(LAYERS) for name in layer}
PURE = {
    "kb.formulas",
    "kb.calculators",
    "kb.figures",
    "kb.drawings",
    "kb.safety",
    "kb.captures",
}
ALLOWED_TO_PURE = PURE | {"kb.problems", "kb.quantities"}
EXCEPTIONS = {
    ("kb.safety", "kb.records"): "the ids of the hazards are words of the record",
}
FOREIGN = ("mkdocs", "material", "halfsplit_mkdocs", "halfsplit_plain")


def subject(module: str) -> str:
    """The layer's member that a module belongs to: `kb.reading.tree` is of `kb.reading`."""
    return ".".join(module.split(".")[:2])


def modules() -> list[tuple[str, Path]]:
    return [
        (".".join(("kb", *path.relative_to(KB).with_suffix("").parts)).removesuffix(".__init__"), path)
        for path in sorted(KB.rglob("*.py"))
    ]


def imported(path: Path) -> Iterator[str]:
    """Every module a file imports, wherever in it, also where only a type checker looks."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path.name} imports by a relative name"
            if node.module == "kb":
                yield from (f"kb.{alias.name}" for alias in node.names)
            elif node.module:
                yield node.module


def uses() -> set[tuple[str, str]]:
    """(who, whom) between the members of the layers."""
    return {
        (subject(name), subject(target))
        for name, path in modules()
        for target in imported(path)
        if target.startswith("kb.") and name != "kb" and subject(name) != subject(target)
    }


def test_every_part_of_the_core_has_a_layer() -> None:
    assert {subject(name) for name, _ in modules()} - {"kb"} <= set(RANK)


@pytest.mark.parametrize(("who", "whom"), sorted(uses()))
def test_nothing_is_imported_from_above(who: str, whom: str) -> None:
    assert RANK[whom] < RANK[who] or (who, whom) in EXCEPTIONS


@pytest.mark.parametrize(("who", "whom"), sorted(pair for pair in uses() if pair[0] in PURE))
def test_pure_functions_know_nothing_of_records_or_shops(who: str, whom: str) -> None:
    assert whom in ALLOWED_TO_PURE or (who, whom) in EXCEPTIONS


def test_no_exception_outlives_its_reason() -> None:
    assert set(EXCEPTIONS) <= uses()


@pytest.mark.parametrize(
    ("name", "path"), modules(), ids=lambda value: value if isinstance(value, str) else ""
)
def test_no_module_of_the_core_names_the_site_generator(name: str, path: Path) -> None:
    assert not [target for target in imported(path) if target.split(".")[0] in FOREIGN], name


def test_the_whole_core_is_imported_without_the_site_generator() -> None:
    names = [name for name, _ in modules()]
    program = f"""
import importlib, sys
class Refuse:
    def find_spec(self, name, path=None, target=None):
        if name.split(".")[0] in {FOREIGN!r}:
            raise AssertionError("imported: " + name)
sys.meta_path.insert(0, Refuse())
for name in {names!r}:
    importlib.import_module(name)
loaded = sorted(name for name in sys.modules if name.split(".")[0] in {FOREIGN!r})
assert not loaded, loaded
try:
    importlib.import_module("mkdocs")
except AssertionError:
    print(len([name for name in sys.modules if name.split(".")[0] == "kb"]))
"""
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert int(done.stdout) >= len(names)


@pytest.mark.parametrize("name", ["kb.problems", "kb.quantities", "kb.records", "kb.reading", "kb.shop"])
def test_the_lower_layers_load_none_of_the_upper(name: str) -> None:
    program = f"import sys, {name}; print(*sorted(each for each in sys.modules if each.startswith('kb.')))"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    loaded = {subject(each) for each in done.stdout.split()}
    assert name in loaded
    assert all(RANK[each] <= RANK[name] for each in loaded)

"""The layers of the package: imports point down, never back, never in a circle, never around the audit."""

from __future__ import annotations

import ast
import graphlib
from collections.abc import Iterator, Mapping
from pathlib import Path

import pytest

import budgetbuild

PACKAGE = Path(budgetbuild.__file__).parent
Sources = Mapping[str, str]
"""Source text by module name."""

FRONT_END = frozenset({"openpyxl", "xlsxwriter", "python_calamine", "jinja2", "markdown", "nh3", "argparse"})
SOLVERS = frozenset({"pulp", "highspy"})

VALUE_MODULES = {
    "limits": "limits",
    "gauge": "items",
    "value": "items",
    "promotion": "items",
    "fresh": "items",
    "kinds": "items",
    "names": "items",
    "items": "items",
    "shop": "items",
}
"""Modules of `budgetbuild.catalogue` that every layer may know, and the layer that each belongs to."""
VALUES = frozenset({"faults", "limits", "items", "build"})
"""Layers that only name things."""
MAY_IMPORT: Mapping[str, frozenset[str]] = {
    "faults": frozenset(),
    "given": frozenset({"faults"}),
    "limits": frozenset(),
    "items": frozenset({"faults", "limits"}),
    "catalogue": frozenset({"faults", "given", "limits", "items"}),
    "build": frozenset({"faults", "limits", "items"}),
    "trade": VALUES,
    "program": VALUES | {"trade"},
    "curve": VALUES | {"trade", "program"},
    "audit": VALUES | {"trade", "catalogue"},
    "garbage": frozenset(),
    "parallel": frozenset({"faults", "garbage"}),
    "advice": VALUES | {"trade", "catalogue", "program", "audit", "curve", "parallel"},
    "counter": VALUES | {"advice", "parallel"},
    "fleet": VALUES | {"catalogue", "program", "curve", "audit", "advice", "counter", "report", "garbage", "package"},
    "pricelist": frozenset({"faults", "given", "limits", "items", "catalogue"}),
    "published": VALUES | {"given"},
    "report": VALUES | {"given", "catalogue", "pricelist", "package"},
    "quoting": VALUES | {"catalogue", "trade", "program", "audit", "advice", "package"},
    "planning": VALUES | {"catalogue", "trade", "program", "curve", "audit", "advice", "quoting", "package"},
    "pipeline": VALUES
    | {"catalogue", "trade", "program", "audit", "advice", "quoting", "planning", "parallel", "report", "package"},
    "cli": VALUES
    | {
        "catalogue",
        "trade",
        "program",
        "audit",
        "advice",
        "quoting",
        "planning",
        "pricelist",
        "published",
        "report",
        "pipeline",
        "counter",
        "fleet",
        "garbage",
        "parallel",
        "package",
    },
    "__main__": frozenset({"cli"}),
    "package": frozenset(),
}
"""For each layer, bottom to top, the layers that it may import beside its own; `package` is `budgetbuild` itself."""
MAY_NOT_USE: Mapping[str, frozenset[str]] = {
    "faults": FRONT_END | SOLVERS,
    "given": FRONT_END | SOLVERS,
    "limits": FRONT_END | SOLVERS,
    "items": FRONT_END | SOLVERS,
    "build": FRONT_END | SOLVERS,
    "trade": FRONT_END | SOLVERS,
    "program": FRONT_END,
    "curve": FRONT_END | SOLVERS,
    "audit": FRONT_END | SOLVERS,
    "advice": FRONT_END,
    "quoting": FRONT_END | SOLVERS,
    "planning": FRONT_END,
    "fleet": FRONT_END | SOLVERS,
    "catalogue": SOLVERS,
    "pricelist": FRONT_END | SOLVERS,
    "published": FRONT_END | SOLVERS,
    "report": SOLVERS | {"python_calamine"},
}
"""For each layer, the outside libraries that it must do without."""


def read_sources() -> dict[str, str]:
    """Every module of the package."""
    return {module_name(path): path.read_text("utf-8") for path in sorted(PACKAGE.rglob("*.py"))}


def module_name(path: Path) -> str:
    """Dotted name of a module's file."""
    parts = ("budgetbuild", *path.relative_to(PACKAGE).with_suffix("").parts)
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def layer_of(module: str) -> str:
    """The layer that a module belongs to.

    >>> layer_of("budgetbuild.trade.power"), layer_of("budgetbuild.catalogue.items"), layer_of("budgetbuild")
    ('trade', 'items', 'package')
    """
    parts = module.split(".")[1:]
    if parts[:1] == ["catalogue"] and parts[1:]:
        return VALUE_MODULES.get(parts[1], "catalogue")
    return parts[0] if parts else "package"


def imported_by(module: str, sources: Sources) -> Iterator[str]:
    """Names of the modules that a module imports; of our own, the module itself where a name is taken from it."""
    for node in ast.walk(ast.parse(sources[module])):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = node.module or ""
            for alias in node.names:
                submodule = f"{base}.{alias.name}"
                yield submodule if submodule in sources else base


def own_imports(module: str, sources: Sources) -> set[str]:
    """Modules of the package that a module imports."""
    return {name for name in imported_by(module, sources) if name.split(".")[0] == "budgetbuild"} - {module}


def arrows_back(sources: Sources) -> list[str]:
    """Imports that a layer may not have, each as `importer -> imported`."""
    return [
        f"{module} -> {target}"
        for module in sources
        for target in sorted(own_imports(module, sources))
        if layer_of(target) not in MAY_IMPORT[layer_of(module)] | {layer_of(module)}
    ]


def forbidden_libraries(sources: Sources) -> list[str]:
    """Outside libraries that a layer must do without, each as `importer -> library`."""
    return [
        f"{module} -> {library}"
        for module in sources
        for library in sorted({name.split(".")[0] for name in imported_by(module, sources)})
        if library in MAY_NOT_USE.get(layer_of(module), frozenset())
    ]


def check_no_circle(sources: Sources) -> None:
    """Raise `graphlib.CycleError` where modules import each other in a circle."""
    graphlib.TopologicalSorter({module: own_imports(module, sources) for module in sources}).prepare()


def test_every_module_has_a_layer() -> None:
    assert {layer_of(module) for module in read_sources()} <= set(MAY_IMPORT)


def test_no_import_points_back() -> None:
    assert arrows_back(read_sources()) == []


def test_modules_import_each_other_in_no_circle() -> None:
    check_no_circle(read_sources())


def test_no_layer_uses_a_library_that_is_not_its_own() -> None:
    assert forbidden_libraries(read_sources()) == []


def test_the_audit_never_reaches_the_program() -> None:
    sources = read_sources()
    reached: set[str] = set()
    waiting = {module for module in sources if layer_of(module) == "audit"}
    while waiting:
        module = waiting.pop()
        reached.add(module)
        waiting |= (own_imports(module, sources) & set(sources)) - reached
    assert "program" not in {layer_of(module) for module in reached}


@pytest.mark.parametrize(
    ("module", "line", "arrow"),
    [
        ("budgetbuild.trade.planted", "from budgetbuild.program.solve import solve", "budgetbuild.program.solve"),
        ("budgetbuild.trade.planted", "import budgetbuild.catalogue.read", "budgetbuild.catalogue.read"),
        ("budgetbuild.report.planted", "def f():\n    from budgetbuild.trade import power", "budgetbuild.trade"),
        ("budgetbuild.audit", "from budgetbuild.program import build", "budgetbuild.program"),
    ],
)
def test_a_planted_arrow_back_is_found(module: str, line: str, arrow: str) -> None:
    assert arrows_back({module: line}) == [f"{module} -> {arrow}"]


def test_a_planted_circle_is_found() -> None:
    with pytest.raises(graphlib.CycleError):
        check_no_circle(
            {
                "budgetbuild.trade.one": "from budgetbuild.trade import two",
                "budgetbuild.trade.two": "import budgetbuild.trade.one",
            }
        )


def test_a_planted_library_is_found() -> None:
    sources = {"budgetbuild.trade.planted": "import pulp.apis"}
    assert forbidden_libraries(sources) == ["budgetbuild.trade.planted -> pulp"]

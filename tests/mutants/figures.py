"""Wrong figures and wrong tables: every number and every entry that a module states outside its functions, changed.

Mutmut changes functions only, and much of the trade stands in constants: a conductivity, a ratio, which unit goes into
which opening.
"""

from __future__ import annotations

import ast
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

SHARE = 0.01
"""By how much a decimal figure is made wrong: about as finely as printed values of the trade tell figures apart."""


@dataclass(frozen=True, slots=True)
class Mutant:
    """A module with one figure or one entry of a table changed.

    Attributes:
        name: What the module calls the figure or table, the class before it where it is a default.
        was: The figure or entry as it stands.
        becomes: What takes its place; empty where an entry is left out.
        source: The whole module with the change.
    """

    name: str
    was: str
    becomes: str
    source: str


@dataclass(frozen=True, slots=True)
class Change:
    """One change of a syntax tree, not made yet."""

    was: str
    becomes: str
    make: Callable[[], None]


def figure_mutants(source: str) -> Iterator[Mutant]:
    """Every mutant of a module's figures and tables, from top to bottom.

    Whole numbers go up by one, others by 1 %, yes and no are swapped; entries of tables are left out one by one.

    >>> [(mutant.name, mutant.was, mutant.becomes) for mutant in figure_mutants("RUNS = {'front': 2, 'bass': 1}")]
    [('RUNS', "'front': 2", ''), ('RUNS', "'bass': 1", ''), ('RUNS', '2', '3'), ('RUNS', '1', '2')]
    """
    for index, _ in enumerate(_changes(ast.parse(source))):
        tree = ast.parse(source)
        name, change = _changes(tree)[index]
        change.make()
        yield Mutant(name, change.was, change.becomes, ast.unparse(tree))


def _changes(tree: ast.Module) -> list[tuple[str, Change]]:
    """Every change of what a module states, each with the name that it stands under."""
    return [(name, change) for name, value in _stated(tree.body) for node in ast.walk(value) for change in _of(node)]


def _stated(body: list[ast.stmt], owner: str = "") -> Iterator[tuple[str, ast.expr]]:
    """What a module, or a class in it, states by name; names of types aside."""
    for statement in body:
        if isinstance(statement, ast.ClassDef):
            yield from _stated(statement.body, f"{statement.name}.")
        elif isinstance(statement, ast.Assign) and not isinstance(statement.value, ast.Subscript):
            yield owner + ast.unparse(statement.targets[0]), statement.value
        elif isinstance(statement, ast.AnnAssign) and statement.value is not None:
            yield owner + ast.unparse(statement.target), statement.value


def _of(node: ast.AST) -> Iterator[Change]:
    """Every change of one node."""
    if isinstance(node, ast.Constant) and isinstance(node.value, int | float):
        other = wrong(node.value)
        yield Change(repr(node.value), repr(other), lambda: setattr(node, "value", other))
    elif isinstance(node, ast.Dict):
        yield from _without(node.keys, node.values)
    elif isinstance(node, ast.Set) or (isinstance(node, ast.Tuple) and not _figures_only(node)):
        yield from _without(node.elts)


def _figures_only(node: ast.Tuple) -> bool:
    """Whether a tuple is a record of figures, which has no entries to leave out."""
    return all(isinstance(entry, ast.Constant) for entry in node.elts)


def wrong(figure: float) -> float:
    """A figure that is not this one.

    >>> wrong(2), wrong(0.5), wrong(True)
    (3, 0.505, False)
    """
    if isinstance(figure, bool):
        return not figure
    return figure + 1 if isinstance(figure, int) else figure * (1 + SHARE)


def _without(*columns: Sequence[ast.expr | None]) -> Iterator[Change]:
    """A table without each of its entries; the columns of a table are shortened together."""
    for index, entry in enumerate(zip(*columns, strict=True)):

        def make(index: int = index) -> None:
            for column in columns:
                del column[index]  # type: ignore[attr-defined] # a tree's own list

        yield Change(": ".join(ast.unparse(cell) for cell in entry if cell), "", make)

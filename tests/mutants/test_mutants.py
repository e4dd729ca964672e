"""The breaking itself: that it breaks what it says, that its tests run, that its explanations are of this code."""

from __future__ import annotations

import ast
import re
from dataclasses import replace

import pytest

from tests.mutants.figures import figure_mutants
from tests.mutants.survivors import Survivor, explained, unexplained
from tests.mutants.workshop import ROOT, Broken

SOURCE = """\
Way = tuple[int, str]
RHO = 0.5
TAKES = {Opening.SINGLE: frozenset({1, Opening.FLOATING})}
CHOICES = (None, Mode.STEREO)
SHARES = (6, 12)


@dataclass
class Limits:
    allowed: bool = True
    most: int


def rule() -> float:
    return 3 * RHO
"""


def test_every_figure_and_entry_outside_functions_is_broken_once_and_nothing_else() -> None:
    assert [(mutant.name, mutant.was, mutant.becomes) for mutant in figure_mutants(SOURCE)] == [
        ("RHO", "0.5", "0.505"),
        ("TAKES", "Opening.SINGLE: frozenset({1, Opening.FLOATING})", ""),
        ("TAKES", "1", ""),
        ("TAKES", "Opening.FLOATING", ""),
        ("TAKES", "1", "2"),
        ("CHOICES", "None", ""),
        ("CHOICES", "Mode.STEREO", ""),
        ("SHARES", "6", "7"),
        ("SHARES", "12", "13"),
        ("Limits.allowed", "True", "False"),
    ]


def test_a_mutant_is_the_module_with_just_that_change() -> None:
    sound = ast.unparse(ast.parse(SOURCE)).splitlines()
    for mutant in figure_mutants(SOURCE):
        lines = mutant.source.splitlines()
        assert sum(one != other for one, other in zip(sound, lines, strict=True)) == 1


def test_only_what_nobody_noticed_and_nobody_explained_is_unexplained() -> None:
    known = explained()[0]
    lives = Broken(known.where, known.was, known.becomes, noticed=False)
    strange = replace(lives, becomes="something else")
    assert unexplained([lives, strange, replace(strange, noticed=True)]) == [strange]


@pytest.mark.parametrize("survivor", explained(), ids=lambda survivor: f"{survivor.where}: {survivor.becomes}")
def test_what_an_explanation_is_about_still_stands_in_the_code(survivor: Survivor) -> None:
    module, _, name = survivor.where.partition(".")[2].partition(".")
    path = ROOT / "budgetbuild" / survivor.where.partition(".")[0] / f"{module}.py"
    source = path.read_text("utf-8")
    figures = {(mutant.name, mutant.was, mutant.becomes) for mutant in figure_mutants(source)}
    function = re.search(rf"^def {re.escape(name)}\b.*?(?=^\S|\Z)", source, re.MULTILINE | re.DOTALL)
    assert survivor.was in function[0] if function else (name, survivor.was, survivor.becomes) in figures
    assert survivor.why.endswith(".")

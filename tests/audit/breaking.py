"""What a breakage is: one small change that spoils a sound system, and the rule that must refuse it."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, NamedTuple

from tests.audit.sound import Sound

if TYPE_CHECKING:
    from types import ModuleType

Spoil = Callable[[Sound], Sound | None]
"""Spoils a sound system; `None` where it has nothing to spoil in that way."""


class Breakage(NamedTuple):
    """One way of breaking a system and the rule that refuses it."""

    spoil: Spoil
    rule: str

    @property
    def kind(self) -> str:
        """What is wrong, in words."""
        return self.spoil.__name__.replace("_", " ")


def breaks(rule: str) -> Callable[[Spoil], Breakage]:
    """Make a breakage of a function: the rule must refuse what the function spoils."""
    return lambda spoil: Breakage(spoil, rule)


def breakages(*modules: ModuleType) -> list[Breakage]:
    """Every breakage of some modules, in the order in which they are written."""
    return [found for module in modules for found in vars(module).values() if isinstance(found, Breakage)]

"""Printed data held against data reckoned anew: what differs, place by place."""

from __future__ import annotations

from math import isclose
from typing import TYPE_CHECKING

from budgetbuild.build import Finding

if TYPE_CHECKING:
    from collections.abc import Sequence

Value = object
"""Anything that JSON can hold."""
AS_PRINTED = 1e-9
"""By how much, or which share of itself, a figure may differ: another machine's last binary digit."""
NOTHING = "nothing"
WORDS = frozenset({"rule", "limit", "source", "unit", "figure", "safety"})
"""Keys whose text another version of the tool may word otherwise."""
NAMES = ("sku", "rule", "code", "part", "location", "brief")
"""Keys by which an entry of a list is named."""
LONGEST = 60


class Held:
    """What came of holding a file against figures reckoned anew.

    Attributes:
        compared: How many single values were compared.
        findings: Those that differ.
    """

    def __init__(self, *, same_words: bool) -> None:
        """Nothing compared yet; texts that another version may word otherwise count if `same_words`."""
        self.compared = 0
        self.findings: list[Finding] = []
        self._same_words = same_words

    def hold(self, printed: Value, reckoned: Value, at: str, *, whole: bool = False) -> None:
        """Compare a printed value with what should stand there.

        Args:
            printed: As the file has it.
            reckoned: What the list says; of an object, the keys that follow from it.
            at: Place in the file.
            whole: Whether objects lack none of those keys; else only what both have is compared.
        """
        if isinstance(printed, dict) and isinstance(reckoned, dict):
            for key, value in reckoned.items():
                self._hold_key(printed, key, value, f"{at}.{key}" if at else key, whole=whole)
        elif isinstance(printed, list) and isinstance(reckoned, list):
            self._hold_list(printed, reckoned, at, whole=whole)
        else:
            self.compared += 1
            if not _alike(printed, reckoned):
                self.findings.append(Finding(at, shown(printed), shown(reckoned)))

    def _hold_key(self, printed: dict[str, Value], key: str, reckoned: Value, at: str, *, whole: bool) -> None:
        if key not in printed:
            if whole:
                self.findings.append(Finding(at, NOTHING, shown(reckoned)))
        elif self._same_words or key not in WORDS or not isinstance(reckoned, str | list):
            self.hold(printed[key], reckoned, at, whole=whole)

    def _hold_list(self, printed: Sequence[Value], reckoned: Sequence[Value], at: str, *, whole: bool) -> None:
        for number, (was, is_now) in enumerate(zip(printed, reckoned, strict=False)):
            self.hold(was, is_now, f"{at}[{number}]", whole=whole)
        for number, entry in enumerate(printed[len(reckoned) :], len(reckoned)):
            self.findings.append(Finding(f"{at}[{number}]", shown(entry), NOTHING))
        for number, entry in enumerate(reckoned[len(printed) :], len(printed)):
            self.findings.append(Finding(f"{at}[{number}]", NOTHING, shown(entry)))


def shown(value: Value) -> str:
    """A value as a message quotes it.

    >>> shown(None), shown(True), shown({"sku": "A-1", "quantity": 2}), shown("12.50")
    ('nothing', 'yes', 'an entry: A-1', '12.50')
    """
    if value is None:
        return NOTHING
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return f"a list of {len(value)}"
    if isinstance(value, dict):
        name = next((value[key] for key in NAMES if value.get(key)), None)
        return "an entry" if name is None else f"an entry: {shown(name)}"
    text = str(value)
    return text if len(text) <= LONGEST else f"{text[: LONGEST - 1]}…"


def _alike(printed: Value, reckoned: Value) -> bool:
    if isinstance(printed, bool) or isinstance(reckoned, bool):
        return printed is reckoned
    if isinstance(printed, int | float) and isinstance(reckoned, int | float):
        return isclose(printed, reckoned, rel_tol=AS_PRINTED, abs_tol=AS_PRINTED)
    return type(printed) is type(reckoned) and printed == reckoned

"""The rules that builds were checked against, each once, with the source that all its uses share."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from budgetbuild.build import Build, Check

VARIES = "by the parts and the vehicle"
"""Said of a limit that differs from build to build."""


@dataclass(frozen=True, slots=True)
class RuleRow:
    """A rule that was checked, and where it comes from."""

    rule: str
    limit: str
    source: str


def checked_rules(builds: Sequence[Build]) -> tuple[RuleRow, ...]:
    """Each rule once, in order of first use; what differs from build to build stands with the build's own checks."""
    checks: dict[tuple[str, str], list[Check]] = {}
    for build in builds:
        for check in build.audited.checks if build.audited else ():
            checks.setdefault((check.rule, check.unit), []).append(check)
    return tuple(
        RuleRow(rule, _common([f"{check.limit} {unit}".strip() for check in held]) or VARIES, _source(held))
        for (rule, unit), held in checks.items()
    )


def _common(texts: Sequence[str]) -> str:
    """The text where all are the same, else nothing."""
    return texts[0] if len(set(texts)) == 1 else ""


def _source(checks: Sequence[Check]) -> str:
    """The parts of a rule's source that all its uses share; all of them where they share none."""
    named = [check.source.split("; ") for check in checks]
    shared = [part for part in named[0] if all(part in parts for parts in named)]
    return "; ".join(shared or dict.fromkeys(part for parts in named for part in parts))

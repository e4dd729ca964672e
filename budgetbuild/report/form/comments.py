"""The comment on a column name: what belongs there, in which measure, and what a blank cell means."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.catalogue.problems import wanted
from budgetbuild.catalogue.schema import Kind
from budgetbuild.report.words.format import capital

if TYPE_CHECKING:
    from budgetbuild.catalogue.schema import Column
    from budgetbuild.report.words.voice import Voice

UNSAID = frozenset({Kind.TEXT, Kind.PROSE})
"""Kinds that say nothing of what belongs in a cell."""


def comment(column: Column, voice: Voice) -> str:
    """Help, measure and range, and what a blank cell means, a line each."""
    lines = [column.help]
    if column.kind not in UNSAID:
        lines.append(f"{capital(wanted(column))}.")
    if column.required:
        lines.append(voice.say("starter", "required"))
    elif column.blank:
        lines.append(voice.say("starter", "blank", meaning=column.blank))
    else:
        lines.append(voice.say("starter", "may-be-blank"))
    return "\n".join(lines)

"""What `build` asks of an upgrade path before it solves, and what it prints of one."""

from __future__ import annotations

import sys
from collections import Counter
from typing import TYPE_CHECKING

from budgetbuild.cli.console import print_table, tell
from budgetbuild.faults import Cell, Fault, UserInputError

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from budgetbuild.build import Ladder
    from budgetbuild.catalogue.shop import Brief, Tier
    from budgetbuild.report.words.voice import Voice

HEADINGS = ("brief", "upgrade path", "standing", "scores", "below own best", "spent", "put aside")
FEWEST = 2


def briefs_to_climb(chosen: Iterable[tuple[Tier, Brief]]) -> int:
    """How many briefs there are among these tiers and briefs.

    Raises:
        UserInputError: None of them is asked for in two tiers, so there is nowhere to climb.
    """
    tiers = Counter(brief.name for _, brief in chosen)
    if max(tiers.values(), default=0) < FEWEST:
        found = "every brief is asked for in one tier alone"
        expected = "a brief with at least two tiers to climb through"
        raise UserInputError(
            [Fault(Cell("--ladder"), "one-tier", found, expected, "add a tier, or ask for more of them")]
        )
    return len(tiers)


def print_ladders(found: Sequence[Ladder], voice: Voice) -> None:
    """The paths, one line a brief, and why there is none."""
    from budgetbuild.report.words.ladder import no_path, route, short_standing_of

    write = voice.notation
    rows = [
        (
            ladder.brief.name,
            route(ladder),
            short_standing_of(ladder, voice),
            ", ".join(write.points(step.build.score or 0) for step in ladder.steps),
            ", ".join(write.points(step.lost or 0) for step in ladder.steps),
            write.money(ladder.steps[-1].climbed.spent),
            write.money(ladder.steps[-1].climbed.lies_aside),
        )
        for ladder in found
        if ladder.steps
    ]
    if rows:
        print_table(HEADINGS, rows, right=(3, 4, 5, 6), to=sys.stdout)
    for ladder in found:
        if not ladder.steps:
            tell(f"{ladder.brief.name}: {no_path(ladder, voice)}")

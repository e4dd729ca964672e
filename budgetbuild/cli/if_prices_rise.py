"""What `build` prints of systems that hold if prices rise."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

from budgetbuild.cli.console import print_table, tell

if TYPE_CHECKING:
    from collections.abc import Sequence

    from budgetbuild.build import Certain
    from budgetbuild.report.words.voice import Voice

HEADINGS = ("tier", "brief", "if prices rise", "score", "costs points", "total today", "total then")


def print_certain(found: Sequence[Certain], voice: Voice) -> None:
    """The systems found, one line a tier and brief, and why there is none."""
    from budgetbuild.report.words.certain import row_name, verdict

    write = voice.notation
    rows = [
        (
            certain.today.tier.name,
            certain.today.brief.name,
            row_name(certain.last, voice),
            write.points(certain.last.build.score),
            write.points(certain.lost(certain.last) or 0),
            write.money(certain.last.build.total or 0),
            write.money(certain.last.dearest or 0),
        )
        for certain in found
        if certain.met and certain.last.build.score is not None
    ]
    if rows:
        print_table(HEADINGS, rows, right=(3, 4, 5, 6), to=sys.stdout)
    for certain in found:
        if not certain.met:
            tell(f"{certain.today.tier.name}, {certain.today.brief.name}: {verdict(certain, voice)}")

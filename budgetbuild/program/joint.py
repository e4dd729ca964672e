"""Several briefs decided together: their programs side by side, so that rows can bind one to another."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from budgetbuild.program.constraints import Row
from budgetbuild.program.program import Decisions, Program

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from budgetbuild.program.program import Terms


@dataclass(frozen=True)
class Joint(Decisions):
    """Programs side by side; further columns and rows come after theirs.

    Attributes:
        programs: Each with its own columns and rows.
        starts: Where the columns of each begin.
    """

    programs: tuple[Program, ...]
    starts: tuple[int, ...]

    def shifted(self, number: int, terms: Iterable[tuple[int, float]]) -> Terms:
        """Terms over one program's columns as terms over all columns."""
        return [(self.starts[number] + i, coefficient) for i, coefficient in terms]

    def own(self, number: int, chosen: Iterable[int]) -> tuple[int, ...]:
        """What is chosen of one program, as positions of its own columns."""
        start, count = self.starts[number], len(self.programs[number].columns)
        return tuple(i - start for i in chosen if start <= i < start + count)


def side_by_side(programs: Sequence[Program]) -> Joint:
    """The programs together, nothing yet binding one to another."""
    starts = tuple(sum(len(program.columns) for program in programs[:number]) for number in range(len(programs)))
    rows = tuple(
        Row(f"{row.name}_of_{number}", [(start + i, coefficient) for i, coefficient in row.terms], row.low, row.high)
        for number, (start, program) in enumerate(zip(starts, programs, strict=True))
        for row in program.rows
    )
    columns = tuple(column for program in programs for column in program.columns)
    return Joint(columns, rows, tuple(programs), starts)

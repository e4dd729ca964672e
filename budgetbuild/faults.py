"""What is wrong with a user's input, as values: where, what stands there, what was expected, how to mend it.

A user's mistake never raises on its own: it becomes a `Fault`, all faults are collected, and one
`UserInputError` carries them out of the stage that found them. A defect in our code raises as usual.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum


class Severity(StrEnum):
    """How much a fault matters."""

    FAULT = "fault"
    """Stops the run before anything is written."""
    WARNING = "warning"
    """Told to the user; the run goes on without the thing concerned."""
    NOTICE = "notice"
    """Told to the user; nothing is lost."""


@dataclass(frozen=True, slots=True, order=True)
class Cell:
    """A place in the user's file: sheet, row and column (both from 1; 0 = not known or the whole sheet/row).

    Attributes:
        file: Name of the file where it is another than the catalogue; in a text file, which has no sheets, rows are
            lines.
    """

    sheet: str = ""
    row: int = 0
    column: int = 0
    file: str = ""

    @property
    def address(self) -> str:
        """The address as a spreadsheet shows it: `F17`, `17:17` for a row, `` for a sheet or file.

        >>> Cell("Amplifiers", 17, 6).address
        'F17'
        >>> Cell("Amplifiers", 17).address
        '17:17'
        """
        if not self.row:
            return ""
        return f"{column_letters(self.column)}{self.row}" if self.column else f"{self.row}:{self.row}"

    @property
    def page(self) -> str:
        """The sheet, with the file that it stands in where that is another than the catalogue.

        >>> Cell("Week 12", 4, 2, "prices.xlsx").page, Cell("", 4, 2, "prices.csv").page, Cell("Amplifiers", 17).page
        ('prices.xlsx: Week 12', 'prices.csv', 'Amplifiers')
        """
        return ": ".join(name for name in (self.file, self.sheet) if name)

    def __str__(self) -> str:
        """Where it is, in a few words.

        >>> str(Cell("Week 12", 4, 2, "prices.xlsx")), str(Cell("", 4, 2, "prices.csv")), str(Cell("--budget"))
        ('prices.xlsx: Week 12!B4', 'prices.csv, line 4, column B', '--budget')
        """
        if self.file and not self.sheet and self.row:
            column = f", column {column_letters(self.column)}" if self.column else ""
            return f"{self.file}, line {self.row}{column}"
        return "!".join(part for part in (self.page, self.address) if part)


def column_letters(number: int) -> str:
    """Spreadsheet letters of a column counted from 1.

    >>> column_letters(1), column_letters(26), column_letters(27), column_letters(16384)
    ('A', 'Z', 'AA', 'XFD')
    """
    letters = ""
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong with the input.

    Attributes:
        at: Where it stands.
        code: Stable short name of the kind of fault, e.g. `not-a-number`.
        found: What stands there, as text.
        expected: What was expected, in words.
        mend: How to put it right, in words.
        severity: Whether it stops the run.
    """

    at: Cell
    code: str
    found: str
    expected: str
    mend: str
    severity: Severity = Severity.FAULT

    def __str__(self) -> str:
        return f"{self.at}  found {self.found}; expected {self.expected}; {self.mend}  [{self.code}]"


class UserInputError(Exception):
    """The input cannot be used; carries every fault found in the stage that raised it."""

    def __init__(self, faults: list[Fault]) -> None:
        super().__init__(f"{len(faults)} faults in the input")
        self.faults = faults


class SolverError(RuntimeError):
    """The solver is missing, failed, or is known or seen to answer wrongly; nothing may be published."""


class ProcessEndedError(RuntimeError):
    """A process that shared the work was ended from outside, as a system does where memory is short."""


@dataclass(slots=True)
class Collector:
    """Gathers faults of one stage."""

    faults: list[Fault] = field(default_factory=list)

    def add(
        self, at: Cell, code: str, found: object, expected: str, mend: str, severity: Severity = Severity.FAULT
    ) -> None:
        """Note one fault."""
        self.faults.append(Fault(at, code, str(found), expected, mend, severity))

    @property
    def stopping(self) -> bool:
        """True where at least one fault stops the run."""
        return any(f.severity is Severity.FAULT for f in self.faults)

    def stop_if_needed(self) -> None:
        """Raise `UserInputError` with everything gathered where one of the faults stops the run."""
        if self.stopping:
            raise UserInputError(self.faults)

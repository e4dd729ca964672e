"""What a declaration of a sheet is made of: kinds of columns, columns, sheets, and how names are matched."""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from enum import StrEnum


class Kind(StrEnum):
    """How the cells of a column are read."""

    TEXT = "text"
    """Any text; a whole number gives its digits."""
    PROSE = "prose"
    """A paragraph."""
    SKU = "SKU"
    """Text that names one product: leading zeros stay."""
    MONEY = "money"
    """An amount with at most two decimals, held in whole cents."""
    NUMBER = "number"
    WHOLE = "whole number"
    PERCENT = "percent"
    """A number that already counts in percent: 1, `1 %` and a percent-formatted 1 % are the same."""
    SHARE = "share"
    """A share of one: 0.05, `5 %` and a percent-formatted 5 % are the same."""
    YES_NO = "yes/no"
    CHOICE = "choice"
    """One word of a fixed list."""
    NAMES = "names"
    """Names separated by `;`."""
    AWG = "AWG"
    """A wire gauge: 8, `4 AWG`, `1/0`; 0 is held for 1/0, -1 for 2/0 and so on."""
    CURRENCY = "currency code"
    LOCALE = "language and country"
    """As in `en_GB`; a hyphen will do."""
    DATE = "date"


NUMERIC = frozenset({Kind.MONEY, Kind.NUMBER, Kind.WHOLE, Kind.PERCENT, Kind.SHARE})
"""Kinds whose cells hold a number, so that one text cell can show the column's decimal mark."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column of a sheet, or one row of the `Settings` sheet (then `header` is the row's label).

    Attributes:
        header: Name as a new workbook writes it.
        field: Name of the value in the item that the row becomes.
        help: One sentence for a cell comment and the documentation.
        unit: Unit that a cell may carry: one of those of `units.SPELLINGS`, or empty.
        required: Whether the column must be there and every row must fill it.
        positive: Whether the value must be greater than 0.
        low: Least value allowed, in the unit (a share counts as a share, a percent as a percent).
        high: Greatest value allowed.
        choices: Words of a `CHOICE`, as they are best written.
        synonyms: Other spellings of a choice, with the choice that each means.
        stand_ins: Words of a `NAMES` cell that stand for another name, or for none where that is empty.
        aliases: Other names under which the header may stand.
        blank: What a blank cell means, in words; empty where it means nothing is known or the column is required.
        assumed: The choice as which a blank cell is read, with a notice; the column itself must be there.
        rounded: Of `MONEY` that is never charged: amounts are rounded half up to a cent, as a formula leaves them.
        percent_from: Of a `PERCENT`: a bare number under this may be meant as a share, and is not guessed at.
        names_in: Field of the sheet whose names the cells hold, such as `vehicles`.
        example: What a cell may hold, as one would type it; the examples of all sheets make one small sound catalogue.
    """

    header: str
    field: str
    kind: Kind = Kind.TEXT
    help: str
    unit: str = ""
    required: bool = False
    positive: bool = False
    low: float | None = None
    high: float | None = None
    choices: tuple[StrEnum, ...] = ()
    synonyms: tuple[tuple[str, StrEnum], ...] = ()
    stand_ins: tuple[tuple[str, str], ...] = ()
    aliases: tuple[str, ...] = ()
    blank: str = ""
    assumed: StrEnum | None = None
    rounded: bool = False
    percent_from: float = 0
    names_in: str = ""
    example: str | float | None = None

    @property
    def keys(self) -> tuple[str, ...]:
        """Every name of the column, as names are matched."""
        return tuple(key(name) for name in (self.header, *self.aliases))

    @property
    def needs_header(self) -> bool:
        """Whether the column must be there."""
        return self.required or self.assumed is not None


class SheetKind(StrEnum):
    """What the rows of a sheet are."""

    PRODUCT = "products"
    LIST = "list"
    """One thing a row: a vehicle, a brief, a tier, a paragraph."""
    TABLE = "table"
    """Keyed values: labour, weights, settings."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One sheet of the catalogue workbook.

    Attributes:
        name: Name as a new workbook writes it.
        field: Attribute of `Catalogue` that holds its rows.
        kind: What its rows are.
        help: One sentence on what stands here.
        columns: In the order in which a new workbook writes them.
        required: Whether every catalogue has it; a product sheet is needed only where a brief needs it.
        aliases: Other names under which the sheet may stand.
        listed: Rows that a new workbook lists, a cell for each of the first columns; `None` = to be filled in.
        settings: Where each row is a value of its own: their declarations.
    """

    name: str
    field: str
    kind: SheetKind
    help: str
    columns: tuple[Column, ...]
    required: bool = False
    aliases: tuple[str, ...] = ()
    listed: tuple[tuple[str | float | None, ...], ...] = ()
    settings: tuple[Column, ...] = ()

    @property
    def keys(self) -> frozenset[str]:
        """Every name of the sheet, as names are matched, in the singular and the plural."""
        names = {key(name) for name in (self.name, *self.aliases)}
        return frozenset(form for name in names for form in (name, f"{name}s", name.removesuffix("s"))) | (
            {name.removesuffix("es") for name in names}
        )

    def column(self, field: str) -> Column:
        """The column that fills `field`.

        Raises:
            KeyError: No column does.
        """
        for column in self.columns:
            if column.field == field:
                return column
        raise KeyError(field)


EXAMPLE = "Example"
"""How texts begin that tell an example row from a shop's own, whatever their case."""


def is_example(value: object) -> bool:
    """Whether a text says of itself that it is an example.

    >>> is_example("EXAMPLE-01"), is_example("Exam set"), is_example(165)
    (True, False, False)
    """
    return isinstance(value, str) and value.casefold().startswith(EXAMPLE.casefold())


def key(name: str) -> str:
    r"""A sheet, column or choice name as names are matched: case, spaces and punctuation ignored.

    >>> key(" Pre-out\u00a0PAIRS: ") == key("pre out pairs")
    True
    >>> key("Door m²") == key("Door m2"), key("Min Ω") == key("Min ohm"), key("W @ 4 ohm") == key("W at 4 ohm")
    (True, True, True)
    """
    folded = unicodedata.normalize("NFKC", name).casefold().replace("ω", "ohm").replace("@", "at")
    return "".join(character for character in folded if character.isalnum())

"""The mapping file, in TOML: read whole, with every fault of it at once."""

from __future__ import annotations

import tomllib
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from budgetbuild.catalogue.columns import PRODUCT_SHEETS, SETTINGS
from budgetbuild.catalogue.names import fold
from budgetbuild.catalogue.parse import parse_cell
from budgetbuild.catalogue.parse_numbers import Hints
from budgetbuild.catalogue.problems import Problem, did_you_mean
from budgetbuild.catalogue.schema import NUMERIC, key
from budgetbuild.catalogue.settings import read_setting
from budgetbuild.faults import Cell, Collector, Fault, UserInputError
from budgetbuild.given import MEGABYTE, name_of, read_given, toml_trouble
from budgetbuild.pricelist.mapping import Group, Mapping, Prices, Take
from budgetbuild.pricelist.units import units_for

if TYPE_CHECKING:
    from pathlib import Path

    from budgetbuild.catalogue.cells import RawValue
    from budgetbuild.catalogue.schema import Column, Sheet

PARTS = ("list", "columns", "group")
LIST_WORDS = ("sheet", "currency", "prices", "tax", "decimal-mark")
GROUP_WORDS = ("sheet", "where", "containing", "columns")
TAKE_WORDS = ("column", "always", "words", "containing", "before", "after", "unit")
LARGEST = MEGABYTE
"""Bytes of a mapping file."""
LEFT_OUT = "none"
"""Sheet of a group whose rows are left out on purpose."""
NUMBER_PLACES = ("before", "after")
_MARKS = (",", ".")


def read_mapping(path: Path) -> Mapping:
    """Read a mapping file.

    Raises:
        UserInputError: With everything that is wrong with it.
    """
    try:
        written = tomllib.loads(read_given(path, "a mapping file", LARGEST).decode("utf-8-sig"))
    except (RecursionError, ValueError) as error:
        at, mend = Cell(file=name_of(path)), "mend the line; texts stand in quotation marks"
        raise UserInputError([Fault(at, "mapping", toml_trouble(error), "a file in TOML", mend)]) from error
    reader = _Reader(name_of(path))
    mapping = reader.mapping(written)
    reader.faults.stop_if_needed()
    return mapping


def _shown(found: object) -> str:
    """What stands in the file, for a message."""
    if isinstance(found, str):
        return f'"{found}"'
    if isinstance(found, bool):
        return str(found).lower()
    kinds = {type(None): "nothing", dict: "a table", list: "a list"}
    return kinds.get(type(found)) or str(found)


class _Reader:
    """Reads one file; what is wrong gathers in `faults`."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.faults = Collector()

    def at(self, place: str) -> Cell:
        """A place in the file."""
        return Cell(place, file=self.file)

    def _fault(self, place: str, found: object, expected: str, mend: str) -> None:
        self.faults.add(self.at(place), "mapping", _shown(found), expected, mend)

    def _known(self, place: str, written: dict[str, Any], words: tuple[str, ...]) -> None:
        """Words that mean nothing here."""
        for word in written:
            if word not in words:
                self._fault(place, word, f"one of {', '.join(words)}", did_you_mean(word, words))

    def _table(self, place: str, written: object) -> dict[str, Any]:
        """A table, or an empty one and a fault."""
        if isinstance(written, dict):
            return written
        self._fault(place, written, "a table of names and what they stand for", "write name = value below it")
        return {}

    def mapping(self, written: dict[str, Any]) -> Mapping:
        """The whole file."""
        self._known("the file", written, PARTS)
        facts = self._table("[list]", written.get("list", {}))
        self._known("[list]", facts, LIST_WORDS)
        every = self._table("[columns]", written.get("columns", {}))
        groups = written.get("group", [])
        if not isinstance(groups, list) or not groups:
            mend = "add a group for each kind of product, beginning with [[group]]"
            self._fault("[[group]]", None, "at least one group of rows", mend)
            groups = []
        self._check_every(every)
        prices, tax = self._prices(facts)
        return Mapping(
            file=self.file,
            sheet=self._text("[list] sheet", facts.get("sheet", "")),
            currency=self._currency(facts.get("currency", "EUR")),
            prices=prices,
            tax=tax,
            decimal_mark=self._mark(facts.get("decimal-mark")),
            groups=tuple(self._group(number, group, every) for number, group in enumerate(groups, start=1)),
        )

    def _text(self, place: str, written: object) -> str:
        if isinstance(written, str):
            return written.strip()
        self._fault(place, written, "a text", "put it in quotation marks")
        return ""

    def _currency(self, written: object) -> str:
        column = next(one for one in SETTINGS if one.field == "currency")
        code = parse_cell(self._text("[list] currency", written) or None, column, Hints())
        if isinstance(code, str):
            return code
        self._fault("[list] currency", written, "a currency code of three letters", "write it like EUR")
        return "EUR"

    def _mark(self, written: object) -> Any:  # noqa: ANN401 - one of two literals
        if written is None or written in _MARKS:
            return written
        self._fault("[list] decimal-mark", written, "a comma or a point", 'write "," or "."')
        return None

    def _prices(self, facts: dict[str, Any]) -> tuple[Prices, Decimal | None]:
        """Whether prices include tax, and the rate where they do not: neither is guessed."""
        place, written = "[list] prices", facts.get("prices") or None
        if written not in list(Prices):
            self._fault(place, written, " or ".join(f'"{word}"' for word in Prices), "say whether they include tax")
            return Prices.WITH_TAX, None
        prices = Prices(written)
        if prices is Prices.WITH_TAX:
            if facts.get("tax"):
                self._fault("[list] tax", facts["tax"], "nothing, for prices with tax stay as they are", "take it out")
            return prices, None
        return prices, self._tax(facts.get("tax"))

    def _tax(self, written: object) -> Decimal | None:
        column = next(one for one in SETTINGS if one.field == "tax_rate")
        raw = self._raw("[list] tax", written)
        found = read_setting(column.header, raw, column, Hints())[0]
        if isinstance(found, Decimal):
            return found
        expected = found.expected if isinstance(found, Problem) else "the rate that the prices lack"
        self._fault("[list] tax", written, expected, 'write it like "21 %"')
        return None

    def _check_every(self, every: dict[str, Any]) -> None:
        """A column for every sheet is one that some sheet has."""
        known = {name for sheet in PRODUCT_SHEETS for column in sheet.columns for name in column.keys}
        headers = {column.header for sheet in PRODUCT_SHEETS for column in sheet.columns}
        for name in every:
            if key(name) not in known:
                mend = did_you_mean(name, sorted(headers))
                self._fault("[columns]", name, "a column of the product sheets", mend)

    def _group(self, number: int, written: object, every: dict[str, Any]) -> Group:
        place = f"[[group]] {number}"
        group = self._table(place, written)
        self._known(place, group, GROUP_WORDS)
        name = self._text(f"{place} sheet", group.get("sheet", ""))
        sheet = self._sheet(place, name)
        where = self._conditions(f"{place} where", group.get("where", {}))
        containing = self._conditions(f"{place} containing", group.get("containing", {}))
        if not group.get("where") and not group.get("containing"):
            self._fault(place, None, "where or containing: which rows of the list", "say which rows belong to it")
        own = self._table(f"{place} columns", group.get("columns", {}))
        return Group(
            at=self.at(place),
            sheet=sheet,
            decided=bool(name),
            where=where,
            containing=containing,
            columns=self._columns(place, sheet, own, every) if sheet else {},
        )

    def _sheet(self, place: str, name: str) -> Sheet | None:
        """The product sheet of that name; none where the rows are left out or nobody has decided."""
        if not name or fold(name) == LEFT_OUT:
            return None
        found = next((sheet for sheet in PRODUCT_SHEETS if key(name) in sheet.keys), None)
        if found is None:
            names = [sheet.name for sheet in PRODUCT_SHEETS]
            mend = did_you_mean(name, names)
            self._fault(f"{place} sheet", name, f'a product sheet, or "{LEFT_OUT}" to leave the rows out', mend)
        return found

    def _conditions(self, place: str, written: object) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """Columns and words, folded; a single word may stand without brackets."""
        found = []
        for name, words in self._table(place, written).items():
            listed = words if isinstance(words, list) else [words]
            if not listed or any(not isinstance(word, str | int | float) or word == "" for word in listed):
                self._fault(f"{place} {name}", words, "words, in square brackets", 'write it like ["Coaxial", "Coax"]')
            found.append((name, tuple(fold(str(word)) for word in listed)))
        return tuple(found)

    def _columns(self, place: str, sheet: Sheet, own: dict[str, Any], every: dict[str, Any]) -> dict[str, Take]:
        """How the cells of a sheet are filled: as for every sheet, unless the group says otherwise."""
        found: dict[str, Take] = {}
        for name, written in every.items():
            column = _column(sheet, name)
            if column:
                found[column.field] = self._take(f"[columns] {name}", written, column)
        for name, written in own.items():
            column = _column(sheet, name)
            if column is None:
                mend = did_you_mean(name, [one.header for one in sheet.columns])
                self._fault(f"{place} columns", name, f"a column of {sheet.name}", mend)
            else:
                found[column.field] = self._take(f"{place} {name}", written, column)
        return {field: take for field, take in found.items() if take.column or take.always is not None}

    def _take(self, place: str, written: object, column: Column) -> Take:
        """How one cell is filled: a column's name, or a table that says more."""
        at = self.at(place)
        if isinstance(written, str):
            return Take(at=at, column=written.strip())
        table = self._table(place, written)
        if not table:
            return Take(at=at)
        self._known(place, table, TAKE_WORDS)
        take = Take(
            at=at,
            column=self._text(f"{place} column", table.get("column", "")),
            always=self._raw(f"{place} always", table.get("always")),
            words=self._translation(f"{place} words", table.get("words", {})),
            containing=self._translation(f"{place} containing", table.get("containing", {})),
            **{word: self._text(f"{place} {word}", table.get(word, "")) for word in ("before", "after", "unit")},
        )
        self._check_take(place, take, column)
        return take

    def _raw(self, place: str, written: object) -> RawValue:
        """A value as a cell of the list would hold it."""
        if written is None or isinstance(written, bool | float):
            return written
        if isinstance(written, int):
            return float(written)
        return self._text(place, written) or None

    def _translation(self, place: str, written: object) -> tuple[tuple[str, RawValue], ...]:
        return tuple((fold(word), self._raw(place, value)) for word, value in self._table(place, written).items())

    def _check_take(self, place: str, take: Take, column: Column) -> None:
        """The parts of a table go together."""
        if bool(take.column) == (take.always is not None):
            self._fault(place, "both or neither", "either column or always", "name the list's column, or one value")
        if take.unit and take.unit not in {*units_for(column.unit), column.unit}:
            known = units_for(column.unit)
            expected = f"one of {', '.join(known)}" if known else f"no unit: {column.header} has none to work out"
            mend = did_you_mean(take.unit, known) if known else "take it out"
            self._fault(f"{place} unit", take.unit, expected, mend)
        if (take.before or take.after) and (column.kind not in NUMERIC or take.containing):
            expected = "before and after for a column of numbers, and without containing"
            used = ", ".join(word for word in NUMBER_PLACES if getattr(take, word))
            self._fault(place, used, expected, "take it out")


def _column(sheet: Sheet, name: str) -> Column | None:
    """The column of that name."""
    return next((column for column in sheet.columns if key(name) in column.keys), None)

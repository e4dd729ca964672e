"""From a file to what was published, or to every fault that the file has."""

from __future__ import annotations

import json
from collections import Counter
from dataclasses import replace
from hashlib import sha256
from math import isfinite
from typing import TYPE_CHECKING, NoReturn

from budgetbuild.build import Published
from budgetbuild.faults import Cell, Collector, Fault, UserInputError
from budgetbuild.given import name_of, read_given
from budgetbuild.published.beside import published_beside
from budgetbuild.published.builds import published_build
from budgetbuild.published.fields import AGAIN, Place

if TYPE_CHECKING:
    from pathlib import Path

    from budgetbuild.published.fields import Json

VERSION = "1"
"""The version of the file's layout that can be read; within one version keys keep their meaning."""
NAME_IT = "name the results.json that was published"
MOST_DIGITS = 18
"""Of a whole number; more have no place in a guide, and no other program keeps them."""
NAMED_FIRST = f"{NAME_IT}; it is named first, and the price list after it"
PACKED = (b"PK", b"\xd0\xcf\x11\xe0")
"""How workbooks begin, new and old."""
LARGEST = 200_000_000
"""Bytes; a guide of a thousand systems takes a fifth of that."""


class NotJsonError(ValueError):
    """JSON that the standard allows or half allows, and that no value can be taken from without a guess."""


def read_published(path: Path) -> Published:
    """Read a data file that `budgetbuild build` wrote.

    Raises:
        UserInputError: With every fault of the file at once.
    """
    return read_document(path)[0]


def read_document(path: Path) -> tuple[Published, Json]:
    """Read a data file that `budgetbuild build` wrote, and keep all that stands in it.

    Raises:
        UserInputError: With every fault of the file at once.
    """
    content = _bytes_of(path)
    notes = Collector()
    document = _json(content, name_of(path))
    top = Place(document, "", name_of(path), notes)
    _right_version(top)
    notes.stop_if_needed()
    catalogue, tax = top.of("catalogue"), top.of("tax_rate")
    date, prices = catalogue.get("date"), top.get("prices_file")
    if prices and prices.null:
        prices = None
    found = Published(
        name=name_of(path),
        sha256=sha256(content).hexdigest(),
        version=top.of("tool").of("version").text(),
        catalogue=catalogue.of("name").text(),
        catalogue_sha256=catalogue.of("sha256").text(),
        catalogue_date=date.text() if date else "",
        currency=top.of("currency").text(empty=False),
        tax_rate=None if tax.null else tax.number(),
        builds=tuple(published_build(build) for build in top.of("builds").items()),
        beside=published_beside(top),
        prices="" if prices is None else prices.of("name").text(),
        prices_sha256="" if prices is None else prices.of("sha256").text(),
    )
    if not found.builds and not notes.faults:
        top.of("builds").refuse("nothing-published", "at least one system", "an empty list")
    notes.stop_if_needed()
    return found, document


def _bytes_of(path: Path) -> bytes:
    try:
        return read_given(path, "a results.json of budgetbuild build", LARGEST)
    except UserInputError as error:
        at = Cell(file=name_of(path))
        raise UserInputError(
            [replace(fault, at=at, mend=f"{NAME_IT}; {fault.mend}") for fault in error.faults]
        ) from None


def _json(content: bytes, name: str) -> Json:
    """The file as JSON: one reading of it, or a fault."""
    if content.startswith(PACKED):
        fault = Fault(Cell(file=name), "not-json", "a workbook or another packed file", "a results.json", NAMED_FIRST)
        raise UserInputError([fault])
    try:
        found: Json = json.loads(
            content.decode("utf-8-sig"),
            object_pairs_hook=_without_doubles,
            parse_constant=_no_number,
            parse_int=_whole,
            parse_float=_decimal,
        )
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        raise _refused(name, "not-json", "bytes that are no UTF-8 text", "JSON, as UTF-8 text", line) from error
    except json.JSONDecodeError as error:
        told = f"{error.msg[:1].lower()}{error.msg[1:]} (at character {error.colno} of the line)"
        raise _refused(name, "not-json", told, "JSON, whole and unbroken", error.lineno) from error
    except RecursionError as error:
        raise _refused(name, "not-json", "lists in lists without end", "a results.json of budgetbuild build") from error
    except ValueError as error:
        raise _refused(name, "not-json", str(error), "JSON that can be read in one way only") from error
    return found


def _without_doubles(pairs: list[tuple[str, Json]]) -> dict[str, Json]:
    found = dict(pairs)
    if len(found) < len(pairs):
        counts = Counter(key for key, _ in pairs)
        doubled = next(key for key, count in counts.items() if count > 1)
        raise NotJsonError(f'the key "{doubled}" twice in one object')
    return found


def _no_number(name: str) -> NoReturn:
    raise NotJsonError(f"{name[:MOST_DIGITS]}, which is no number")


def _whole(digits: str) -> int:
    if len(digits) > MOST_DIGITS:
        raise NotJsonError("a number with far too many digits")
    return int(digits)


def _decimal(written: str) -> float:
    number = float(written)
    return number if isfinite(number) else _no_number(written)


def _right_version(top: Place) -> None:
    """Refuse what some other program wrote, or a later version of this one."""
    if not isinstance(top.value, dict) or "builds" not in top.value or "version" not in top.value:
        top.refuse("not-results", "what budgetbuild build writes: an object with the keys version and builds")
        return
    version = top.of("version")
    if version.value != VERSION:
        version.refuse("other-version", f'"{VERSION}", the version that this budgetbuild reads')


def _refused(name: str, code: str, found: str, expected: str, line: int = 0) -> UserInputError:
    return UserInputError([Fault(Cell("", line, file=name), code, found, expected, AGAIN)])

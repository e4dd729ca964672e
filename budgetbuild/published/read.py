"""From a file to what was published, or to every fault that the file has."""

from __future__ import annotations

import json
from hashlib import sha256
from typing import TYPE_CHECKING

from budgetbuild.build import Published
from budgetbuild.faults import Cell, Collector, Fault, UserInputError
from budgetbuild.published.builds import published_build
from budgetbuild.published.fields import AGAIN, Place

if TYPE_CHECKING:
    from pathlib import Path

    from budgetbuild.published.fields import Json

VERSION = "1"
"""The version of the file's layout that can be read; within one version keys keep their meaning."""
NAME_IT = "name the results.json that was published"
LARGEST = 200_000_000
"""Bytes; a guide of a thousand systems takes a fifth of that."""


class NotJsonError(ValueError):
    """JSON that the standard allows or half allows, and that no value can be taken from without a guess."""


def read_published(path: Path) -> Published:
    """Read a data file that `budgetbuild build` wrote.

    Raises:
        UserInputError: With every fault of the file at once.
    """
    content = _bytes_of(path)
    notes = Collector()
    top = Place(_json(content, path.name), "", path.name, notes)
    _right_version(top)
    notes.stop_if_needed()
    catalogue, tax = top.of("catalogue"), top.of("tax_rate")
    date = catalogue.get("date")
    found = Published(
        name=path.name,
        sha256=sha256(content).hexdigest(),
        version=top.of("tool").of("version").text(),
        catalogue=catalogue.of("name").text(),
        catalogue_sha256=catalogue.of("sha256").text(),
        catalogue_date=date.text() if date else "",
        currency=top.of("currency").text(empty=False),
        tax_rate=None if tax.null else tax.number(),
        builds=tuple(published_build(build) for build in top.of("builds").items()),
    )
    if not found.builds and not notes.faults:
        top.of("builds").refuse("nothing-published", "at least one system", "an empty list")
    notes.stop_if_needed()
    return found


def _bytes_of(path: Path) -> bytes:
    try:
        content = path.read_bytes() if path.stat().st_size <= LARGEST else None
    except OSError as error:
        reason = error.strerror or str(error)
        fault = Fault(Cell(file=path.name), "cannot-read", f"{path} ({reason})", "a file that can be read", NAME_IT)
        raise UserInputError([fault]) from error
    if content is None:
        raise _refused(path.name, "too-large", f"more than {LARGEST:,} bytes", "a results.json of budgetbuild build")
    return content


def _json(content: bytes, name: str) -> Json:
    """The file as JSON: one reading of it, or a fault."""
    try:
        found: Json = json.loads(
            content.decode("utf-8-sig"), object_pairs_hook=_without_doubles, parse_constant=_no_number
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
        keys = [key for key, _ in pairs]
        doubled = next(key for key in keys if keys.count(key) > 1)
        raise NotJsonError(f'the key "{doubled}" twice in one object')
    return found


def _no_number(name: str) -> Json:
    raise NotJsonError(f"{name}, which is no number")


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

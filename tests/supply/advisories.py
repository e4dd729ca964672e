"""Known weaknesses of the libraries, kept here so that they can be looked up without a network.

`python -m tests.supply.advisories all.zip 2026-11-29` writes them anew, from the file of all advisories about PyPI that
https://osv.dev offers (bucket `osv-vulnerabilities`, `PyPI/all.zip`; its format: https://ossf.github.io/osv-schema/),
with the day on which it was fetched.
"""

from __future__ import annotations

import json
import sys
import zipfile
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from packaging.utils import canonicalize_name
from packaging.version import InvalidVersion, Version

from tests.supply.declared import EVERYTHING, ROOT, lock

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

KEPT = ROOT / "tests" / "data" / "advisories.json"
OSV = "OSV, https://osv.dev, all advisories about PyPI"


class Advisory(NamedTuple):
    """A range of versions with a weakness.

    Args:
        name: The library, normalised.
        id: What it is known as; https://osv.dev/vulnerability/ID tells of it.
        introduced: First version that has it.
        fixed: First version that has it no longer, or none.
        last: Last version that has it, where that is known instead.
    """

    name: str
    id: str
    introduced: str = "0"
    fixed: str = ""
    last: str = ""

    def affects(self, version: Version) -> bool:
        """Whether a version has it."""
        return (
            version >= Version(self.introduced)
            and not (self.fixed and version >= Version(self.fixed))
            and not (self.last and version > Version(self.last))
        )


def kept() -> tuple[frozenset[str], tuple[Advisory, ...]]:
    """Names that were looked up, and what was found."""
    data = json.loads(KEPT.read_text("utf-8"))
    return frozenset(data["looked up"]), tuple(Advisory(**row) for row in data["advisories"])


def told(records: Iterable[dict[str, Any]], names: Iterable[str]) -> list[Advisory]:
    """What records in the format of OSV tell of some libraries; withdrawn ones tell nothing."""
    wanted = set(names)
    found = {
        each
        for record in records
        if "withdrawn" not in record
        for affected in record.get("affected", ())
        if (package := affected.get("package", {})).get("ecosystem") == "PyPI"
        if (name := canonicalize_name(package["name"])) in wanted
        for each in _ranges(name, record["id"], affected)
    }
    return sorted(found)


def _ranges(name: str, known_as: str, affected: dict[str, Any]) -> Iterator[Advisory]:
    """One advisory for each time that a weakness came; without ranges, one for each version named."""
    ranges = [entry["events"] for entry in affected.get("ranges", ()) if entry["type"] == "ECOSYSTEM"]
    for events in ranges:
        yield from _spans(Advisory(name, known_as), events)
    if not ranges:
        named = filter(_is_version, affected.get("versions", ()))
        yield from (Advisory(name, known_as, version, last=version) for version in named)


def _spans(advisory: Advisory, events: list[dict[str, str]]) -> Iterator[Advisory]:
    """From each event that brings a weakness to the next one that ends it."""
    introduced = ""
    for event in sorted(events, key=lambda event: Version(next(iter(event.values())))):
        if "introduced" in event:
            introduced = event["introduced"]
        elif introduced:
            ended = {"fixed": event.get("fixed", ""), "last": event.get("last_affected", "")}
            yield advisory._replace(introduced=introduced, **ended)
            introduced = ""
    if introduced:
        yield advisory._replace(introduced=introduced)


def _is_version(text: str) -> bool:
    """Whether a release is numbered as releases are today, and could be locked."""
    try:
        Version(text)
    except InvalidVersion:
        return False
    return True


def write(found: Iterable[Advisory], names: Iterable[str], read: str, sources: list[str]) -> None:
    """Keep them, in the order of names, with the day on which they were read."""
    rows = [{key: value for key, value in each._asdict().items() if value} for each in sorted(found)]
    data = {"read": read, "sources": sources, "looked up": sorted(names), "advisories": rows}
    KEPT.write_text(json.dumps(data, indent=1) + "\n", "utf-8", newline="\n")


def main(archive: str, read: str) -> None:
    """Write the kept file anew from the archive."""
    names = list(lock(EVERYTHING))
    with zipfile.ZipFile(Path(archive)) as file:
        write(told((json.loads(file.read(name)) for name in file.namelist()), names), names, read, [OSV])


if __name__ == "__main__":
    main(*sys.argv[1:])

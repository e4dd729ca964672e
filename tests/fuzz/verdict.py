"""What a mutant must end in, whatever it is: no word of the package's own decides here.

Exit status 0, 2 or 3 (4 where a published file is held against a list); after 2 every fault told has a place and plain
words, and nothing is written; else everything is written, whole and well formed.
"""

from __future__ import annotations

import contextlib
import io
import json
import re
from dataclasses import dataclass
from html.parser import HTMLParser
from typing import TYPE_CHECKING, Any

from defusedxml.ElementTree import fromstring

from budgetbuild.cli import console
from budgetbuild.cli.main import main
from tests.fuzz.grid import unpacked

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from tests.fuzz.mutant import Mutant

KEPT = b"what stood here before"
PROGRAMMERS_WORDS = re.compile(
    r"Traceback|File \"|\b[A-Za-z_]*(?:Error|Exception|Warning)\b|\bErrno\b|\bNone\b|\bb'|\bb\"|object at 0x|<class"
    r"|\b(?:budgetbuild|openpyxl|calamine|zipfile|tomllib|json|re|sys)\.[a-z_]+[.(]|\bpanicked\b|\bnan\b|\bEOF\b"
)
"""What a practitioner should never have to read."""
BUILT = {"tiers.xlsx", "guide.md", "guide.html", "rundown.md", "pick_list.html", "results.json"}
RECHECKED = {"what_changed.html", "what_changed.md", "what_changed.xlsx", "recheck.json"}
EXPECTED = {"build": BUILT, "recheck": RECHECKED, "quote": {"quote.md"}}
"""What a command writes at least."""
ALLOWED = {"recheck": {0, 2, 4}, "verify": {0, 2, 4}}
WRITES_NOTHING = {"check", "verify"}
LONGEST_MESSAGE = 200_000
"""Characters; a table of 200 faults has some 60,000."""


@dataclass(frozen=True, slots=True)
class Ended:
    """How a command ended: its status and what it printed; of faults also their places, where they were seen."""

    status: int
    printed: str
    faults: tuple[Sequence[str], ...] = ()


def run_here(mutant: Mutant) -> Ended:
    """Run a mutant in this process; what escapes from the command is no status at all."""
    out, told = io.StringIO(), io.StringIO()
    rows: list[Sequence[str]] = []
    table = console.print_table

    def seen(headings: Sequence[str], some: Sequence[Sequence[str]], **how: Any) -> None:  # noqa: ANN401
        rows.extend(row for row in some if headings[1:2] == ("where",))
        table(headings, some, **how)

    console.print_table = seen  # type: ignore[assignment]
    try:
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(told):
            try:
                status = main(list(mutant.argv))
            except SystemExit as ended:
                status = int(ended.code or 0)
    finally:
        console.print_table = table
    return Ended(status, out.getvalue() + told.getvalue(), tuple(rows))


def prepare(folder: Path, *, kept: bool) -> dict[str, bytes]:
    """A folder to write into, with a file of earlier days in it, or none; everything that is there."""
    if kept:
        (folder / "out").mkdir(exist_ok=True)
        for name in ("tiers.xlsx", "results.json", "mine.txt"):
            (folder / "out" / name).write_bytes(KEPT)
    return standing(folder)


def standing(folder: Path) -> dict[str, bytes]:
    """Every file below a folder with its content, every folder and whatever else stands there."""
    return {
        str(path.relative_to(folder)): path.read_bytes() if path.is_file() and not path.is_symlink() else b""
        for path in sorted(folder.rglob("*"))
    }


def wrong(mutant: Mutant, ended: Ended, folder: Path, before: dict[str, bytes]) -> Iterator[str]:
    """What is wrong with how a mutant ended; nothing where all is well."""
    command = mutant.argv[0]
    if ended.status not in ALLOWED.get(command, {0, 2, 3}):
        yield f"exit status {ended.status}"
    words = PROGRAMMERS_WORDS.search(_messages(mutant, ended))
    if words:
        start = max(words.start() - 120, 0)
        yield f"a programmer's word: …{ended.printed[start : words.end() + 80]!r}"
    if len(ended.printed) > LONGEST_MESSAGE and "--json" not in mutant.argv:
        yield f"{len(ended.printed)} characters on the terminal"
    after = standing(folder)
    if ended.status == 2 or command in WRITES_NOTHING:
        yield from _unplaced(mutant, ended)
        yield from (f"{name} is other than before" for name in {*before, *after} if before.get(name) != after.get(name))
    elif ended.status in {0, 3, 4}:
        yield from _incomplete(mutant, before, after)


def _messages(mutant: Mutant, ended: Ended) -> str:
    """What is printed for people; file names and folders of the tests left out."""
    text = ended.printed
    if mutant.argv[0] == "import":
        text = text.replace("nan", "")  # What was typed into a mapping is quoted as it was typed.
    for word in mutant.argv:
        text = text.replace(word, "")
    return text


def _unplaced(mutant: Mutant, ended: Ended) -> Iterator[str]:
    """Faults without a place, or without words."""
    if ended.status == 2 and not ended.printed.strip():
        yield "not a word"
    if "--json" in mutant.argv and ended.printed.startswith("{"):
        for fault in strict(ended.printed)["faults"]:
            yield from _poor(
                mutant, (fault["sheet"] or fault["file"] or "", fault["found"], fault["expected"], fault["mend"])
            )
    for _, *row in ended.faults:
        yield from _poor(mutant, row)


def _poor(mutant: Mutant, row: Sequence[str]) -> Iterator[str]:
    where, found, expected, mend = row
    named = where.strip() or any(name[:60] in found for name in mutant.reads)
    if not (named and found.strip() and expected.strip() and mend.strip()):
        yield f"a fault without a place or words: {row!r}"


def _incomplete(mutant: Mutant, before: dict[str, bytes], after: dict[str, bytes]) -> Iterator[str]:
    """Outputs that are missing, torn, or not meant to be there."""
    new = {name for name in after if before.get(name) != after[name]}
    written = {name.removeprefix("out/") for name in new if name.startswith("out/")}
    yield from (f"{name} is missing" for name in EXPECTED.get(mutant.argv[0], set()) - written)
    stray = {name for name in new if not name.startswith(("out", "copy"))}
    yield from (f"{name} has no place there" for name in stray | {name for name in new if "budgetbuild-" in name})
    source = next((content for name, content in before.items() if name in mutant.reads), b"")
    for name in sorted(new):
        try:
            well_formed(name, after[name], source if name.startswith("copy/") else b"")
        except Exception as error:  # noqa: BLE001 - whatever a parser says, the file is not whole
            yield f"{name} is not whole: {error!r}"


def well_formed(name: str, content: bytes, source: bytes = b"") -> None:
    """Read a file as what its name says that it is; parts of a workbook that it was copied from may be as they were.

    Raises:
        Exception: It is not that.
    """
    ending = name.rpartition(".")[2]
    if ending == "json":
        strict(content.decode())
    elif ending in {"xlsx", "xlsm"}:
        parts, earlier = unpacked(content), set(unpacked(source).values()) if source else set()
        for title, part in parts.items():
            if title.endswith((".xml", ".rels")) and part not in earlier:
                fromstring(part)
    elif ending == "svg":
        fromstring(content)
    elif ending == "html":
        text = content.decode()
        HTMLParser().feed(text)
        assert text.rstrip().endswith("</html>")
    elif ending in {"md", "toml", "txt"}:
        assert "\0" not in content.decode()


def strict(text: str) -> Any:  # noqa: ANN401 - JSON
    """JSON in which every number is one."""

    def refuse(name: str) -> None:
        raise ValueError(f"{name} is no JSON")

    return json.loads(text, parse_constant=refuse)

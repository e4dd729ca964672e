"""The other files that commands read: price files, flat lists with their mapping, sentences, published results."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any

from budgetbuild.cli.main import main
from tests.catalogue.workbooks import sound_book
from tests.fuzz import in_cells, in_packages
from tests.fuzz.grid import Page, packed, pages_of, parts_of
from tests.fuzz.mutant import Mutant

if TYPE_CHECKING:
    from collections.abc import Callable
    from random import Random

PRICES = "SKU;Price;Stock;Active\nSP-1;59,90;3;yes\nAM-4;1.249,00;0;no\nPK-1;49;;\n"
LIST = "Art;Kind;Price;Ohm;Size;W\nS1;speaker;59,90;4;165;50\nS2;speaker;79,90;4;130;60\nX1;alarm;99,00;;;\n"
MAPPING = """\
[list]
currency = "EUR"
prices = "with tax"

[columns]
SKU = "Art"
Price = "Price"

[[group]]
sheet = "Speakers"
where = { Kind = ["speaker"] }
[group.columns]
Ohm = "Ohm"
"Size mm" = { column = "Size", unit = "mm" }
"RMS W" = "W"

[[group]]
sheet = "none"
where = { Kind = "alarm" }
"""
SENTENCES = """\
[guide]
title = "What to buy"
tier-best = ["{best} for {total}. {others}", "{best}: {score}, {budget}. {others}"]
"""
DEEP = 20_000
ODD_JSON: tuple[Any, ...] = (
    None,
    True,
    -1,
    0,
    10**400,
    1e308,
    1.5,
    "",
    "x" * 100_000,
    "1298.5",
    "-1.00",
    "999999999999.99",
    "\ud800",
    "\x1b[2J<script>",
    [],
    {},
    [[]],
    {"": None},
)
"""Values where others should be."""


@cache
def sound_catalogue() -> bytes:
    """The catalogue beside the spoilt file."""
    return packed(parts_of(pages_of(sound_book())))


@cache
def published() -> str:
    """What was published from it."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "prices.xlsx"
        path.write_bytes(sound_catalogue())
        assert main(["build", str(path), "--out", folder, "--counter", "none", "--quiet"]) == 0
        return (Path(folder) / "results.json").read_text("utf-8")


def reading_as(what: str, path: Path, folder: Path) -> Mutant:
    """The command that reads a file as one of the kinds that there are."""
    catalogue = folder / "sound.xlsx"
    catalogue.write_bytes(sound_catalogue())
    out = ("--out", str(folder / "out"))
    new, quote = ("--out", str(folder / "out" / "new.xlsx")), str(folder / "out" / "quote.md")
    (folder / "list.csv").write_text(LIST, "utf-8")
    (folder / "mapping.toml").write_text(MAPPING, "utf-8")
    commands = {
        "check": ("check", "--", str(path)),
        "build": ("build", "--counter", "none", "--quiet", *out, "--", str(path)),
        "--prices": ("check", str(catalogue), f"--prices={path}"),
        "results": ("recheck", "--quiet", *out, "--", str(path), str(catalogue)),
        "templates": ("quote", str(catalogue), "--budget", "650", "--out", quote, f"--templates={path}"),
        "verify": ("verify", "--", str(path), str(catalogue)),
        "mapping": ("import", *new, "--", str(folder / "list.csv"), str(path)),
        "list": ("import", *new, "--", str(path), str(folder / "mapping.toml")),
        "suggest": ("import", str(path), "--suggest", str(folder / "out" / "new.toml")),
    }
    return Mutant(commands[what], (path.name, "list.csv", "mapping.toml"))


def spoilt_text(chance: Random, text: str) -> bytes:
    """A text with something in it that should not be there, or in another encoding."""
    at, end = sorted(chance.choices(range(len(text)), k=2))
    mark = chance.choice(
        ('"', "'", ";", ",", "\t", "\0", "[", "]", "{", "}", "=", "\n", "\r", "é", "\x1b[2J", "\ufeff", "#", "")
    )
    changed = chance.choice(
        (
            text[:at] + mark + text[at:],
            text[:at] + mark + text[end:],
            text[:at],
            text[:at] + mark * chance.choice((3, 100_000)) + text[at:],
            text.replace(chance.choice("SKU;P5e=\n"), mark),
            text + text,
            text.replace("\n", chance.choice(("\r", "\r\n", "\n\n", ""))),
            text.replace(
                chance.choice(text.split()), chance.choice(("NaN", "inf", "9" * 5000, "1e999", "x" * 100_000))
            ),
            "".join(chance.sample(text.splitlines(keepends=True), text.count("\n"))),
        )
    )
    encoding = chance.choice(("utf-8", "utf-8", "utf-8", "utf-8-sig", "utf-16", "utf-32", "cp1252", "utf-7"))
    data = bytearray(changed.encode(encoding, "replace"))
    if chance.random() < 0.2 and data:
        data[chance.randrange(len(data))] = chance.randrange(256)
    return bytes(data)


def price_text(chance: Random, folder: Path) -> Mutant:
    """A price file as a text table."""
    path = folder / "fresh.csv"
    path.write_bytes(spoilt_text(chance, PRICES))
    return reading_as("--prices", path, folder)


def price_workbook(chance: Random, folder: Path) -> Mutant:
    """A price file as a workbook: spoilt cells or a spoilt package."""
    path = folder / "fresh.xlsx"
    if chance.random() < 0.5:
        path.write_bytes(
            chance.choice((in_packages.flipped, in_packages.part_changed, in_packages.other_kinds))(chance)
        )
    else:
        page = Page("Prices", [["SKU", "Price", "Stock"], ["SP-1", 59.9, 3.0], ["AM-4", 249.0, 1.0]])
        contents = chance.choice(list(in_cells.CONTENTS.values()))
        chance.choice(page.rows)[chance.randrange(3)] = chance.choice(contents)
        path.write_bytes(packed(parts_of([page])))
    return reading_as("--prices", path, folder)


def flat_list(chance: Random, folder: Path) -> Mutant:
    """A flat list, sorted by a sound mapping or asked what a mapping might be."""
    path = folder / "spoilt.csv"
    path.write_bytes(spoilt_text(chance, LIST))
    return reading_as(chance.choice(("list", "suggest")), path, folder)


def mapping(chance: Random, folder: Path) -> Mutant:
    """A mapping file."""
    path = folder / "spoilt.toml"
    path.write_bytes(f"a = {'[' * DEEP}".encode() if chance.random() < 0.05 else _spoilt_toml(chance, MAPPING))
    return reading_as("mapping", path, folder)


def sentences(chance: Random, folder: Path) -> Mutant:
    """A shop's own sentences."""
    own = folder / "own"
    own.mkdir()
    (own / "sentences.toml").write_bytes(
        f"a = {'[' * DEEP}".encode() if chance.random() < 0.05 else _spoilt_toml(chance, SENTENCES)
    )
    (folder / "sound.xlsx").write_bytes(sound_catalogue())
    out = ("--out", str(folder / "out" / "quote.md"), "--budget", "650", "--templates", str(own))
    return Mutant(("quote", str(folder / "sound.xlsx"), *out), ("sentences.toml",))


def _spoilt_toml(chance: Random, text: str) -> bytes:
    """A TOML file with a value of another type, or spoilt as any text."""
    if chance.random() < 0.5:
        return spoilt_text(chance, text)
    lines = text.splitlines()
    at = chance.choice([number for number, line in enumerate(lines) if "=" in line])
    odd = chance.choice(
        (
            "1",
            "-1e9",
            "nan",
            "inf",
            "true",
            "[]",
            "{}",
            '""',
            "1979-05-27",
            "[[1]]",
            "{ a = { b = 1 } }",
            '"{0!r:>{x}}"',
            '"\\u0000"',
            f'"{"x" * 100_000}"',
            "9" * 5000,
            '[""]',
            '"{title.__class__}"',
        )
    )
    lines[at] = f"{lines[at].partition('=')[0]}= {odd}"
    return "\n".join(lines).encode()


def results(chance: Random, folder: Path) -> Mutant:
    """A published data file: other values, other texts, or hostile JSON."""
    path = folder / "results.json"
    path.write_bytes(chance.choice((_odd_values, _odd_values, _spoilt_json))(chance))
    return reading_as(chance.choice(("results", "verify")), path, folder)


def _odd_values(chance: Random) -> bytes:
    """The file with a few values that are others, keys that are gone or new."""
    data = json.loads(published())
    for _ in range(chance.choice((1, 1, 2, 6))):
        inside, key = chance.choice([*_places(data)])
        if chance.random() < 0.2:
            del inside[key]
        else:
            inside[key] = chance.choice(ODD_JSON)
    return json.dumps(data).encode()


def _places(value: Any) -> Any:  # noqa: ANN401 - JSON
    """Every place of a value: what it is in, and its key there."""
    for key, inner in list(value.items() if isinstance(value, dict) else enumerate(value)):
        yield value, key
        if isinstance(inner, dict | list):
            yield from _places(inner)


def _spoilt_json(chance: Random) -> bytes:
    text = published()
    number = chance.choice(('"score": ', '"bound": ', '"tax_rate": ', '"quantity": ', '"ohm": ', '"figure": '))
    at = text.index(number) + len(number)
    odd = chance.choice(
        ("NaN", "Infinity", "-Infinity", "1e999", "-1e999", "9" * 5000, "9" * 400, "1E400", "00", "1e-400")
    )
    return chance.choice(
        (
            (text[:at] + odd + text[text.index(",", at) :]).encode(),
            ("[" * DEEP).encode(),
            ('{"builds":' * DEEP + "1" + "}" * DEEP).encode(),
            text.replace('"version"', '"version": "1", "version"', 1).encode(),
            text.encode("utf-16"),
            b"\xef\xbb\xbf" + text.encode(),
            text.encode()[: chance.randrange(len(text))],
            spoilt_text(chance, text),
            b"",
            b"null",
            b"[]",
            b'{"builds": [], "version": "1"}',
        )
    )


KINDS: dict[str, Callable[[Random, Path], Mutant]] = {
    "other: a price file as text": price_text,
    "other: a price file as a workbook": price_workbook,
    "other: a flat list": flat_list,
    "other: a mapping": mapping,
    "other: sentences": sentences,
    "other: published results": results,
    "other: published results, again": results,
}

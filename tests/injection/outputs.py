"""Every output of every command, of a plain list and of a hostile one: files by name, and what the terminal shows."""

from __future__ import annotations

import csv
import io
import json
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from tempfile import mkdtemp
from typing import TYPE_CHECKING

from budgetbuild.cli import main
from tests.injection.shop import hostile, plain, sentences, workbook

if TYPE_CHECKING:
    from collections.abc import Callable

COLUMNS = ("~:Art", "~:Maker", "~:What", "~:Kind", "~:Cash")
"""Of the flat list that is imported: number, brand, model, kind, price."""
FLAT = (("SP-1", "Coax", "59"), ("SP-2", "Set", "9"), ("HU-1", "One", "x"))
"""Its rows: number, model, price."""
DAY = "2026-11-02"
ODD_NAME = "=1+1 <b onclick=x>\x1b[31m{{7*7}}|[x](javascript:1)`\u202e&amp;.xlsx"
TURN = [0]
"""Which payload each text is inside of; a long run takes every turn."""


@dataclass(frozen=True, slots=True)
class Outputs:
    """What came of all commands.

    Attributes:
        folder: Where everything lies.
        dress: What became of a free text.
        files: Content by the path that tells command and name; names that follow from a product's count from 1.
        told: What stood on the terminal, by command.
        status: Exit status, by command.
    """

    folder: Path
    dress: Callable[[str], str]
    files: dict[str, bytes] = field(default_factory=dict)
    told: dict[str, str] = field(default_factory=dict)
    status: dict[str, int] = field(default_factory=dict)

    def run(self, name: str, *arguments: str) -> None:
        """Run a command and keep what it says, and what is in the folder of its name afterwards."""
        out, err = io.StringIO(), io.StringIO()
        with redirect_stdout(out), redirect_stderr(err):
            self.status[name] = main(arguments)
        self.told[name] = out.getvalue() + err.getvalue()
        for path in sorted((self.folder / name).rglob("*")):
            if path.is_file():
                self.files[path.relative_to(self.folder).as_posix()] = path.read_bytes()

    @property
    def listed(self) -> Path:
        """The price list, whose file has a hostile name too where its texts are hostile."""
        return self.folder / ("list.xlsx" if self.dress is plain else ODD_NAME)

    def place(self, name: str) -> str:
        """A place in the folder."""
        (self.folder / name).parent.mkdir(parents=True, exist_ok=True)
        return str(self.folder / name)


@cache
def tame() -> Outputs:
    """Of the plain list."""
    return made(plain, None)


def wild() -> Outputs:
    """Of the hostile one whose turn it is."""
    return at_turn(TURN[0])


@cache
def at_turn(turn: int) -> Outputs:
    """Of a hostile one."""
    return made(hostile(turn), turn)


def made(dress: Callable[[str], str], turn: int | None) -> Outputs:
    """Run everything."""
    found = Outputs(Path(mkdtemp(prefix="injection-")), dress)
    now = str(workbook(found.listed, dress))
    later = str(workbook(Path(found.place("later.xlsx")), dress, price=1.3))
    words = ("--templates", str(sentences(Path(found.place("words")), turn=turn)))
    prices = _prices(Path(found.place("prices.csv")), dress)
    odd = _prices(Path(found.place("odd.csv")), dress, odd=True)
    brief, tier = ("--brief", dress("~:Loud")), ("--tier", dress("~High"))
    asked = ("quote", now, "--budget", "1300", *brief, "--vehicle", dress("~:Kestrel Hatch"), "--date", DAY, *words)

    found.run("check", "check", now, "--prices", odd)
    found.run("check-json", "check", now, "--prices", odd, "--json")
    found.run("build", "build", now, "--out", found.place("build"), "--into-copy", found.place("build/copy.xlsx"),
              "--ladder", "--counter", "all", *words)  # fmt: skip
    none = ("--counter", "none", *words)
    found.run("build-json", "build", now, "--out", found.place("again"), "--json", "--tier", dress("~Low"), *none)
    fresh = ("--prices", prices, *tier, *brief, *none)
    found.run("build-prices", "build", now, "--out", found.place("build-prices"), *fresh)
    for ending in ("html", "md", "xlsx", "json"):
        found.run(f"quote-{ending}", *asked, "--out", found.place(f"quote-{ending}/quote.{ending}"),
                  "--pick-list", found.place(f"quote-{ending}/bay.html"))  # fmt: skip
    found.run("quote-stdout-json", *asked, "--json")
    found.run("quote-none", *asked[:2], "--budget", "90", *brief, *words)
    found.run("quote-unknown", *asked[:2], "--budget", "900", "--brief", dress("~:Lout"))
    for sku in ("~AM-1", "~CV-1"):
        found.run(f"why-{sku[1:]}", "why", now, dress(sku), *tier, *brief)
        found.run(f"why-{sku[1:]}-json", "why", now, dress(sku), *tier, *brief, "--json")
    found.run("counter", "counter", now, "--out", found.place("counter"), *words)
    for kind in ("pages", "data"):
        found.run(f"fleet-{kind}", "fleet", now, "--out", found.place(f"fleet-{kind}"), "--counter", kind, "--workers",
                  "1")  # fmt: skip
    published = str(found.folder / "build" / "results.json")
    found.run("recheck", "recheck", published, later, "--out", found.place("recheck"), *words)
    found.run("recheck-json", "recheck", published, later, "--out", found.place("recheck-2"), "--json", *words)
    found.run("verify", "verify", published, now, "--json")
    found.run("verify-other", "verify", published, later)
    _imported(found)
    _broken(found)
    return found


def _prices(path: Path, dress: Callable[[str], str], *, odd: bool = False) -> str:
    """A price file that knows two products, and one that the list does not; an odd one has a text for a price."""
    rows = [["SKU", "Price", "Stock"], [dress("~AM-1"), "129", "0"], [dress("~HU-1").upper(), "139", "3"],
            [dress("~AM-9"), "10", "1"]]  # fmt: skip
    rows += [[dress("~SW-1"), dress("~cheap"), "1"]] if odd else []
    return str(_table(path, rows))


def _table(path: Path, rows: list[list[str]]) -> Path:
    text = io.StringIO(newline="")
    csv.writer(text, quoting=csv.QUOTE_ALL).writerows(rows)
    path.write_text(text.getvalue(), "utf-8", newline="")
    return path


def _imported(found: Outputs) -> None:
    """A flat list under names of its own, its suggested mapping, and the workbook that a mapping makes of it."""
    heads = [" ".join(found.dress(name).split()) for name in COLUMNS]
    kinds = [found.dress("~speaker kind"), found.dress("~no kind")]
    rows = [
        [found.dress(f"~{sku}"), found.dress("~Alva"), found.dress(f"~{name}"), kinds[number % 2], price]
        for number, (sku, name, price) in enumerate(FLAT)
    ]
    flat = str(_table(Path(found.place("flat.csv")), [heads, *rows]))
    found.run("suggest", "import", flat, "--suggest", found.place("suggest/mapping.toml"))
    art, maker, what, kind, cash = map(json.dumps, heads)
    Path(found.place("mapping.toml")).write_text(
        f'[list]\nprices = "with tax"\n[columns]\nSKU = {art}\nBrand = {maker}\nModel = {what}\nPrice = {cash}\n'
        f'[[group]]\nsheet = "Speakers"\nwhere = {{ {kind} = {json.dumps(kinds[0])} }}\n',
        "utf-8",
    )
    asked = ("import", flat, str(found.folder / "mapping.toml"), "--out")
    found.run("import-refused", *asked, found.place("no/list.xlsx"))
    found.run("import", *asked, found.place("import/list.xlsx"), "--leave-blank")


def _broken(found: Outputs) -> None:
    """A list in which texts stand where figures or words of the tool belong."""
    path = workbook(Path(found.place("broken.xlsx")), found.dress, broken=True)
    found.run("broken", "check", str(path))
    found.run("broken-json", "check", str(path), "--json")
    found.run("broken-build", "build", str(path), "--out", found.place("never"))

"""The same outputs, byte for byte, whatever differs around the tool; and what is bound to differ, differs alone."""

from __future__ import annotations

import io
import re
import shutil
import zipfile
import zlib
from dataclasses import replace
from importlib.metadata import version
from typing import TYPE_CHECKING

import pytest

from budgetbuild.cli import main
from tests.bytes.shop import Shop
from tests.bytes.surroundings import ORDINARY, Surroundings, differing, manifest, outputs

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from pathlib import Path

LETTERS = {"quote.html", "quote.md"}
"""The files with a date of their own: what a customer is quoted on a day."""
PRINTED = ("build", "--counter", "none", "--pdf")
SAMPLE = ("build", "--counter", "none")
ENDED = {"build": 3, "recheck": 4}
"""Exit status where something is not so: several vehicles have no upgrade path; what is published cost less."""

ELSEWHERE = Surroundings(
    {"PYTHONHASHSEED": "4711", "TZ": "Pacific/Kiritimati", "HOME": "/nowhere", "USER": "someone", "COLUMNS": "40"},
    umask=0o077,
    folder="Lists of today/über, 'quoted' & co",
    inside=True,
    workers=2,
)
"""The other side of the date line, another user, another folder, several processes."""


def test_every_output_is_the_same_elsewhere(shop: Shop, ordinary: dict[str, bytes], tmp_path: Path) -> None:
    assert differing(manifest(ordinary), manifest(outputs(shop, ELSEWHERE, tmp_path))) == set()


def test_every_command_did_what_it_should(ordinary: dict[str, bytes]) -> None:
    """Or the same bytes would be those of the same refusals."""
    ended = re.findall(r"^== ([\w-]+) (\d+)$", ordinary["terminal"].decode(), re.MULTILINE)
    assert len(ended) == 13
    assert {name: int(status) for name, status in ended if status != "0"} == ENDED
    assert {"build/tiers.xlsx", "copy.xlsx", "fleet/fleet.parquet", "recheck/recheck.json", "mapping.toml"} <= set(
        ordinary
    )
    assert {f"quote.{ending}" for ending in ("html", "md", "xlsx", "json")} <= set(ordinary)
    guide = ordinary["build/guide.md"].decode()
    assert all(words in guide for words in ("If prices rise", "Climbing from", "Promotion: Spring", "2 of 2 vehicles"))


def test_another_day_changes_the_quote_alone(shop: Shop, ordinary: dict[str, bytes], tmp_path: Path) -> None:
    """Which also shows that a difference is seen."""
    later = replace(ORDINARY, variables={**ORDINARY.variables, "SOURCE_DATE_EPOCH": "1827187200"})
    assert differing(manifest(ordinary), manifest(outputs(shop, later, tmp_path))) == LETTERS


def test_other_compression_packs_the_same_parts(
    shop: Shop, ordinary: dict[str, bytes], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Python may come with another compression library; no other output may follow from how workbooks are packed."""
    packer = zlib.compressobj
    monkeypatch.setattr(zlib, "compressobj", lambda _level=-1, *rest: packer(1, *rest))
    catalogue, out = shutil.copy(shop.catalogue, tmp_path), str(tmp_path / "build")
    assert main(["starter", str(tmp_path / "starter.xlsx")]) == 0
    words = ["build", str(catalogue), "--out", out, "--rising", "1", "--ladder"]
    assert main([*words, "--into-copy", str(tmp_path / "copy.xlsx")]) == ENDED["build"]
    books = {"starter.xlsx", "copy.xlsx", "build/tiers.xlsx"}
    for name in (name for name in ordinary if name in books or name.startswith("build/")):
        packed = (tmp_path / name).read_bytes()
        assert parts(packed) == parts(ordinary[name]), name
        assert (packed != ordinary[name]) == (name in books), name


def parts(content: bytes) -> Mapping[str, bytes]:
    """What is packed into a file, or the file itself."""
    if not content.startswith(b"PK"):
        return {"": content}
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        return {f"{place}. {name}": archive.read(name) for place, name in enumerate(archive.namelist())}


def as_ascii(files: Mapping[str, bytes]) -> dict[str, bytes]:
    """The same where a terminal takes ASCII alone: a question mark for every other letter."""
    return {
        name: content.decode().encode("ascii", "replace") if name.startswith("terminal") else content
        for name, content in files.items()
    }


FAKED = ("faketime", "2028-02-29 12:00:00")
ONE_PROCESSOR = ("taskset", "--cpu-list", "0")
MATRIX: dict[str, tuple[Surroundings, Callable[[Mapping[str, bytes]], dict[str, bytes]]]] = {
    "nothing is set": (Surroundings({}, before=ONE_PROCESSOR), dict),
    "numbers have a comma": (Surroundings({"LC_ALL": "tr_TR.UTF-8", "PYTHONOPTIMIZE": "2"}), dict),
    "one reads from right to left": (
        Surroundings({"LC_ALL": "ps_AF.UTF-8", "TZ": "Asia/Kabul", "PYTHONIOENCODING": "ascii"}),
        as_ascii,
    ),
    "all is ASCII": (
        Surroundings({"LC_ALL": "C", "PYTHONCOERCECLOCALE": "0", "PYTHONUTF8": "0"}, umask=0o077, workers=2),
        as_ascii,
    ),
    "it is a leap day": (Surroundings({"TZ": "America/St_Johns"}, before=FAKED, workers=2), dict),
}
"""Surroundings, and what ordinary outputs become in them; strings are hashed by chance in each."""


@pytest.mark.slow
@pytest.mark.parametrize("name", MATRIX)
def test_every_output_is_the_same_where(
    name: str, shop: Shop, ordinary: dict[str, bytes], locales: Path, tmp_path: Path
) -> None:
    around, expected = MATRIX[name]
    there = replace(around, variables={"LOCPATH": str(locales), **around.variables})
    assert differing(manifest(expected(ordinary)), manifest(outputs(shop, there, tmp_path))) == set()


@pytest.mark.slow
def test_without_a_date_given_the_day_changes_the_quote_alone(
    shop: Shop, ordinary: dict[str, bytes], tmp_path: Path
) -> None:
    that_day = replace(ORDINARY, variables={**ORDINARY.variables, "SOURCE_DATE_EPOCH": ""}, before=FAKED)
    found = outputs(shop, that_day, tmp_path)
    assert differing(manifest(ordinary), manifest(found)) == LETTERS
    assert "29\\. Februar 2028" in found["quote.md"].decode()


@pytest.mark.packaging
def test_another_python_with_the_same_libraries_writes_the_same_bytes(
    shop: Shop, ordinary: dict[str, bytes], other_python: Path, repository: Path, sample_workbook: Path, tmp_path: Path
) -> None:
    others = {name: number for name, number in locked(repository).items() if version(name) != number}
    assert others == {}, "this environment is not that of .ci/run-time.txt, so bytes may differ for that alone"
    there = Surroundings({"PYTHONHASHSEED": "5"}, python=other_python, workers=2)
    assert differing(manifest(ordinary), manifest(outputs(shop, there, tmp_path / "tiny"))) == set()
    sample = Shop(sample_workbook, shop.fresh)
    here = manifest(outputs(sample, ORDINARY, tmp_path / "here", *SAMPLE))
    assert differing(here, manifest(outputs(sample, there, tmp_path / "there", *SAMPLE))) == set()


def locked(repository: Path) -> dict[str, str]:
    """Versions of the libraries that bear on outputs, by name: those that this Python has too."""
    lines = (repository / ".ci" / "run-time.txt").read_text("utf-8")
    return dict(re.findall(r"^([\w-]+)==(\S+)", lines, re.MULTILINE))


@pytest.mark.browser
def test_a_printed_guide_is_the_same_elsewhere(shop: Shop, tmp_path: Path) -> None:
    """But for a faked clock, which a browser does not live with: the time of printing is taken out."""
    here = outputs(shop, ORDINARY, tmp_path / "here", *PRINTED)
    there = outputs(shop, ELSEWHERE, tmp_path / "there", *PRINTED)
    assert "build/guide.pdf" in here
    assert differing(manifest(here), manifest(there)) == set()

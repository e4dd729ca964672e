"""Every command that writes, one after another, or one build: `every_command.py CATALOGUE FRESH OUT WORKERS [WORDS]`.

A script of its own, for another Python has only the installed package and its libraries, and none of the tests.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

from budgetbuild import pipeline
from budgetbuild.cli import main

if TYPE_CHECKING:
    from collections.abc import Iterator

QUOTES = ("html", "md", "xlsx", "json")


def commands(catalogue: str, fresh: str, out: Path, workers: str) -> Iterator[list[str]]:
    """Words of each command; all but the last two write files."""

    def at(name: str) -> str:
        return str(out / name)

    yield ["starter", at("starter.xlsx")]
    yield ["import", fresh, "--suggest", at("mapping.toml")]
    yield ["build", catalogue, "--out", at("build"), "--rising", "1", "--ladder", "--into-copy", at("copy.xlsx")]
    yield ["counter", catalogue, "--out", at("counter")]
    yield ["verify", at("build/results.json"), catalogue]
    yield ["recheck", at("build/results.json"), catalogue, "--prices", fresh, "--out", at("recheck")]
    yield ["fleet", catalogue, "--out", at("fleet"), "--workers", workers]
    for ending in QUOTES:
        files = ["--out", at(f"quote.{ending}"), "--pick-list", at(f"picks-{ending}.html")]
        yield ["quote", catalogue, "--brief", "Everyday", "--budget", "700", "--fitted", *files]
    yield ["check", catalogue, "--prices", fresh, "--json"]
    yield ["entry-prices", catalogue, "--tier", "First", "--brief", "Everyday"]


def run(catalogue: str, fresh: str, out: str, workers: str, *build: str) -> None:
    """Run them, or one build as asked; each is printed with its exit status, for the status is an output too."""
    if workers != "1":
        pipeline.WORTH_SPREADING = 0
    alone = [*build[:1], catalogue, "--out", str(Path(out, "build")), *build[1:]]
    for words in [alone] if build else commands(catalogue, fresh, Path(out), workers):
        print("==", words[0], main(words))  # noqa: T201 - what is printed is compared too


if __name__ == "__main__":
    run(*sys.argv[1:])

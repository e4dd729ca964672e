"""A small price list as a workbook, and the command run on it."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest

from budgetbuild.cli import main
from tests.sample.scaled import scaled_catalogue, write_workbook
from tests.solver.run import Ran

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from budgetbuild.catalogue.shop import Catalogue


@pytest.fixture(scope="session")
def small() -> Catalogue:
    """A hundred products, one brief, one tier."""
    catalogue = scaled_catalogue(100, vehicles=1)
    return replace(catalogue, briefs=catalogue.briefs[:1], tiers=catalogue.tiers[1:2])


@pytest.fixture(scope="session")
def workbook(small: Catalogue, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The same as a workbook."""
    path = tmp_path_factory.mktemp("solver") / "list.xlsx"
    write_workbook(small, path)
    return path


@pytest.fixture
def build(workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Callable[..., Ran]:
    """Run `build` on the small list in this process."""

    def run(*words: str) -> Ran:
        out = tmp_path / "out"
        status = main(["build", str(workbook), "--out", str(out), "--counter", "none", *words])
        told = capsys.readouterr()
        data: dict[str, Any] = json.loads((out / "results.json").read_text("utf-8")) if out.exists() else {}
        return Ran(status, told.out, " ".join(told.err.split()), data, out)

    return run

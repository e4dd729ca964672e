"""The wheel: holds the templates, and does the main job installed in a new environment, from another folder."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
import tarfile
import tomllib
import venv
import zipfile
from typing import TYPE_CHECKING

import pytest

import budgetbuild

if TYPE_CHECKING:
    from pathlib import Path

OUTPUTS = {"tiers.xlsx", "guide.md", "guide.html", "results.json"}
IMPORTED_AS = {"python-calamine": "python_calamine"}
"""Distributions whose modules have another name."""
BROUGHT_ALONG = {"markupsafe": "jinja2"}
"""Modules that come with a declared distribution and are part of its interface."""


def run(*command: str | Path, cwd: Path) -> subprocess.CompletedProcess[str]:
    """Run a command to its end; a failure shows what it printed."""
    done = subprocess.run(command, cwd=cwd, capture_output=True, text=True, check=False)  # noqa: S603 - our own words
    assert done.returncode == 0, f"{command} ended with {done.returncode}:\n{done.stdout}\n{done.stderr}"
    return done


@pytest.fixture(scope="module")
def wheel(repository: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A wheel built from the checkout."""
    folder = tmp_path_factory.mktemp("wheel")
    run(sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", folder, cwd=repository)
    return next(folder.glob("*.whl"))


def template_names(repository: Path) -> set[str]:
    """Every template of the checkout, relative to `templates/`."""
    folder = repository / "templates"
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}


def test_wheel_holds_every_template_of_the_checkout(repository: Path, wheel: Path) -> None:
    prefix = "budgetbuild/templates/"
    with zipfile.ZipFile(wheel) as archive:
        names = {name.removeprefix(prefix) for name in archive.namelist() if name.startswith(prefix)}
    assert names == template_names(repository)
    assert names


def test_wheel_holds_every_file_of_the_package_and_nothing_else(repository: Path, wheel: Path) -> None:
    package = repository / "budgetbuild"
    expected = {
        path.relative_to(repository).as_posix()
        for path in package.rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }
    with zipfile.ZipFile(wheel) as archive:
        names = {name for name in archive.namelist() if ".dist-info/" not in name}
    assert {name for name in names if not name.startswith("budgetbuild/templates/")} == expected


def test_wheel_carries_the_version_that_the_package_states(wheel: Path) -> None:
    assert wheel.name == f"budgetbuild-{budgetbuild.__version__}-py3-none-any.whl"


def test_source_distribution_holds_what_the_wheel_is_built_from(repository: Path, tmp_path: Path) -> None:
    run(sys.executable, "-m", "hatchling", "build", "-t", "sdist", "-d", tmp_path, cwd=repository)
    with tarfile.open(next(tmp_path.glob("*.tar.gz"))) as archive:
        names = {name.partition("/")[2] for name in archive.getnames()}
    assert {f"templates/{name}" for name in template_names(repository)} <= names
    assert {"README.md", "LICENSE", "sample_catalogue.xlsx", "budgetbuild/cli/main.py"} <= names


@pytest.mark.packaging
def test_installed_wheel_does_the_main_job_from_another_folder(
    wheel: Path, sample_workbook: Path, tmp_path: Path
) -> None:
    venv.create(tmp_path / "environment", with_pip=True)
    scripts = tmp_path / "environment" / ("Scripts" if sys.platform == "win32" else "bin")
    elsewhere = tmp_path / "another folder"
    elsewhere.mkdir()
    run(scripts / "python", "-m", "pip", "install", "--quiet", wheel, cwd=elsewhere)
    run(scripts / "budgetbuild", "build", sample_workbook, "--out", "result", cwd=elsewhere)
    written = {path.name: path.stat().st_size for path in (elsewhere / "result").iterdir()}
    assert set(written) >= OUTPUTS
    assert all(written.values())


def declared(repository: Path, *extras: str) -> set[str]:
    """Modules of the distributions that pyproject.toml lists for use, or for these extras."""
    project = tomllib.loads((repository / "pyproject.toml").read_text("utf-8"))["project"]
    of_extras = [requirement for extra in extras for requirement in project["optional-dependencies"][extra]]
    names = {re.split(r"[^\w-]", listed)[0].lower() for listed in of_extras or project["dependencies"]}
    return {IMPORTED_AS.get(name, name) for name in names - {"budgetbuild"}}


def imported(repository: Path, *, fleet: bool) -> set[str]:
    """Outside modules that the package imports: in what is only for a fleet, or anywhere else."""
    found = {
        name.split(".")[0]
        for path in (repository / "budgetbuild").rglob("*.py")
        if (path.parent.name == "fleet") == fleet
        for node in ast.walk(ast.parse(path.read_text("utf-8")))
        for name in imported_names(node)
    }
    return {BROUGHT_ALONG.get(name, name) for name in found - sys.stdlib_module_names - {"budgetbuild"}}


def imported_names(node: ast.AST) -> list[str]:
    """Modules that one statement imports."""
    if isinstance(node, ast.Import):
        return [alias.name for alias in node.names]
    return [node.module] if isinstance(node, ast.ImportFrom) and node.module else []


def test_every_library_that_the_package_imports_is_declared_and_no_other(repository: Path) -> None:
    assert imported(repository, fleet=False) == declared(repository)


def test_what_only_a_fleet_needs_is_declared_for_it_alone(repository: Path) -> None:
    of_fleet = declared(repository, "fleet", "cluster")
    assert of_fleet.isdisjoint(declared(repository))
    assert imported(repository, fleet=True) - declared(repository) == of_fleet

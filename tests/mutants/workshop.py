"""A copy of the repository in which rules may be broken, and the two ways of breaking them."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from tests.mutants.figures import figure_mutants

ROOT = Path(__file__).parents[2]
TESTS = "tests/trade"
"""The tests that have to notice, as a folder of the repository; nothing else counts, doctests neither."""
FUNCTIONS = ("budgetbuild/trade/*.py", "budgetbuild/catalogue/gauge.py")
"""Where mutmut breaks functions."""
FIGURES = ("budgetbuild/trade/*.py", "budgetbuild/catalogue/limits.py")
"""Where figures and tables are broken."""

_NEEDED = ("budgetbuild", "tests", "templates", "pyproject.toml", "README.md", "sample_catalogue.xlsx")
_CACHE = re.compile(r"^@(functools\.)?(lru_)?cache(\(.*\))?\n", re.MULTILINE)
_MANGLED = re.compile(r"budgetbuild\.(?P<module>[\w.]+)\.x_(?P<function>\w+)__mutmut_\d+")
_NOTICED = frozenset({"killed", "timeout", "segfault"})
_SETTINGS = """\
[mutmut]
source_paths=budgetbuild
only_mutate=
{only}
also_copy=
{also}
pytest_add_cli_args=
    -p
    no:cacheprovider
pytest_add_cli_args_test_selection={tests}
"""

Tell = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class Broken:
    """A rule that was broken in one place.

    Attributes:
        where: Module and function, or module and figure: `trade.fit._goes`, `trade.score._SHARES`.
        was: The lines or the figure as they stand.
        becomes: What took their place.
        noticed: Whether a test failed.
    """

    where: str
    was: str
    becomes: str
    noticed: bool


def copied(folder: Path) -> Path:
    """A copy of the repository without the rules' caches.

    Mutmut leaves decorated functions alone, and answers of the sound rule would live on.
    """
    copy = folder / "budgetbuild"
    for name in _NEEDED:
        source = ROOT / name
        if source.is_dir():
            shutil.copytree(source, copy / name, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy(source, copy / name)
    for path in _matching(copy, FUNCTIONS):
        path.write_text(_CACHE.sub("", path.read_text("utf-8")), "utf-8")
    return copy


def _matching(copy: Path, patterns: tuple[str, ...]) -> list[Path]:
    return sorted(path for pattern in patterns for path in copy.glob(pattern))


def broken_figures(copy: Path, tell: Tell) -> Iterator[Broken]:
    """Every figure and table entry broken in turn, the tests run on each."""
    for path in _matching(copy, FIGURES):
        sound = path.read_text("utf-8")
        module = ".".join(path.relative_to(copy / "budgetbuild").with_suffix("").parts)
        tell(f"figures, {module}")
        for mutant in figure_mutants(sound):
            path.write_text(mutant.source, "utf-8")
            yield Broken(f"{module}.{mutant.name}", mutant.was, mutant.becomes, noticed=not tests_pass(copy, path.stem))
        path.write_text(sound, "utf-8")


def tests_pass(copy: Path, module: str) -> bool:
    """Whether the tests pass in the copy as it is; a module's own are asked first.

    Raises:
        RuntimeError: They did not run at all.
    """
    files = sorted((copy / TESTS).glob("test_*.py"), key=lambda path: (path.stem != f"test_{module}", path.stem))
    command = [sys.executable, "-m", "pytest", "-x", "-q", "-p", "no:cacheprovider", *map(str, files)]
    environment = os.environ | {"PYTHONDONTWRITEBYTECODE": "1"}
    ended = subprocess.run(command, cwd=copy, env=environment, capture_output=True, text=True, check=False)  # noqa: S603
    if ended.returncode not in (0, 1, 2):  # passed, failed, or a module that could not even be imported
        raise RuntimeError(ended.stdout + ended.stderr)
    return ended.returncode == 0


def broken_functions(copy: Path, tell: Tell) -> Iterator[Broken]:
    """Every function broken by mutmut, as its results say.

    Raises:
        CalledProcessError: Mutmut did not run; it is not installed, or the tests fail on the sound rules.
    """
    settings = _SETTINGS.format(only=_lines(FUNCTIONS), also=_lines(_NEEDED[1:]), tests=TESTS)
    (copy / "setup.cfg").write_text(settings, "utf-8")
    tell("functions, by mutmut")
    _mutmut(copy, "run", "--max-children", "1")
    for line in _mutmut(copy, "results", "--all", "true").splitlines():
        name, _, status = line.strip().partition(": ")
        if status not in _NOTICED:
            tell(f"  {name}: {status}")
        yield _shown(copy, name, noticed=status in _NOTICED)


def _lines(names: tuple[str, ...]) -> str:
    return "\n".join(f"    {name}" for name in names)


def _mutmut(copy: Path, *words: str) -> str:
    """What mutmut prints."""
    command = [sys.executable, "-m", "mutmut", *words]
    return subprocess.run(command, cwd=copy, stdout=subprocess.PIPE, text=True, check=True).stdout  # noqa: S603


def _shown(copy: Path, name: str, *, noticed: bool) -> Broken:
    """What mutmut broke; only looked up where nobody noticed."""
    found = _MANGLED.fullmatch(name)
    where = f"{found['module']}.{found['function']}" if found else name
    if noticed:
        return Broken(where, "", "", noticed=True)
    changed = [line for line in _mutmut(copy, "show", name).splitlines() if not line.startswith(("---", "+++", "#"))]
    was, becomes = (_text(changed, sign) for sign in "-+")
    return Broken(where, was, becomes, noticed=False)


def _text(changed: list[str], sign: str) -> str:
    """The lines of a difference with that sign, as one."""
    return " ".join(line[1:].strip() for line in changed if line.startswith(sign))

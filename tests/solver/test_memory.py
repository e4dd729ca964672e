"""Short memory: told plainly, in this process and in those that share the work, and nothing is written."""

from __future__ import annotations

import subprocess
import sys
from typing import TYPE_CHECKING

import pytest

from budgetbuild.faults import SolverError
from budgetbuild.parallel import spread
from budgetbuild.program import cbc
from tests.solver.run import out_of_memory

if TYPE_CHECKING:
    from pathlib import Path

SHORT_OF = """
import resource, sys
import budgetbuild.pipeline, budgetbuild.program.highs
from budgetbuild.cli import main

there = int(open("/proc/self/statm").read().split()[0]) * resource.getpagesize()
limit = there + int(sys.argv[1]) * 2**20
resource.setrlimit(resource.RLIMIT_AS, (limit, limit))
sys.exit(main(sys.argv[2:]))
"""
"""The command with so many MB beside what is loaded already; what comes back is the system's own refusal."""

linux = pytest.mark.skipif(sys.platform != "linux", reason="memory is limited as Linux does it")


@linux
@pytest.mark.parametrize("megabytes", [1, 8])
@pytest.mark.parametrize("solver", ["highs", "cbc"])
def test_too_little_memory_is_told_and_nothing_is_written(
    megabytes: int, solver: str, workbook: Path, tmp_path: Path
) -> None:
    """What runs short first is different each time: reading, candidates, the solver, the writers."""
    words = ["build", str(workbook), "--out", str(tmp_path / "out"), "--counter", "none", "--solver", solver]
    ran = subprocess.run(  # noqa: S603 - our own
        [sys.executable, "-c", SHORT_OF, str(megabytes), *words], capture_output=True, text=True, check=False
    )
    told = " ".join(ran.stderr.split())
    assert "not enough memory" in told
    assert "Nothing was written." in told
    assert "Traceback" not in told
    assert (ran.returncode, (tmp_path / "out").exists()) == (1, False)


@pytest.mark.parametrize(("shared", "error"), [("memory", MemoryError), ("solver", SolverError)])
def test_what_a_sharing_process_fails_with_arrives_as_what_it_is(shared: str, error: type[Exception]) -> None:
    """So the command says the same, wherever the work was done."""
    with pytest.raises(error):
        list(spread(out_of_memory, shared, range(3), 2, few=1))


def test_no_memory_for_another_program_is_told_as_that(monkeypatch: pytest.MonkeyPatch) -> None:
    """The system refuses to start CBC."""

    def refuse(*_: object, **__: object) -> None:
        raise OSError(12, "Cannot allocate memory")

    monkeypatch.setattr(subprocess, "run", refuse)
    with pytest.raises(MemoryError):
        cbc._run(["cbc"], None, None)  # noqa: SLF001 - the one place that starts it

"""The stages of the main job, each in a process of its own: `python -m tests.bench.stages STAGE WORKBOOK`."""

from __future__ import annotations

import gc
import json
import sys
import tempfile
import time
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from budgetbuild.catalogue.load import catalogue_from
from budgetbuild.catalogue.package import open_package
from budgetbuild.catalogue.read import read_sheets
from budgetbuild.garbage import collect_seldom
from budgetbuild.program.program import formulate
from budgetbuild.program.solve import Proposal, best
from budgetbuild.program.solver import Clock, Solver
from tests.bench.work import Work

if TYPE_CHECKING:
    from collections.abc import Callable


class Stage(NamedTuple):
    """A stage of the main job.

    Attributes:
        needs: What must be there before its time starts.
        work: What is timed; its result is let go.
    """

    needs: tuple[str, ...]
    work: Callable[[Work], object]


def merely_read(work: Work) -> None:
    """Every cell of the workbook, by the fastest reader, and nothing done with it."""
    from python_calamine import CalamineWorkbook  # noqa: PLC0415 - the same for every reader

    book = CalamineWorkbook.from_path(str(work.workbook))
    for name in book.sheet_names:
        book.get_sheet_by_name(name).to_python()


def one_build(work: Work) -> Proposal:
    """The first brief at the middle budget, from the catalogue to the proof, without the curve."""
    brief, tiers = work.catalogue.briefs[0], work.catalogue.tiers
    return best(formulate(work.candidates(brief)), tiers[len(tiers) // 2].cap, Solver(), Clock())


def render(work: Work) -> None:
    """Every output, saved; the counter page answers the briefs in their own vehicles."""
    from budgetbuild.cli.counter import answers  # noqa: PLC0415
    from budgetbuild.report import render_all  # noqa: PLC0415 - its imports are part of the work
    from budgetbuild.report.save import by_folder, save_everywhere  # noqa: PLC0415

    curves = list(work.curves.values())
    files = render_all(work.builds, work.catalogue, curves, answers(work.catalogue, curves))
    with tempfile.TemporaryDirectory() as folder:
        save_everywhere(by_folder({Path(folder) / name: content for name, content in files.items()}))


STAGES = {
    "mere": Stage((), merely_read),
    "read": Stage((), lambda work: read_sheets(open_package(work.workbook))),
    "check": Stage(("package", "raw"), lambda work: catalogue_from(work.package, work.raw)),
    "prune": Stage(("catalogue",), lambda work: work.found),
    "model": Stage(("found",), lambda work: work.programs),
    "curve": Stage(("found",), lambda work: work.curve(work.found[0])),
    "solve": Stage(("programs", "curves"), lambda work: work.proposals),
    "audit": Stage(("proposals",), lambda work: work.audited),
    "advice": Stage(("audited",), lambda work: work.told),
    "render": Stage(("builds",), render),
    "one": Stage(("catalogue",), one_build),
}


class Spent(NamedTuple):
    """What a stage took: seconds by the clock and of the processors'; and what came of it."""

    seconds: float
    cpu: float
    result: object


def timed(stage: Stage, work: Work) -> Spent:
    """Do one stage, what it needs beforehand."""
    for need in stage.needs:
        getattr(work, need)
    gc.collect()
    seconds, cpu = time.perf_counter(), time.process_time()
    result = stage.work(work)
    return Spent(time.perf_counter() - seconds, time.process_time() - cpu, result)


def main(name: str, workbook: str) -> None:
    """Print what a stage took as JSON."""
    collect_seldom()
    spent = timed(STAGES[name], Work(Path(workbook)))
    found = {"seconds": spent.seconds, "cpu": spent.cpu}
    print(json.dumps(found | ({"score": spent.result.score} if isinstance(spent.result, Proposal) else {})))


if __name__ == "__main__":
    main(*sys.argv[1:])

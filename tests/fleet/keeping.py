"""A work folder of two vehicles, without the fleet: what is kept in it is made up."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.faults import UserInputError
from budgetbuild.fleet.bench import Answer
from budgetbuild.fleet.work_folder import Key, WorkFolder

if TYPE_CHECKING:
    from pathlib import Path

KEY = Key(
    format=2,
    code="c",
    names=["prices.xlsx", ""],
    catalogue="1",
    prices="",
    briefs=["Daily"],
    tiers=["Entry"],
    vehicles=["Marl", "Tarn"],
    counter="pages",
    templates=[],
)
ANSWERS = [
    Answer(number, ({"vehicle": name, "counter_file": f"{name}.html"},), b"page", "c")  # type: ignore[typeddict-item]
    for number, name in enumerate(KEY.vehicles)
]


def finished(out: Path, key: Key) -> str:
    """What a run to the end is refused for; empty where it is not."""
    try:
        with WorkFolder(out, key) as work:
            for answer in ANSWERS:
                if answer.number not in work.finished:
                    work.keep(answer, f"{KEY.vehicles[answer.number]}.html")
            assert list(work.counters()) == [("Marl.html", b"page"), ("Tarn.html", b"page")]
            work.remove()
    except UserInputError as error:
        return error.faults[0].code
    return ""

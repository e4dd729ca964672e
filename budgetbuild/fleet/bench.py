"""The bench: one process's place of work. What is the same for all vehicles is there once; each is answered at it."""

from __future__ import annotations

import json
import shutil
from dataclasses import dataclass
from pathlib import Path
from tempfile import mkdtemp
from typing import TYPE_CHECKING
from weakref import finalize

from budgetbuild.advice.advice import visible_gain
from budgetbuild.advice.explain import obstacles_of
from budgetbuild.advice.frontier import audited_point, best_within, points_of
from budgetbuild.build import Build, Curve, NoBuild, Status
from budgetbuild.catalogue.shop import usual_allowance
from budgetbuild.fleet.fleet import CounterFiles
from budgetbuild.fleet.patterns import patterns_of, together
from budgetbuild.fleet.rows import row_left_out, row_of, row_without
from budgetbuild.fleet.same_code import code_version
from budgetbuild.program.candidates import candidates
from budgetbuild.program.offer import Offer
from budgetbuild.program.useful import pruned
from budgetbuild.report import Counter, counter_page
from budgetbuild.report.pages.counter_data import counter_data
from budgetbuild.report.words.cautions import no_build_reason
from budgetbuild.report.words.voice import voice_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from budgetbuild.build import Caution
    from budgetbuild.catalogue.shop import Tier
    from budgetbuild.curve.whole import CurveBuild
    from budgetbuild.fleet.fleet import Fleet
    from budgetbuild.fleet.patterns import Pattern
    from budgetbuild.fleet.rows import Row

    Merged = dict[tuple[int, Pattern], tuple[CurveBuild, ...]]
    """Budget curves before their audit, by the place of the brief and the pattern of the vehicle."""


@dataclass(frozen=True, slots=True)
class Answer:
    """All that was found for one vehicle.

    Attributes:
        number: Place of the vehicle in the fleet.
        counter: Content of its counter file, UTF-8; empty where it has none.
        code: What found it, as `code_version` says.
    """

    number: int
    rows: tuple[Row, ...]
    counter: bytes
    code: str


class Bench:
    """Made once in each process, from the fleet alone; only the fleet travels, and where its templates stand."""

    def __init__(self, fleet: Fleet, unpacked: Path | None = None) -> None:
        """Make it.

        Args:
            fleet: What is asked.
            unpacked: A folder with the shop's own templates, where the process that sends the bench is on this machine:
                it takes it away, so that nothing is left of one that is killed.
        """
        self.fleet = fleet
        self.code = code_version()
        self._patterns = patterns_of(fleet.catalogue, fleet.vehicles)
        # Any vehicle: what is superfluous in every one.
        self._pruned = [pruned(Offer(fleet.catalogue, brief, fleet.vehicles[0])) for brief in fleet.briefs]
        self.templates = unpacked if unpacked and _holds(unpacked, fleet.templates) else _unpacked(fleet.templates)
        """Folder of the shop's own templates, where it has any."""
        if self.templates and self.templates != unpacked:
            finalize(self, shutil.rmtree, self.templates, ignore_errors=True)
        self.voice = voice_of(fleet.catalogue.settings, self.templates)

    def __reduce__(self) -> tuple[type[Bench], tuple[Fleet, Path | None]]:
        return Bench, (self.fleet, self.templates)

    def batches(self, numbers: Sequence[int]) -> list[tuple[int, ...]]:
        """Places of vehicles, as they are best answered: those that share their curves together."""
        return together(self._patterns, numbers)

    def answers(self, numbers: Sequence[int]) -> list[Answer]:
        """Everything about some vehicles, by their places in the fleet; what they share is found once.

        Raises:
            AuditRefusedError: The audit found fault with a system: a defect.
        """
        merged: Merged = {}
        return [self._answer(number, merged) for number in numbers]

    def counter_file(self, curves: Sequence[Curve]) -> bytes:
        """The counter file of these curves."""
        catalogue = self.fleet.catalogue
        allowance = usual_allowance(tier.allowance for tier in catalogue.tiers)
        visible = visible_gain(catalogue)
        if self.fleet.counter is CounterFiles.PAGES:
            return counter_page(catalogue, Counter(tuple(curves), allowance, visible), self.templates)
        data = counter_data(curves, catalogue, self.voice, visible=visible, allowance=allowance)
        return (json.dumps(data, ensure_ascii=False, separators=(",", ":"), allow_nan=False) + "\n").encode()

    def _answer(self, number: int, merged: Merged) -> Answer:
        fleet = self.fleet
        asked = any((place, number) not in fleet.doubts for place in range(len(fleet.briefs)))
        file = fleet.files[number] if asked and fleet.counter is not CounterFiles.NONE else None
        rows: list[Row] = []
        curves: list[Curve] = []
        for place, brief in enumerate(fleet.briefs):
            tiers = fleet.tiers_of(brief)
            doubt = fleet.doubts.get((place, number))
            if doubt is not None:
                rows += [row_left_out(brief, fleet.vehicles[number], tier, doubt, file) for tier in tiers]
                continue
            curve = self._curve(place, number, merged)
            rows += self._rows(curve, tiers, file)
            curves.append(curve)
        return Answer(number, tuple(rows), self.counter_file(curves) if file else b"", self.code)

    def _curve(self, place: int, number: int, merged: Merged) -> Curve:
        """The budget curve of a brief in a vehicle, audited there: every point that is shown."""
        catalogue, vehicle = self.fleet.catalogue, self.fleet.vehicles[number]
        brief = self.fleet.briefs[place].in_vehicle(vehicle.name)
        key = place, self._patterns[number]
        if key not in merged:
            merged[key] = points_of(self._pruned[place], brief, vehicle)
        points = merged[key]
        if self.fleet.counter is CounterFiles.NONE:
            points = _told(points, self.fleet.tiers_of(brief))
        return Curve(brief, vehicle, tuple(audited_point(catalogue, brief, vehicle, point) for point in points))

    def _rows(self, curve: Curve, tiers: Sequence[Tier], file: str | None) -> Iterator[Row]:
        obstacles = () if curve.points else self._obstacles(curve)
        for tier in tiers:
            point = curve.at(tier.cap)
            if point:
                yield row_of(self.fleet.catalogue, curve, tier, point, file)
            else:
                yield row_without(curve, tier, self._reason(curve, obstacles, tier), file)

    def _obstacles(self, curve: Curve) -> tuple[Caution, ...]:
        """What stands in the way of any system."""
        return tuple(obstacles_of(candidates(Offer(self.fleet.catalogue, curve.brief, curve.vehicle))))

    def _reason(self, curve: Curve, obstacles: tuple[Caution, ...], tier: Tier) -> str:
        """Why there is no system within a tier, in the words of `build`."""
        least = curve.points[0].total if curve.points else None
        lacking = NoBuild(least, obstacles)
        return no_build_reason(Build(tier, curve.brief, curve.vehicle, Status.INFEASIBLE, no_build=lacking), self.voice)


def answers(bench: Bench, numbers: Sequence[int]) -> list[Answer]:
    """Everything about some vehicles, as work for another process."""
    return bench.answers(numbers)


def _told(points: tuple[CurveBuild, ...], tiers: Sequence[Tier]) -> tuple[CurveBuild, ...]:
    """Of a curve, what the table tells: the cheapest system, and the best one of each tier."""
    best = (best_within(points, tier.cap) for tier in tiers)
    totals = {point.total for point in (*points[:1], *best) if point}
    return tuple(point for point in points if point.total in totals)


def _holds(folder: Path, files: Sequence[tuple[str, bytes]]) -> bool:
    """Whether a folder is there with these files."""
    return all((path := folder / name).is_file() and path.read_bytes() == content for name, content in files)


def _unpacked(files: Sequence[tuple[str, bytes]]) -> Path | None:
    """A new folder with these files; `None` where there are none."""
    if not files:
        return None
    folder = Path(mkdtemp(prefix="budgetbuild-templates-"))
    for name, content in files:
        (folder / name).write_bytes(content)
    return folder

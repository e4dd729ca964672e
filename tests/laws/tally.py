"""One instance by every road, and what many of them come to."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from budgetbuild.build import Status
from budgetbuild.curve.whole import curve
from budgetbuild.program.candidates import candidates
from budgetbuild.program.offer import Offer
from budgetbuild.program.solve import Proposal
from tests.laws.instances import instance, is_medium
from tests.laws.roads import by_all_roads
from tests.oracle.enumerate import best as best_by_brute_force
from tests.program.small import skus

if TYPE_CHECKING:
    from budgetbuild.catalogue.shop import Brief, Catalogue, Vehicle
    from tests.laws.roads import Roads
    from tests.oracle.catalogues import Instance


@dataclass(slots=True)
class Tally:
    """What a number of instances came to.

    Attributes:
        wrong: What differs in status, score, total or parts, in words, by instance.
        connected_otherwise: Likewise, where all of that is the same and only a connection is another.
    """

    instances: int = 0
    medium: int = 0
    possible: int = 0
    with_dropped: int = 0
    with_fixed: int = 0
    medium_with_both: int = 0
    columns_flat: int = 0
    columns_dropped: int = 0
    columns_fixed: int = 0
    two_amplifiers: int = 0
    wrong: list[str] = field(default_factory=list)
    connected_otherwise: list[str] = field(default_factory=list)

    def add(self, number: int, seed: int = 0, *, brute_force: bool = True) -> None:
        """One more instance."""
        drawn = instance(number, seed)
        roads = by_all_roads(*drawn)
        self.instances += 1
        self.medium += is_medium(number)
        self.possible += roads.tool.status is Status.OPTIMAL
        self.with_dropped += roads.dropped > 0
        self.with_fixed += roads.fixed > 0
        self.medium_with_both += is_medium(number) and roads.dropped > 0 and roads.fixed > 0
        self.columns_flat += roads.columns
        self.columns_dropped += roads.dropped
        self.columns_fixed += roads.fixed
        self.two_amplifiers += roads.tool.system is not None and len(roads.tool.system.amplifiers) == 2
        self._compare(f"instance {number}, seed {seed}", drawn, roads)
        if brute_force and not is_medium(number) and (told := unlike_brute_force(drawn, roads.flat)):
            self.wrong.append(f"instance {number}, seed {seed}: {told}")

    def _compare(self, name: str, drawn: Instance, roads: Roads) -> None:
        """Every road, and the budget curve, against the flat program."""
        flat = roads.flat
        others = {f"dominance, fixing {way}": found for way, found in roads.answers.items()}
        for road, found in (others | {"curve": by_curve(*drawn)}).items():
            if answer(found) != answer(flat):
                self.wrong.append(f"{name}, {road}: {answer(found)}, flat {answer(flat)}")
            elif found.system != flat.system:
                self.connected_otherwise.append(f"{name}, {road}: {found.system}, flat {flat.system}")


def by_curve(catalogue: Catalogue, brief: Brief, vehicle: Vehicle, cap: int) -> Proposal:
    """The best build within a cap in cents by the budget curve."""
    points = [point for point in curve(candidates(Offer(catalogue, brief, vehicle))) if point.total <= cap]
    if not points:
        return Proposal(Status.INFEASIBLE)
    return Proposal(Status.OPTIMAL, points[-1].system, points[-1].score, points[-1].total)


def unlike_brute_force(drawn: Instance, flat: Proposal) -> str:
    """Where the flat program differs from trying everything by rules of its own; empty where it does not."""
    expected = best_by_brute_force(*drawn)
    tried = (expected.status, expected.score, expected.total, expected.skus or ())
    return "" if tried == answer(flat) else f"flat {answer(flat)}, by brute force {tried}"


def answer(found: Proposal) -> tuple[str, int | None, int | None, tuple[str, ...]]:
    """What is compared: status, score, total, and SKUs repeated by their quantity."""
    return str(found.status), found.score, found.total, skus(found.system)

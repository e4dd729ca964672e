"""What the stages of the main job hand on to each other, each made when it is first asked for."""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property
from typing import TYPE_CHECKING

from budgetbuild.advice.frontier import curve_of
from budgetbuild.audit.verdict import passed
from budgetbuild.build import Build
from budgetbuild.catalogue.load import catalogue_from
from budgetbuild.catalogue.package import open_package
from budgetbuild.catalogue.read import read_sheets
from budgetbuild.pipeline import Run, pairs_to_solve
from budgetbuild.program.candidates import candidates
from budgetbuild.program.offer import Offer
from budgetbuild.program.program import formulate
from budgetbuild.program.solve import Proposal, Worth, best
from budgetbuild.program.solver import Clock, Solver
from budgetbuild.quoting import Told, told
from tests.sample.scaled import scaled_catalogue, write_workbook

if TYPE_CHECKING:
    from pathlib import Path

    from budgetbuild.build import Audited, Curve
    from budgetbuild.catalogue.package import Package
    from budgetbuild.catalogue.read import RawSheet
    from budgetbuild.catalogue.shop import Brief, Catalogue, Tier
    from budgetbuild.program.candidates import Candidates
    from budgetbuild.program.program import Program

BRIEFS = 2


def price_list(products: int) -> Catalogue:
    """An invented price list of so many products, with two briefs and three tiers."""
    made = scaled_catalogue(products)
    return replace(made, briefs=made.briefs[:BRIEFS])


def workbook_of(products: int, folder: Path) -> Path:
    """The same as a workbook; made where it is not there yet."""
    path = folder / f"bench{products}.xlsx"
    if not path.exists():
        write_workbook(price_list(products), path)
    return path


class Work:
    """The main job on one workbook, in parts."""

    def __init__(self, workbook: Path, catalogue: Catalogue | None = None) -> None:
        self.workbook = workbook
        if catalogue:  # a copy, so that nothing that was worked out for another is left in it
            self.catalogue = replace(catalogue)

    @cached_property
    def package(self) -> Package:
        """The workbook's bytes, known to be safe."""
        return open_package(self.workbook)

    @cached_property
    def raw(self) -> list[RawSheet]:
        """Its rows as they stand."""
        return read_sheets(self.package)

    @cached_property
    def catalogue(self) -> Catalogue:
        """The checked catalogue."""
        return catalogue_from(self.package, self.raw)

    @cached_property
    def pairs(self) -> list[tuple[Tier, Brief]]:
        """Every tier with every brief."""
        return list(pairs_to_solve(self.catalogue, Run()))

    @cached_property
    def found(self) -> list[Candidates]:
        """What may enter a build of each brief."""
        return [self.candidates(brief) for brief in self.catalogue.briefs]

    @cached_property
    def programs(self) -> dict[str, Program]:
        """The program of each brief."""
        return {found.offer.brief.name: formulate(found) for found in self.found}

    @cached_property
    def curves(self) -> dict[str, Curve]:
        """The whole budget curve of each brief, every point audited."""
        return {found.offer.brief.name: self.curve(found) for found in self.found}

    @cached_property
    def proposals(self) -> list[Proposal]:
        """The best build of every tier and brief, as `build` looks for it: the curve says where to look first."""
        return [self.solved(tier, brief, self.claimed(tier, brief)) for tier, brief in self.pairs]

    @cached_property
    def audited(self) -> list[Audited | None]:
        """The same, audited."""
        return [self.passed(*pair, one) for pair, one in zip(self.pairs, self.proposals, strict=True)]

    @cached_property
    def told(self) -> list[Told]:
        """What is told beside them."""
        return [
            told(self.catalogue, tier, self.curves[brief.name], audited, one.status)
            for (tier, brief), audited, one in zip(self.pairs, self.audited, self.proposals, strict=True)
        ]

    @cached_property
    def builds(self) -> list[Build]:
        """The finished builds."""
        return [
            Build(
                tier=tier,
                brief=brief,
                vehicle=self.catalogue.vehicle(brief.vehicle),
                status=one.status,
                bound=one.bound,
                solver=Solver().version,
                **beside,
            )
            for (tier, brief), one, beside in zip(self.pairs, self.proposals, self.told, strict=True)
        ]

    def candidates(self, brief: Brief) -> Candidates:
        """What may enter a build of a brief."""
        return candidates(Offer(self.catalogue, brief, self.catalogue.vehicle(brief.vehicle)))

    def curve(self, found: Candidates) -> Curve:
        """The whole budget curve of a brief, every point audited."""
        return curve_of(self.catalogue, found.offer.brief, found.offer.vehicle, found)

    def claimed(self, tier: Tier, brief: Brief) -> Worth | None:
        """What the curve says a build is worth."""
        point = self.curves[brief.name].at(tier.cap)
        return Worth(point.score, point.total) if point else None

    def solved(self, tier: Tier, brief: Brief, claimed: Worth | None = None) -> Proposal:
        """The proven best build of a tier and brief."""
        return best(self.programs[brief.name], tier.cap, Solver(), Clock(), claimed)

    def passed(self, tier: Tier, brief: Brief, one: Proposal) -> Audited | None:
        """The audit of a proposed build."""
        if one.system is None:
            return None
        vehicle = self.catalogue.vehicle(brief.vehicle)
        return passed(self.catalogue, brief, vehicle, (one.system, one.score, one.total), tier)

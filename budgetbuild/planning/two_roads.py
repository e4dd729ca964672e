"""Two roads to the best build of a brief within a cap, the integer program and the budget curve, held together."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Protocol

from budgetbuild.build import Status
from budgetbuild.faults import SolverError

if TYPE_CHECKING:
    from budgetbuild.build import System
    from budgetbuild.program.solve import Proposal


class Point(Protocol):
    """The best build of a curve within a cap: its system, score in thousandths and total in cents."""

    @property
    def system(self) -> System: ...  # noqa: D102 - see above
    @property
    def score(self) -> int: ...  # noqa: D102
    @property
    def total(self) -> int: ...  # noqa: D102


def best_known(proposal: Proposal, point: Point | None, where: str) -> Proposal:
    """The better of both, which is the curve's where the program was stopped; how far it is proven stays the program's.

    Args:
        proposal: What the program proposes.
        point: The best build of the curve; `None` where it has none.
        where: Brief and tier, for the message.

    Raises:
        SolverError: They cannot both be right.
    """
    if _contradicted(proposal, point):
        told = f"{point.score} thousandths for {point.total} cents" if point else "no system"
        raise SolverError(
            f"{where}: the integer program says {proposal.score} thousandths for {proposal.total} cents, at most "
            f"{proposal.bound}, the budget curve {told}"
        )
    if point and proposal.status is Status.TIME_LIMIT:
        return replace(proposal, system=point.system, score=point.score, total=point.total)
    return proposal


def _contradicted(proposal: Proposal, point: Point | None) -> bool:
    if proposal.status is not Status.TIME_LIMIT:
        return (proposal.score, proposal.total) != ((point.score, point.total) if point else (None, None))
    if point is None:
        return proposal.system is not None
    # Stopped early, the program has at most a build that is no better, and a bound that is no lower.
    known = proposal.score is not None and proposal.total is not None
    better = known and (-(proposal.score or 0), proposal.total or 0) < (-point.score, point.total)
    return better or (proposal.bound is not None and proposal.bound < point.score)

"""Two roads to the best build of a brief within a cap, the integer program and the budget curve, held together."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.build import Status
from budgetbuild.faults import SolverError

if TYPE_CHECKING:
    from budgetbuild.program.solve import Proposal, Worth


def hold_together(proposal: Proposal, point: Worth | None, where: str) -> None:
    """See that both can be right.

    Args:
        proposal: What the program proposes.
        point: What the best build of the curve is worth; `None` where it has none.
        where: Brief and tier, for the message.

    Raises:
        SolverError: One of them is wrong.
    """
    if _contradicted(proposal, point):
        told = f"{point.score} thousandths for {point.total} cents" if point else "no system"
        raise SolverError(
            f"{where}: the integer program says {proposal.score} thousandths for {proposal.total} cents, at most "
            f"{proposal.bound}, the budget curve {told}"
        )


def _contradicted(proposal: Proposal, point: Worth | None) -> bool:
    if proposal.status is not Status.TIME_LIMIT:
        return (proposal.score, proposal.total) != (point or (None, None))
    if point is None:
        return proposal.system is not None
    # Stopped early, the program has at most a build that is no better, and a bound that is no lower.
    known = proposal.score is not None and proposal.total is not None
    better = known and (-(proposal.score or 0), proposal.total or 0) < (-point.score, point.total)
    return better or (proposal.bound is not None and proposal.bound < point.score)

"""How good a published system was said to be, held against the best there is: what of it is not so."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.build import Finding, PublishedStatus, Shown

if TYPE_CHECKING:
    from collections.abc import Iterator

    from budgetbuild.build import Audited, PublishedBuild


def claimed(at: str, build: PublishedBuild, best: Audited | None) -> tuple[Shown, tuple[Finding, ...]]:
    """What a build was said to be, and what of that is not so.

    Args:
        at: The build's place in the file.
        build: As published.
        best: The best system within its cap, `None` where there is none.
    """
    match build.status:
        case PublishedStatus.OPTIMAL:
            shown, found = Shown.BEST, tuple(_not_best(at, build, best))
        case PublishedStatus.INFEASIBLE:
            shown, found = Shown.NONE, tuple(_possible(at, best))
        case PublishedStatus.TIME_LIMIT:
            shown, found = Shown.WITHIN, tuple(_outside(at, build, best))
        case _:  # kept: it was never said to be the best
            shown, found = Shown.NOT_ASKED, tuple(_outside(at, build, best))
    return Shown.NOT_SO if found else shown, found


def _possible(at: str, best: Audited | None) -> Iterator[Finding]:
    """Where no system was said to be possible: one that is."""
    if best:
        yield Finding(f"{at}.status", "no system is possible", _worth(best))


def _not_best(at: str, build: PublishedBuild, best: Audited | None) -> Iterator[Finding]:
    """Where a system was said to be the best: another that is."""
    if best is None or (build.score, build.total) != (best.score, best.total):
        yield Finding(f"{at}.status", f"the best is {_points(build.score, build.total)}", _worth(best))


def _outside(at: str, build: PublishedBuild, best: Audited | None) -> Iterator[Finding]:
    """Where nothing was said to be proven: a score above the best there is, a bound below it, a gap not theirs."""
    highest = best.score if best else None
    if build.score is not None and (highest is None or build.score > highest):
        yield Finding(f"{at}.score", _points(build.score, build.total), _worth(best))
    if build.bound is not None and highest is not None and build.bound < highest:
        yield Finding(f"{at}.bound", f"no system scores more than {_thousandths(build.bound)}", _worth(best))
    apart = None if build.bound is None or build.score is None else build.bound - build.score
    if build.gap is not None and build.gap != apart:
        told = "nothing" if apart is None else _thousandths(apart)
        yield Finding(f"{at}.gap", _thousandths(build.gap), told)


def _worth(best: Audited | None) -> str:
    return f"the best is {_points(best.score, best.total)}" if best else "no system is possible"


def _points(score: int | None, total: int | None) -> str:
    if score is None or total is None:
        return "no system"
    return f"{_thousandths(score)} points for {cents(total)}"


def cents(amount: int | None) -> str:
    """An amount as a finding tells it."""
    return "none" if amount is None else f"{amount // 100}.{amount % 100:02d}"


def _thousandths(score: int) -> str:
    return f"{score // 1000}.{score % 1000:03d}"

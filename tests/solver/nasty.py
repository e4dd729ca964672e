"""Random catalogues made hard for a solver: prices far apart or nearly the same, nothing to tell products apart by.

By hand, on as many as wanted: `python -m tests.solver.nasty --count 200 --seed 1`.
"""

from __future__ import annotations

import argparse
import random
import sys
from dataclasses import fields, replace
from typing import TYPE_CHECKING, Any, NamedTuple

from budgetbuild.catalogue.shop import Weights
from budgetbuild.curve.whole import curve
from budgetbuild.program.candidates import candidates
from budgetbuild.program.offer import Offer
from budgetbuild.program.program import formulate
from budgetbuild.program.solve import best
from budgetbuild.program.solver import Clock, Solver
from tests.oracle.catalogues import random_catalogue
from tests.oracle.enumerate import best as best_by_brute_force
from tests.program.small import SHEETS, skus

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from budgetbuild.catalogue.items import Product
    from budgetbuild.catalogue.shop import Brief, Catalogue, Vehicle

DEAREST = 9_999_999_99
"""The highest price that a catalogue may have, in cents."""
EXTREMES = (1, 10, 99_999_99, 100_000_00, DEAREST)

Change = dict[str, Any]


class Found(NamedTuple):
    """What roads are compared by: whole thousandths, cents, SKUs each repeated by its quantity."""

    score: int | None = None
    total: int | None = None
    skus: tuple[str, ...] = ()


def _priced(cents: Callable[[random.Random, Product], int]) -> Callable[[random.Random, Product], Change]:
    return lambda rng, product: {"price": cents(rng, product)}


def _rated(rating: float) -> Callable[[random.Random, Product], Change]:
    return lambda *_: {"rating": rating}


PRODUCTS: dict[str, Callable[[random.Random, Product], Change]] = {
    "a cent beside a fortune": _priced(lambda rng, _: rng.choice(EXTREMES)),
    "0.01, 0.10 and 99,999.99": _priced(lambda rng, _: rng.choice((1, 10, 99_999_99))),
    "a fortune and some cents": _priced(lambda rng, _: 99_999_00 + rng.randint(0, 3)),
    "nearly the same": _priced(lambda rng, _: 100_00 + rng.randint(0, 2)),
    "a cent each": _priced(lambda *_: 1),
    "rated alike": _rated(5.0),
    "rated 0": _rated(0.0),
    "rated 10": _rated(10.0),
    "rated and priced alike": lambda *_: {"rating": 7.0, "price": 50_00},
    "ratings that hardly differ": lambda rng, _: {"rating": 5.0 + rng.randint(0, 2) / 100},
}
"""What becomes of each product."""

WEIGHTS = {
    "no points at all": Weights(**{part.name: 0.0 for part in fields(Weights)}),
    "a millionth of a point each": Weights(**{part.name: 1e-6 for part in fields(Weights)}),
    "a thousand points each": Weights(**{part.name: 1000.0 for part in fields(Weights)}),
    "a thousand points beside a thousandth": Weights(
        source=1000.0, front=0.001, rear=0.001, bass=1000.0, amplification=0.001, match=1000.0, treatment=0.001
    ),
}
"""What the parts of the score may earn."""

KINDS = (*PRODUCTS, *WEIGHTS, "a thousand points beside a fortune")


def nasty_catalogue(kind: str, seed: int) -> tuple[Catalogue, Brief, Vehicle]:
    """A small random catalogue, spoilt in one of `KINDS`."""
    catalogue, brief, vehicle, _ = random_catalogue(seed)
    if kind in WEIGHTS:
        return replace(catalogue, weights=WEIGHTS[kind]), brief, vehicle
    if kind not in PRODUCTS:
        kind, catalogue = "a cent beside a fortune", replace(catalogue, weights=WEIGHTS["a thousand points each"])
    rng = random.Random(f"{kind}/{seed}")  # noqa: S311 - test data, no secrets
    change = PRODUCTS[kind]

    def changed(product: Product) -> Product:
        known = {name: value for name, value in change(rng, product).items() if hasattr(product, name)}
        return replace(product, **known)

    sheets: dict[str, Any] = {name: tuple(map(changed, getattr(catalogue, name))) for name in SHEETS.values()}
    return replace(catalogue, **sheets), brief, vehicle


def disagreements(kind: str, seed: int, solver: str = "highs", *, most: int = 4) -> Iterator[str]:
    """Where program, curve and brute force differ: at some breakpoints, a cent below each, and far beyond all."""
    catalogue, brief, vehicle = nasty_catalogue(kind, seed)
    found = candidates(Offer(catalogue, brief, vehicle))
    program, points = formulate(found), curve(found)
    rng = random.Random(seed)  # noqa: S311 - test data, no secrets
    some = [points[0], points[-1], *rng.sample(points, min(most, len(points)))] if points else []
    caps = {1, DEAREST, *(point.total - less for point in some for less in (0, 1))}
    for cap in sorted(caps):
        point = next((one for one in reversed(points) if one.total <= cap), None)
        by_curve = Found(point.score, point.total, skus(point.system)) if point else Found()
        proposal = best(program, cap, Solver(solver), Clock())
        by_program = Found(proposal.score, proposal.total, skus(proposal.system))
        tried = best_by_brute_force(catalogue, brief, vehicle, cap)
        by_force = Found(tried.score, tried.total, tried.skus or ())
        if not by_curve == by_program == by_force:
            yield f"{kind}, seed {seed}, cap {cap}: curve {by_curve}, program {by_program}, brute force {by_force}"


def main() -> None:
    """Try many catalogues of every kind, and print what differs."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=20)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--solver", default="highs")
    parser.add_argument("--kind", nargs="*", default=KINDS)
    asked = parser.parse_args()
    for kind in asked.kind:
        seeds = range(asked.seed, asked.seed + asked.count)
        found = [line for seed in seeds for line in disagreements(kind, seed, asked.solver)]
        lines = "".join(f"  {line}\n" for line in found)
        sys.stdout.write(f"{kind}: {len(seeds)} catalogues, {len(found)} disagreements\n{lines}")
        sys.stdout.flush()


if __name__ == "__main__":
    main()

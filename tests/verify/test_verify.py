"""What the tool publishes is right when it is reckoned anew, and no change made to it afterwards goes unseen."""

from __future__ import annotations

from copy import deepcopy
from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING, Any

import pytest

from budgetbuild.build import Climbing, Shown
from budgetbuild.catalogue.shop import Tier
from budgetbuild.faults import UserInputError
from budgetbuild.pipeline import Run
from tests.oracle.fleets import random_fleet
from tests.oracle.knobs import PROFILES
from tests.oracle.ladder import tiny
from tests.oracle.promoted import instance
from tests.oracle.robust import uncertain_catalogue
from tests.recheck.shop import later
from tests.verify.publishing import named, publish, settings, shop, verified

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator
    from pathlib import Path

    from budgetbuild.catalogue.shop import Catalogue
    from tests.verify.publishing import Document

Path_ = tuple[str | int, ...]
"""Keys and positions that lead to a value of a file."""
UNSEEN = frozenset({
    "headline", "standing", "why", "text", "runner_up", "alerts", "versions", "advice", "reason", "reliefs", "decided",
    "ratings", "next_tier", "costs", "rating", "rating_computed", "guide", "tool", "solver", "why_not",
    "own_parts", "asked_share", "shortfall", "certain", "ladders", "promotions",
    "faults",
})  # fmt: skip
"""Keys of words and advice, which `verify` says that it does not look at; and what other tests here look at."""
NOT_PRINTED_ALONE = frozenset({"name", "version"})
"""Keys of the file's form, and names of files: a list that was renamed is the same list."""


@pytest.mark.parametrize("profile", PROFILES)
def test_what_is_published_is_right(profile: str, tmp_path: Path) -> None:
    catalogue = shop(3, profile)
    document = publish(catalogue)
    held, verification = verified(document, catalogue, tmp_path)
    assert [(one.at, one.printed, one.reckoned) for one in held.findings] == []
    assert {one.shown for one in verification.systems} <= {Shown.BEST, Shown.NONE}
    assert [one.shown is Shown.NONE for one in verification.systems] == [
        build["status"] == "infeasible" for build in document["builds"]
    ]


def test_systems_for_several_vehicles_are_right_in_each(tmp_path: Path) -> None:
    covered = 0
    for seed in range(6):
        fleet, cap = random_fleet(seed, "plain")
        budget = max(cap, 1)
        catalogue = named(replace(fleet.catalogue, briefs=(fleet.brief,), tiers=(Tier(name="Tier", budget=budget),)))
        document = publish(catalogue)
        held, verification = verified(document, catalogue, tmp_path)
        assert held.findings == []
        assert {one.shown for one in verification.systems} == {Shown.NOT_ASKED}
        covered += document["builds"][0]["total"] is not None
    assert covered >= 3


def test_systems_that_hold_if_prices_rise_are_right(tmp_path: Path) -> None:
    catalogue = rising_shop()
    document = publish(catalogue, Run(rising=2))
    held, verification = verified(document, catalogue, tmp_path)
    assert held.findings == []
    assert [one.at for one in verification.systems][1:] == [
        f"certain[0].steps[{step}]" for step in range(len(document["certain"][0]["steps"]))
    ]
    assert any(one.risen for one in verification.systems)


def test_upgrade_paths_are_right(tmp_path: Path) -> None:
    catalogue = climbing_shop()
    document = publish(catalogue, Run(climbing=Climbing.ASIDE))
    held, verification = verified(document, catalogue, tmp_path)
    assert held.findings == []
    assert len([one for one in verification.systems if one.climbed]) == len(document["ladders"][0]["steps"]) > 1


def test_bundles_of_promotions_are_right(tmp_path: Path) -> None:
    catalogue = promoting_shop()
    document = publish(catalogue)
    held, verification = verified(document, catalogue, tmp_path)
    assert held.findings == []
    assert any(one.promotion and one.audited for one in verification.systems)


def rising_shop() -> Catalogue:
    """A shop whose prices may rise."""
    catalogue, brief, vehicle, cap = uncertain_catalogue(2, "plain")
    return named(
        replace(catalogue, briefs=(brief,), vehicles=(vehicle,), tiers=(Tier(name="Tier", budget=cap * 3 // 2),))
    )


def climbing_shop() -> Catalogue:
    """A shop of two tiers."""
    climb = next(climb for seed in range(20) if (climb := tiny(seed, "plain", 2, keep=False)).best())
    tiers = tuple(Tier(name=f"Tier {number}", budget=cap) for number, cap in enumerate(climb.caps))
    return named(replace(climb.catalogue, briefs=(climb.brief,), vehicles=(climb.vehicle,), tiers=tiers))


def promoting_shop() -> Catalogue:
    """A shop with a promotion."""
    found = instance(1)
    return named(replace(found.catalogue, tiers=found.catalogue.tiers or (Tier(name="Tier", budget=100_000),)))


def leaves(value: Any, path: Path_ = ()) -> Iterator[Path_]:  # noqa: ANN401 - JSON
    """Where single values stand, but for words and advice."""
    if isinstance(value, dict):
        for key, inner in value.items():
            if key not in UNSEEN | NOT_PRINTED_ALONE:
                yield from leaves(inner, (*path, key))
    elif isinstance(value, list):
        for number, inner in enumerate(value):
            yield from leaves(inner, (*path, number))
    else:
        yield path


def otherwise(value: Any) -> Any:  # noqa: ANN401 - JSON
    """A value that is not this one, of the same kind where there is one."""
    match value:
        case bool():
            return not value
        case int() | float():
            return value + 1
        case str() if value.replace(".", "").isdigit() and "." in value:
            return f"{int(value.split('.')[0]) + 1}.{value.split('.')[1]}"
        case str():
            return f"{value}x"
        case _:
            return 7


def with_other(document: Document, path: Path_) -> Document:
    """The file with one value changed."""
    changed = deepcopy(document)
    place: Any = changed
    for step in path[:-1]:
        place = place[step]
    place[path[-1]] = otherwise(place[path[-1]])
    return changed


def seen(document: Document, catalogue: Catalogue, folder: Path) -> bool:
    """Whether a file is refused, or found to be not right."""
    try:
        return bool(verified(document, catalogue, folder)[0].findings)
    except UserInputError:
        return True


def one_of_each(places: Iterable[Path_]) -> list[Path_]:
    """One place of each shape, such as the unit price of some line of some build: every one costs a verification."""
    shapes: dict[Path_, list[Path_]] = {}
    for path in places:
        shapes.setdefault(tuple("" if isinstance(step, int) else step for step in path), []).append(path)
    return [some[len(some) // 2] for some in shapes.values()]


@pytest.mark.parametrize(
    ("seed", "profile"),
    [
        (3, "impossible"),
        pytest.param(4, "fitted", marks=pytest.mark.slow),
        pytest.param(3, "two amplifiers", marks=pytest.mark.slow),
    ],
)
def test_no_printed_value_can_be_changed_unseen(seed: int, profile: str, tmp_path: Path) -> None:
    catalogue = shop(seed, profile)
    document = publish(catalogue)
    places = one_of_each(leaves(document))
    assert len(places) > 20
    assert [path for path in places if not seen(with_other(document, path), catalogue, tmp_path)] == []


def test_no_printed_key_can_be_taken_away_unseen(tmp_path: Path) -> None:
    catalogue = shop(3, "plain")
    document = publish(catalogue)
    build = document["builds"][1]
    assert build["total"]
    shapes = one_of_each(path for path in leaves(document) if path[:2] in {("builds", 1), ("curve_is_whole",)})
    places = {path[: len(path) - cut] for path in shapes for cut in range(len(path) - 2)} | {("curve_is_whole",)}
    places -= {("builds", 1, "least_budget")}  # of none that is possible
    keys = sorted((path for path in places if isinstance(path[-1], str)), key=str)
    assert len(keys) > 60
    missed = []
    for path in keys:
        changed = deepcopy(document)
        place: Any = changed
        for step in path[:-1]:
            place = place[step]
        del place[path[-1]]
        if not seen(changed, catalogue, tmp_path):
            missed.append(path)
    assert missed == []


def test_the_safety_wording_of_the_guide_cannot_be_changed_unseen(tmp_path: Path) -> None:
    catalogue = shop(3, "plain")
    document = publish(catalogue)
    document["guide"]["safety"][1] = "Fuses are not needed."
    held, _ = verified(document, catalogue, tmp_path)
    assert [one.at for one in held.findings] == ["guide.safety[1]"]


def test_bundles_that_take_more_than_the_shelf_has_are_found_out(tmp_path: Path) -> None:
    catalogue = promoting_shop()
    document = publish(catalogue)
    bundle = next(one for one in document["promotions"]["bundles"] if one["lines"])
    taken = next(line["sku"] for line in bundle["lines"] if line["sku"])
    held, _ = verified(document, later(catalogue, {taken: {"stock": 0}}), tmp_path)
    assert ("promotions.bundles", True) in [(one.at, taken in one.reckoned) for one in held.findings]


def test_a_bundle_that_breaks_its_promotion_is_found_out(tmp_path: Path) -> None:
    """The same parts at the same price, by a list in which the promotion asks for more."""
    catalogue = promoting_shop()
    document = publish(catalogue)
    (promotion,) = catalogue.promotions
    dearer = replace(catalogue, promotions=(replace(promotion, floor=100_000_00),), settings=settings())
    document["tax_rate"] = 0.21
    held, _ = verified(document, dearer, tmp_path)
    assert [one for one in held.findings if "Margin" in one.reckoned or "cost" in one.reckoned]


@pytest.mark.slow
@pytest.mark.parametrize(
    ("make", "run", "key"),
    [
        (rising_shop, Run(rising=2), "certain"),
        (climbing_shop, Run(climbing=Climbing.ASIDE), "ladders"),
        (promoting_shop, Run(), "promotions"),
    ],
)
def test_no_printed_value_beside_the_tiers_can_be_changed_unseen(make: Any, run: Run, key: str, tmp_path: Path) -> None:  # noqa: ANN401 - a function
    catalogue = make()
    document = publish(catalogue, run)
    claims = {
        "certain": {
            "bound",
            "gap",
            "lost",
            "met",
            "greatest",
            "least_cap",
            "or_more",
            "today_dearest_total",
            "rising",
            "status",
        },
        "ladders": {"bound", "gap", "lost", "worth", "own_best", "weight", "status", "keep", "skipped"},
        "promotions": {"bound", "gap", "status", "score", "tier", "brief", "vehicle"},
    }[key]
    places = one_of_each(path for path in leaves(document[key], (key,)) if not claims & set(path))
    assert len(places) > 20
    assert [path for path in places if not seen(with_other(document, path), catalogue, tmp_path)] == []


def test_a_sound_system_that_is_not_the_best_is_found_out(tmp_path: Path) -> None:
    """Every figure of it is right; only the claim that none is better is not."""
    catalogue = shop(3, "plain")
    document = publish(catalogue)
    high, middle = document["builds"][2], document["builds"][1]
    assert high["score"] > middle["score"]
    keep = {key: high[key] for key in ("tier", "budget", "cap")}
    document["builds"][2] = {**deepcopy(middle), **keep}
    held, verification = verified(document, catalogue, tmp_path)
    assert verification.systems[2].shown is Shown.NOT_SO
    assert "builds[2].status" in [one.at for one in held.findings]
    found = next(one for one in held.findings if one.at == "builds[2].status")
    assert f"{high['score']:.3f}" in found.reckoned


def test_a_system_said_to_be_impossible_that_is_possible_is_found_out(tmp_path: Path) -> None:
    catalogue = shop(3, "plain")
    document = publish(replace(catalogue, tiers=(Tier(name="High", budget=1_00),)))
    tier = catalogue.tiers[-1]
    document["builds"][0] |= {"budget": f"{tier.budget / 100:.2f}", "cap": f"{tier.cap / 100:.2f}"}
    held, verification = verified(document, catalogue, tmp_path)
    assert verification.systems[0].shown is Shown.NOT_SO
    assert any(one.printed == "no system is possible" for one in held.findings)


def test_where_a_search_was_stopped_the_best_must_lie_within_what_was_said(tmp_path: Path) -> None:
    catalogue = shop(3, "plain")
    document = publish(catalogue)
    document["builds"] = [
        {**build, "status": "time limit", "bound": None if build["bound"] is None else build["bound"] + 3, "gap": 3.0}
        for build in document["builds"]
        if build["status"] == "optimal"
    ]
    held, verification = verified(document, catalogue, tmp_path)
    assert held.findings == []
    assert {one.shown for one in verification.systems} == {Shown.WITHIN}
    document["builds"][0]["bound"] = document["builds"][0]["score"] - 0.001
    held, _ = verified(document, catalogue, tmp_path)
    assert [one.at for one in held.findings] == ["builds[0].bound", "builds[0].gap"]


@pytest.mark.parametrize("kind", ["tier", "brief", "vehicle"])
def test_a_name_that_the_list_does_not_have_is_told_with_its_place(kind: str, tmp_path: Path) -> None:
    catalogue = shop(3, "plain")
    document = publish(catalogue)
    document["builds"][0][kind] = "Nobody's"
    held, _ = verified(document, catalogue, tmp_path)
    assert (f"builds[0].{kind}", "Nobody's") in [(one.at, one.printed) for one in held.findings]


def test_a_broken_rule_is_told_with_its_figure(tmp_path: Path) -> None:
    """A smaller power kit in the place of the right one, everything else as printed."""
    catalogue = shop(3, "two amplifiers")
    document = publish(catalogue)
    build = next(build for build in document["builds"] if build["feeds"])
    catalogue = replace(
        catalogue, power_kits=tuple(replace(kit, fuse_a=5.0) for kit in catalogue.power_kits)
    )  # as if the list had been so when it was published
    held, _ = verified(document, catalogue, tmp_path)
    assert any("fuse" in one.reckoned.lower() for one in held.findings), build["feeds"]


def test_another_version_may_word_a_limit_otherwise(tmp_path: Path) -> None:
    catalogue = shop(3, "plain")
    document = publish(catalogue)
    document["builds"][1]["checks"][0]["limit"] = "all of them"
    assert verified(document, catalogue, tmp_path)[0].findings
    document["tool"]["version"] = "0.0.1"
    assert not verified(document, catalogue, tmp_path)[0].findings
    number = next(check for check in document["builds"][1]["checks"] if isinstance(check["figure"], float))
    number["figure"] += 1
    assert verified(document, catalogue, tmp_path)[0].findings


def test_a_figure_may_differ_in_its_last_binary_digit_alone(tmp_path: Path) -> None:
    catalogue = replace(shop(3, "plain"), tiers=(Tier(name="High", budget=400_000, allowance=Fraction(1, 100)),))
    document = publish(catalogue)
    figures = next(one for one in document["builds"][0]["locations"] if one["match"])
    figures["match"] *= 1 + 1e-15
    assert not verified(document, catalogue, tmp_path)[0].findings
    figures["match"] *= 1 + 1e-6
    assert verified(document, catalogue, tmp_path)[0].findings

"""What has become of a published guide, in sentences: the verdict on the whole, on each system, and what to do."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from budgetbuild.build import Rechecked, Remedy, Standing, Status
from budgetbuild.report.words.drifts import Speaker, anew, breaking, withdrawing
from budgetbuild.report.words.format import label, listed

if TYPE_CHECKING:
    from budgetbuild.build import Published, Recheck
    from budgetbuild.catalogue.shop import Catalogue


def title(catalogue: Catalogue, speaker: Speaker) -> str:
    """Title of the page."""
    shop = label(catalogue.settings.shop_name)
    return speaker.say("title-shop", shop=shop) if shop else speaker.say("title")


def verdict(recheck: Recheck, speaker: Speaker) -> str:
    """Whether the guide still holds, and how many of its systems do not."""
    count = len(recheck.builds)
    if recheck.holds:
        return _many("yes", count, speaker)
    counts = Counter(build.standing for build in recheck.builds)
    parts = [_many(standing.value, counts[standing], speaker) for standing in Standing if counts[standing]]
    return speaker.say("no", systems=_many("of", count, speaker), parts=listed(parts))


def notes(recheck: Recheck, catalogue: Catalogue, speaker: Speaker) -> tuple[str, ...]:
    """What one should know beside the verdict."""
    beaten = sum(build.beaten for build in recheck.builds)
    unpublished = [system_name(tier, brief, speaker) for tier, brief in recheck.unpublished]
    told = (
        _many("beaten", beaten, speaker) if beaten else "",
        speaker.say("unpublished", systems=listed(unpublished)) if unpublished else "",
        compared(recheck.published, catalogue, speaker),
        speaker.say("what-counts"),
        "" if recheck.holds else speaker.say("again"),
    )
    return tuple(sentence for sentence in told if sentence)


def compared(published: Published, catalogue: Catalogue, speaker: Speaker) -> str:
    """Which file was held against which list."""
    then = _list_name(published.catalogue, published.catalogue_date, speaker)
    today = _list_name(catalogue.name, catalogue.settings.date, speaker)
    if catalogue.fresh:
        today = speaker.say("list-fresh", name=today, prices=label(catalogue.fresh.name))
    return speaker.say("compared", file=label(published.name), then=then, today=today)


def _list_name(name: str, date: str, speaker: Speaker) -> str:
    if not date:
        return label(name)
    return speaker.say("list-dated", name=label(name), date=speaker.voice.notation.date(label(date)))


def _many(name: str, count: int, speaker: Speaker) -> str:
    return speaker.say(f"{name}-one" if count == 1 else f"{name}-many", count=str(count))


def system_name(tier: str, brief: str, speaker: Speaker) -> str:
    """A system by its tier and brief."""
    return speaker.say("pair", tier=label(tier), brief=label(brief))


def still_true(rechecked: Rechecked, speaker: Speaker) -> str:
    """Whether a system still holds, in a word or two."""
    return speaker.say(rechecked.standing.value)


def told(rechecked: Rechecked, speaker: Speaker) -> str:
    """What has become of a system, in a sentence."""
    match rechecked.standing:
        case Standing.HOLDS:
            return speaker.say("told-holds")
        case Standing.FIGURES:
            return speaker.say("told-figures", what=anew(rechecked, speaker))
        case Standing.PARTS:
            broken = speaker.say("told-parts", reasons=breaking(rechecked, speaker))
            return broken if rechecked.audited else f"{broken} {speaker.say('told-unchecked')}"
        case Standing.WITHDRAWN:
            return speaker.say("told-withdrawn", reasons=withdrawing(rechecked, speaker))
        case Standing.POSSIBLE:
            name = "told-possible-late" if is_late(rechecked.best) else "told-possible"
            return speaker.say(name, **_worth(rechecked.best, speaker))


def to_do(rechecked: Rechecked, speaker: Speaker) -> str:
    """What the owner should do about a system, in a few words."""
    match rechecked.standing:
        case Standing.HOLDS:
            return speaker.say("do-nothing")
        case Standing.FIGURES:
            return speaker.say("do-figures", what=anew(rechecked, speaker))
        case Standing.WITHDRAWN:
            return speaker.say("do-withdrawn")
        case Standing.POSSIBLE:
            return speaker.say("do-possible", **_worth(rechecked.best, speaker))
        case Standing.PARTS:
            return _replace(rechecked, speaker)


def _replace(rechecked: Rechecked, speaker: Speaker) -> str:
    """The two ways out of a system that can no longer be sold: fewest parts changed, or most points."""
    if rechecked.published.covered:
        return speaker.say("do-several")
    if rechecked.no_build:
        return speaker.say("do-none")
    remedies = (rechecked.repair, rechecked.best)
    ways = [way(remedy, rechecked, speaker) for remedy in remedies if remedy and remedy.audited]
    if is_best(rechecked):
        return speaker.say("do-parts-best", repair=ways[0])
    name = "do-parts-only" if len(ways) == 1 else "do-parts-found" if is_late(rechecked.best) else "do-parts"
    return speaker.say(name, repair=ways[0], best=ways[-1])


def is_late(remedy: Remedy | None) -> bool:
    """Whether the search for it was stopped, so that it may not be called the best."""
    return remedy is not None and remedy.status is Status.TIME_LIMIT


def is_best(rechecked: Rechecked) -> bool:
    """Whether the repair is as good a system as the best today, which is proven."""
    if is_late(rechecked.best):
        return False
    ours, best = (remedy.audited if remedy else None for remedy in (rechecked.repair, rechecked.best))
    return bool(ours and best) and (ours.score, ours.total) == (best.score, best.total)  # type: ignore[union-attr]


def way(remedy: Remedy, rechecked: Rechecked, speaker: Speaker) -> str:
    """How many parts a remedy changes, and what that does to the printed score."""
    return speaker.say(
        "way",
        changes=_changes("changes", remedy.parts_changed or 0, speaker),
        points=against(remedy, rechecked.published.score or 0, speaker),
    )


def _changes(name: str, count: int, speaker: Speaker) -> str:
    return speaker.say(f"{name}-none") if count == 0 else _many(name, count, speaker)


def against(remedy: Remedy, score: int, speaker: Speaker, name: str = "points") -> str:
    """The points of a remedy against a score in whole thousandths; `printed` says that it is the printed one."""
    gained = (remedy.audited.score if remedy.audited else 0) - score
    which = "same" if gained == 0 else "more" if gained > 0 else "less"
    return speaker.say(f"{name}-{which}", points=speaker.voice.notation.points(abs(gained)))


def _worth(remedy: Remedy | None, speaker: Speaker) -> dict[str, str]:
    """Score and total of a remedy as the shop writes them."""
    if remedy is None or remedy.audited is None:
        raise ValueError("no system to tell of")
    write = speaker.voice.notation
    return {"score": write.points(remedy.audited.score), "total": write.money(remedy.audited.total)}


def remedy_text(name: str, remedy: Remedy, rechecked: Rechecked, speaker: Speaker) -> str:
    """What the fewest changes (`repair`), or the best system (`best`), come to, and how far that is proven."""
    if remedy.audited is None:
        return speaker.say("repair-late-none" if name == "repair" else "repair-best-none")
    late = remedy.status is not Status.OPTIMAL
    known = late and name == "repair" and remedy.fewest is not None
    return speaker.say(
        f"{name}-late-bound" if known else f"{name}-late" if late else name,
        changes=_changes("repair-changes", remedy.parts_changed or 0, speaker),
        points=against(remedy, rechecked.published.score or 0, speaker, "printed"),
        fewest=_changes("counted", remedy.fewest or 0, speaker),
        **_worth(remedy, speaker),
    )


def better_text(rechecked: Rechecked, speaker: Speaker) -> str:
    """That a better system is to be had where the published one may stay."""
    best, now = rechecked.best, rechecked.audited
    if best is None or now is None:
        raise ValueError("nothing better is known")
    write = speaker.voice.notation
    today = {"score_now": write.points(now.score), "total_now": write.money(now.total)}
    changes = _changes("repair-changes", best.parts_changed or 0, speaker)
    return speaker.say("told-beaten", changes=changes, **today, **_worth(best, speaker))


def caps(rechecked: Rechecked, speaker: Speaker) -> str:
    """Vehicle and cap, and the printed cap where it was another one."""
    write, cap_then = speaker.voice.notation.money, rechecked.published.cap
    name = "told-vehicle" if rechecked.tier.cap == cap_then else "told-vehicle-cap"
    vehicle = label(rechecked.published.vehicle)
    return speaker.say(name, vehicle=vehicle, cap=write(rechecked.tier.cap), cap_then=write(cap_then))

"""Sentences about a whole build: what one gets, how far it is proven, how it was decided."""

from __future__ import annotations

from budgetbuild.build import Audited, Build, Role, Status
from budgetbuild.catalogue.kinds import HeadUnitMode, OneBrand, Want
from budgetbuild.report.format import label, listed, measure, money, points

KEPT = {
    HeadUnitMode.KEEP_FACTORY: "keeps its factory head unit",
    HeadUnitMode.KEEP_OWN: "keeps the customer's own head unit",
}

PARTS: dict[str, tuple[str, tuple[Role, ...]]] = {
    "front": ("front speakers", (Role.FRONT,)),
    "rear": ("rear speakers", (Role.REAR,)),
    "bass": ("bass", (Role.BASS,)),
    "amplifier": ("an external amplifier", (Role.AMPLIFIER,)),
    "deadening": ("sound deadening", (Role.DEADENING,)),
}
"""What a brief may want, by the name of its column: how it is said, and the roles that fill it."""


def headline(build: Build, currency: str) -> str:
    """What the customer gets, in one or two sentences."""
    vehicle = label(build.vehicle.name)
    if build.audited is None:
        nothing = "No system was found in time" if build.status is Status.TIME_LIMIT else "No system meets this brief"
        return f"{nothing} for the {vehicle} within the cap of {money(build.tier.cap, currency)}."
    kept = KEPT.get(build.brief.head_unit)
    if not build.audited.locations:
        return _no_sound(build, build.audited, currency)
    gets = _gets(build.audited)
    opening = f"The {vehicle} {kept} and gets" if kept else f"The {vehicle} gets"
    end = "fitted by the shop" if any(line.role is Role.LABOUR for line in build.audited.lines) else "ready to fit"
    return (
        f"{opening} {listed(gets)}: {money(build.audited.total, currency)} complete, "
        f"with every cable and fitting part, {end}."
    )


def _no_sound(build: Build, audited: Audited, currency: str) -> str:
    """A brief that requires no location, within a cap that buys none: said plainly, not sold as a system."""
    bought = f"; what is listed costs {money(audited.total, currency)}" if audited.lines else ""
    return (
        f"No speakers and no bass for the {label(build.vehicle.name)} within the cap of "
        f"{money(build.tier.cap, currency)}: the brief requires none{bought}."
    )


def _gets(audited: Audited) -> list[str]:
    """The parts that one hears or sees, as one would name them."""
    held = {line.role: line.quantity for line in reversed(audited.lines)}
    amplifiers = len(audited.system.amplifiers)
    said = [
        ("a new head unit", Role.HEAD_UNIT in held),
        ("a line-output converter", Role.CONVERTER in held),
        ("front and rear speakers", Role.FRONT in held and Role.REAR in held),
        ("front speakers", Role.FRONT in held and Role.REAR not in held),
        ("rear speakers", Role.REAR in held and Role.FRONT not in held),
        (_bass(audited, held), Role.BASS in held),
        ("an amplifier" if amplifiers == 1 else f"{_spelt(amplifiers)} amplifiers", amplifiers > 0),
        (f"sound deadening on {measure(audited.treated_m2, 'm²')} of the doors", Role.DEADENING in held),
    ]
    return [words for words, there in said if there]


def _bass(audited: Audited, held: dict[Role, int]) -> str:
    """How the bass is built."""
    if Role.BOX in held:
        drivers = held[Role.BASS]
        return f"a bass box with {_spelt(drivers)} {'driver' if drivers == 1 else 'drivers'}"
    powered = any(figures.location == "bass" and figures.power_w is None for figures in audited.locations)
    return "a powered subwoofer" if powered else "a loaded enclosure for the bass"


def _spelt(count: int) -> str:
    """A small count as a word."""
    return {1: "one", 2: "two", 3: "three", 4: "four"}.get(count, str(count))


def standing(build: Build) -> str:
    """How far the result is proven; a search that was stopped is never called the best."""
    if build.status is Status.OPTIMAL:
        return "Proven: no other system from the price list that meets this brief within the cap scores higher."
    if build.status is Status.INFEASIBLE:
        return "Proven: every combination from the price list is ruled out."
    if build.score is None:
        return "The time limit came before any system was found; whether one exists is not known."
    if build.bound is None:
        return "Best found before the time limit; how far it is from the highest possible score is not known."
    if build.bound <= build.score:
        return "The score is proven highest; the time limit came before a lower price at that score was ruled out."
    gap = points(build.bound - build.score)
    return f"Best found before the time limit; proven within {gap} points of the highest possible score."


def status_word(build: Build) -> str:
    """The standing in a few words, for a table."""
    if build.status is Status.OPTIMAL:
        return "proven highest score"
    if build.status is Status.INFEASIBLE:
        return "no system possible"
    if build.score is None:
        return "stopped, nothing found"
    if build.bound is None:
        return "best found, not proven"
    if build.bound <= build.score:
        return "highest score, price not proven least"
    return f"best found, within {points(build.bound - build.score)} points"


def decided(build: Build) -> tuple[str, ...]:
    """How the parts were decided: what the brief fixed, what was left open, and what became of it."""
    return tuple(sentence for sentence in (_wanted(build), *_left_out(build), *_other_wishes(build)) if sentence)


def _wanted(build: Build) -> str:
    """What the brief fixes, leaves open and rules out."""
    wants = {want: [words for name, (words, _) in PARTS.items() if getattr(build.brief, name) is want] for want in Want}
    asked, open_, barred = wants[Want.REQUIRED], wants[Want.OPTIONAL], wants[Want.NONE]
    said = [
        f"asks for {listed(asked)}" if asked else "asks for no part in particular",
        f"leaves {listed(open_)} open" if open_ else "",
        f"wants no {listed(barred, 'and no').replace('an external', 'external')}" if barred else "",
    ]
    told = [words for words in said if words]
    return f"The brief {', and '.join([', '.join(told[:-1]), told[-1]] if told[1:] else told)}."


def _left_out(build: Build) -> tuple[str, ...]:
    """What was left open and did not come in; a reason is claimed only where it is proven."""
    if build.audited is None:
        return ()
    held = {line.role for line in build.audited.lines}
    missing = [
        words
        for name, (words, roles) in PARTS.items()
        if getattr(build.brief, name) is Want.OPTIONAL and not held.intersection(roles)
    ]
    if not missing:
        return ()
    with_it = "with it" if len(missing) == 1 else "with any of them"
    end = f"no system {with_it} scores higher within the cap" if build.status is Status.OPTIMAL else "none was found"
    return (f"Left out in the end: {listed(missing)}; {end}.",)


def _other_wishes(build: Build) -> tuple[str, ...]:
    brief = build.brief
    brands = {
        OneBrand.NO: "",
        OneBrand.PREFER: "Parts of the front speakers' brand earn extra points.",
        OneBrand.MUST: "Front, rear, bass and amplifier must share one brand.",
    }
    must, without = [[label(term) for term in terms] for terms in (brief.must_include, brief.leave_out)]
    return (
        brands[brief.one_brand],
        f"The brief insists on {listed(must)}." if must else "",
        f"The brief rules out {listed(without)}." if without else "",
    )

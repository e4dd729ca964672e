"""What a customer wants, from the words of the command line to the one brief and budget that are solved."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from budgetbuild.catalogue.asked import Asked, unknown
from budgetbuild.catalogue.names import fold
from budgetbuild.catalogue.shop import Catalogue, Settings, Tier
from budgetbuild.catalogue.typed import typed_allowance, typed_budget, typed_pairs
from budgetbuild.cli.loading import load
from budgetbuild.faults import Fault, UserInputError

if TYPE_CHECKING:
    import argparse
    from collections.abc import Iterator, Sequence
    from fractions import Fraction

    from budgetbuild.catalogue.listed import Listed
    from budgetbuild.cli.asking import Given


@dataclass(frozen=True, slots=True)
class Wish:
    """A catalogue with the one brief that is asked for, and the budget."""

    catalogue: Catalogue
    tier: Tier


def wish(arguments: argparse.Namespace, given: Given, listed: Listed, faults: Sequence[Fault] = ()) -> Wish:
    """Read the catalogue for what is wanted.

    Args:
        arguments: The options.
        given: Brief, vehicle, budget and fitting, asked for where they were no options.
        listed: What the workbook lists.
        faults: Faults found so far, told with the others.

    Raises:
        UserInputError: With every fault of the options and the catalogue at once.
    """
    budget, allowance = typed_budget(given.budget, listed.currency), _allowance(arguments, listed)
    pairs = _pairs(arguments)
    found = [*faults, *(one for one in (budget, allowance, pairs) if isinstance(one, Fault))]
    asked = _asked(arguments, given, None if isinstance(pairs, Fault) else pairs)
    try:
        catalogue = load(arguments, asked)
    except UserInputError as error:
        raise UserInputError([*found, *error.faults]) from None
    if isinstance(budget, Fault) or isinstance(allowance, Fault) or found:
        raise UserInputError(found)
    return Wish(_named(catalogue, asked), _tier(budget, allowance, catalogue.settings))


def faults_before_asking(arguments: argparse.Namespace, given: Given, listed: Listed) -> Iterator[Fault]:
    """What is wrong with the options that were given, so that nobody answers questions in vain."""
    budget = typed_budget(given.budget, listed.currency) if given.budget else None
    for one in (budget, _allowance(arguments, listed), _pairs(arguments)):
        if isinstance(one, Fault):
            yield one
    briefs = [brief.name for brief in listed.briefs]
    for option, name, names in (("--brief", given.brief, briefs), ("--vehicle", given.vehicle, listed.vehicles)):
        if name and fold(name) not in map(fold, names):
            yield unknown(option, name, list(names))


def _allowance(arguments: argparse.Namespace, listed: Listed) -> Fraction | Fault:
    return typed_allowance(arguments.allowance) if arguments.allowance else listed.allowance


def _pairs(arguments: argparse.Namespace) -> int | Fault | None:
    return None if arguments.own_head_unit is None else typed_pairs(arguments.own_head_unit)


def _asked(arguments: argparse.Namespace, given: Given, pairs: int | None) -> Asked:
    return Asked(
        brief=given.brief,
        vehicle=given.vehicle,
        must_include=tuple(arguments.must),
        leave_out=tuple(arguments.without),
        own_preout_pairs=pairs,
        no_bass=arguments.no_bass,
        fitted=given.fitted,
        brand_match=arguments.brand_match,
    )


def _named(catalogue: Catalogue, asked: Asked) -> Catalogue:
    """The catalogue with its brief named by what was changed in it, so that no page shows one brief as another."""
    (brief,) = catalogue.briefs
    name = "; ".join([brief.name, *changes(asked)])
    return replace(catalogue, briefs=(replace(brief, name=name),))


def changes(asked: Asked) -> Iterator[str]:
    """What is asked for otherwise than the brief says, in few words.

    >>> list(changes(Asked(own_preout_pairs=2, no_bass=True, must_include=("HU-1", "Brand"))))
    ['own head unit', 'no bass', 'with HU-1, Brand']
    """
    if asked.own_preout_pairs is not None:
        yield "own head unit"
    if asked.no_bass:
        yield "no bass"
    if asked.fitted:
        yield "fitted"
    if asked.brand_match:
        yield "one brand"
    if asked.must_include:
        yield f"with {', '.join(asked.must_include)}"
    if asked.leave_out:
        yield f"without {', '.join(asked.leave_out)}"


def _tier(budget: int, allowance: Fraction, settings: Settings) -> Tier:
    """A tier of its own, named by its budget."""
    from budgetbuild.report.words.notation import Notation

    return Tier(name=Notation(settings.currency, settings.locale).money(budget), budget=budget, allowance=allowance)

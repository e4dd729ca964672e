"""Low-level signal: how many channels the amplifiers take, and how far the leads run."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.catalogue.kinds import HeadUnitMode

if TYPE_CHECKING:
    from budgetbuild.catalogue.limits import Limits
    from budgetbuild.catalogue.shop import Vehicle

CHANNELS_PER_PAIR = 2
"""Channels of a stereo pair."""


def pairs_needed(external_locations: int, powered_subwoofers: int) -> int:
    """Stereo pairs that the source must give: one per location on an external amplifier or powered subwoofer.

    >>> pairs_needed(2, 1)
    3

    Source: common practice.
    """
    return external_locations + powered_subwoofers


def channels_needed(pairs: int) -> int:
    """Lead channels for so many stereo pairs; a five-channel system takes three pairs, six channels.

    >>> channels_needed(3)
    6

    Source: common practice.
    """
    return CHANNELS_PER_PAIR * pairs


def run_m(mode: HeadUnitMode, vehicle: Vehicle, limits: Limits) -> float:
    """Length that each signal lead must reach, in m.

    From the head unit to the amplifier, or from the converter beside it where the factory unit stays. An unknown
    run counts as 5.5 m unless the shop says otherwise.

    >>> from budgetbuild.catalogue.shop import Vehicle
    >>> from budgetbuild.catalogue.limits import Limits
    >>> run_m(HeadUnitMode.KEEP_FACTORY, Vehicle(name="V", opening="double", signal_run_m=6.0), Limits())
    0.5

    Source: common practice.
    """
    if mode is HeadUnitMode.KEEP_FACTORY:
        return limits.converter_signal_run_m
    return limits.signal_run_m if vehicle.signal_run_m is None else vehicle.signal_run_m

"""The limits of the trade rules that a shop may change in its `Settings` sheet, with their defaults and sources."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Limits:
    """Limits and assumed values of the trade rules; every default is common practice unless a source is named.

    Ratios are amplifier power over speaker RMS power. Lengths in m, currents in A, powers in W, drops in V.
    """

    ratio_min: float = 0.25
    """Least power ratio at front and rear."""
    ratio_max: float = 1.5
    """Greatest power ratio at front and rear."""
    bass_ratio_min: float = 0.5
    """Least power ratio at bass."""
    bass_ratio_max: float = 1.5
    """Greatest power ratio at bass."""
    ratio_full_match: float = 0.8
    """Power ratio from which the match factor is 1."""
    ratio_full_match_to: float = 1.25
    """Power ratio up to which the match factor is 1."""
    factory_internal_w: float = 15.0
    """Assumed power per channel into 4 ohm of a kept factory head unit."""
    max_amplifiers: int = 2
    """Most external amplifiers in one build."""
    signal_run_m: float = 5.5
    """Head unit to amplifier, where the vehicle's signal run is unknown."""
    converter_signal_run_m: float = 0.5
    """Converter to amplifier: it sits beside it."""
    power_run_m: float = 5.0
    """Battery to amplifier, where the vehicle's power run is unknown."""
    earth_lead_m: float = 0.5
    """Earth lead of the amplifier."""
    conductor_c: float = 60.0
    """Conductor temperature at which the voltage drop is reckoned, in degrees C."""
    allowed_drop_v: float = 0.5
    """Most voltage that the power run may lose."""
    cca_allowed: bool = True
    """Whether copper-clad aluminium power kits may be sold."""
    efficiency_ab: float = 0.55
    """Efficiency of a class AB amplifier, where it states no fuse rating."""
    efficiency_d: float = 0.80
    """Efficiency of a class D amplifier, where it states no fuse rating."""
    supply_v: float = 13.8
    """Supply voltage at which current is reckoned from power."""
    music_share: float = 1 / 3
    """Share of full current that music draws on average."""
    alternator_share: float = 0.40
    """Share of the alternator's rating above which the average current is cautioned."""
    cable_loss_share: float = 0.05
    """Most of the load's resistance that the speaker cable's loop may add."""
    front_run_m: float = 5.5
    """Amplifier to one front speaker, where unknown."""
    rear_run_m: float = 3.0
    """Amplifier to one rear speaker, where unknown."""
    bass_run_m: float = 1.5
    """Amplifier to the bass, where unknown."""
    cable_spare_share: float = 0.10
    """Speaker cable bought on top of the runs."""
    boot_spare_mm: float = 10.0
    """Room to spare inside the boot, in each direction."""
    door_m2: float = 1.6
    """Area worth treating, where the vehicle's is unknown, in m2."""
    one_brand_points: float = 3.0
    """Most points that `One brand = prefer` adds."""


DEFAULT_LIMITS = Limits()
"""The limits of a shop that changes none."""

"""Declarations of the rows of the `Settings` sheet: the shop's own facts, then one row per limit of `Limits`."""

from __future__ import annotations

from budgetbuild.catalogue.limits import Limits
from budgetbuild.catalogue.schema import Column, Kind
from budgetbuild.catalogue.setting_aliases import ALIASES
from budgetbuild.catalogue.shop import Settings

SHOP_SETTINGS = (
    Column(header="Shop name", field="shop_name", aliases=ALIASES["shop_name"], example="Example shop",
           help="Name printed on the results."),
    Column(header="Currency code", field="currency", kind=Kind.CURRENCY, aliases=ALIASES["currency"], blank="EUR",
           help="Three letters, such as EUR."),
    Column(header="Locale", field="locale", kind=Kind.LOCALE, aliases=ALIASES["locale"], blank=Settings().locale,
           help="Language and country by whose customs money, figures and dates are written, such as en_GB or de_DE."),
    Column(header="Tax rate", field="tax_rate", kind=Kind.SHARE, low=0, high=0.6,
           aliases=ALIASES["tax_rate"], help="Sales tax contained in the prices: 21 %, 0.21 or 21."),
    Column(header="Labour rate", field="labour_rate", kind=Kind.MONEY, positive=True, aliases=ALIASES["labour_rate"],
           help="Price of one hour of fitting, including tax."),
    Column(header="Date", field="date", kind=Kind.DATE, aliases=ALIASES["date"], help="Date of the price list."),
    Column(header="Visible gain points", field="visible_gain", kind=Kind.NUMBER, unit="points", positive=True, high=100,
           aliases=ALIASES["visible_gain"], blank=f"{Settings().visible_gain:g}",
           help="Points that a dearer build must gain before it is offered as the next step up."),
    Column(header="Stretch share", field="stretch_share", kind=Kind.SHARE, positive=True, high=1,
           aliases=ALIASES["stretch_share"], blank=f"{float(Settings().stretch_share):.4g}",
           help="Share of the budget that a single swap may cost on top, and that the first thing to drop saves."),
    Column(header="Prices that may rise", field="rising", kind=Kind.WHOLE, low=0, high=99, aliases=ALIASES["rising"],
           blank=f"{Settings().rising}, nothing is asked",
           help="Beside each build, the best one that stays within the cap even if the prices of any so many of its "
           "products rise to their Price high."),
    Column(header="Shop address", field="shop_address", kind=Kind.NAMES, aliases=ALIASES["shop_address"],
           help="Printed on a customer's quote; lines separated by ;."),
    Column(header="Quote valid days", field="quote_days", kind=Kind.WHOLE, unit="days", positive=True, high=365,
           aliases=ALIASES["quote_days"], blank=str(Settings().quote_days),
           help="Days that a customer's quote is good for."),
    Column(header="Quote terms", field="quote_terms", kind=Kind.NAMES, aliases=ALIASES["quote_terms"],
           help="Printed under a customer's quote; sentences separated by ;."),
)
"""Rows that fill `Settings`."""


def _default(field: str) -> str:
    """Default of a limit, as one would type it."""
    value = getattr(Limits(), field)
    return {True: "yes", False: "no"}[value] if isinstance(value, bool) else f"{value:.4g}"


def _number(header: str, field: str, unit: str, high: float, text: str) -> Column:
    """A limit greater than 0."""
    return Column(header=header, field=field, kind=Kind.NUMBER, unit=unit, positive=True, high=high,
                  aliases=ALIASES[field], blank=_default(field), help=text)


def _share(header: str, field: str, high: float, text: str) -> Column:
    """A limit that is a share of one, greater than 0."""
    return Column(header=header, field=field, kind=Kind.SHARE, positive=True, high=high,
                  aliases=ALIASES[field], blank=_default(field), help=text)


LIMIT_SETTINGS = (
    _number("Power ratio least", "ratio_min", "", 10, "Amplifier power over speaker RMS at front and rear, at least."),
    _number("Power ratio most", "ratio_max", "", 10, "Amplifier power over speaker RMS at front and rear, at most."),
    _number("Bass power ratio least", "bass_ratio_min", "", 10, "Amplifier power over RMS of the bass, at least."),
    _number("Bass power ratio most", "bass_ratio_max", "", 10, "Amplifier power over RMS of the bass, at most."),
    Column(header="Full match from power ratio", field="ratio_full_match", kind=Kind.NUMBER, low=0.3, high=1.25,
           aliases=ALIASES["ratio_full_match"], blank=_default("ratio_full_match"),
           help="Power ratio from which match earns in full."),
    Column(header="Full match to power ratio", field="ratio_full_match_to", kind=Kind.NUMBER, low=0.3, high=1.45,
           aliases=ALIASES["ratio_full_match_to"], blank=_default("ratio_full_match_to"),
           help="Power ratio up to which match earns in full; half is left at 1.5."),
    _number("Factory internal W", "factory_internal_w", "W", 100,
            "Power per channel into 4 ohm assumed for a kept factory head unit."),
    Column(header="Most amplifiers", field="max_amplifiers", kind=Kind.WHOLE, low=0, high=2,
           aliases=ALIASES["max_amplifiers"], blank=_default("max_amplifiers"),
           help="Most external amplifiers in one build."),
    _number("Signal run m", "signal_run_m", "m", 30, "Dash to amplifier, where the vehicle's is unknown."),
    _number("Converter signal run m", "converter_signal_run_m", "m", 30, "Converter to amplifier."),
    _number("Power run m", "power_run_m", "m", 30, "Battery to amplifier, where the vehicle's is unknown."),
    Column(header="Earth lead m", field="earth_lead_m", kind=Kind.NUMBER, unit="m", low=0, high=10,
           aliases=ALIASES["earth_lead_m"], blank=_default("earth_lead_m"),
           help="Earth lead of the amplifier."),
    Column(header="Conductor temperature C", field="conductor_c", kind=Kind.NUMBER, unit="C", low=-40, high=125,
           aliases=ALIASES["conductor_c"], blank=_default("conductor_c"),
           help="Temperature at which the voltage drop is reckoned."),
    _number("Allowed drop V", "allowed_drop_v", "V", 5, "Most voltage that the power run may lose."),
    Column(header="Copper-clad allowed", field="cca_allowed", kind=Kind.YES_NO,
           aliases=ALIASES["cca_allowed"], blank=_default("cca_allowed"),
           help="Whether copper-clad aluminium power kits may be sold; speaker cable is cautioned, not barred."),
    _share("Efficiency class AB", "efficiency_ab", 1, "Efficiency of a class AB amplifier without a fuse rating."),
    _share("Efficiency class D", "efficiency_d", 1, "Efficiency of a class D amplifier without a fuse rating."),
    _number("Supply V", "supply_v", "V", 60, "Voltage at which current is reckoned from power."),
    _share("Music share", "music_share", 1, "Share of full current that music draws on average."),
    _share("Alternator share", "alternator_share", 1, "Share of the alternator's rating above which a caution stands."),
    _share("Speaker cable loss share", "cable_loss_share", 0.5, "Most of the load that the speaker cable may add."),
    _number("Front run m", "front_run_m", "m", 30, "Amplifier to one front speaker, where unknown."),
    _number("Rear run m", "rear_run_m", "m", 30, "Amplifier to one rear speaker, where unknown."),
    _number("Bass run m", "bass_run_m", "m", 30, "Amplifier to the bass, where unknown."),
    Column(header="Speaker cable spare share", field="cable_spare_share", kind=Kind.SHARE, low=0, high=1,
           aliases=ALIASES["cable_spare_share"], blank=_default("cable_spare_share"),
           help="Speaker cable bought on top of the runs."),
    Column(header="Boot spare mm", field="boot_spare_mm", kind=Kind.NUMBER, unit="mm", low=0, high=1000,
           aliases=ALIASES["boot_spare_mm"], blank=_default("boot_spare_mm"),
           help="Room to spare inside the boot, in each direction."),
    _number("Door m2", "door_m2", "m2", 50, "Area worth treating, where the vehicle's is unknown."),
    Column(header="One brand points", field="one_brand_points", kind=Kind.NUMBER, unit="points", low=0, high=100,
           aliases=ALIASES["one_brand_points"], blank=_default("one_brand_points"),
           help="Most points that one brand = prefer adds."),
)
"""Rows that fill `Limits`; a test holds the two together."""

SETTINGS = (*SHOP_SETTINGS, *LIMIT_SETTINGS)

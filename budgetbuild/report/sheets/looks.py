"""How the cells of the result workbook look: typefaces, lines, and number formats with the shop's currency."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from budgetbuild.report.words.notation import Notation

FACE = {"font_name": "Arial", "font_size": 10, "font_scheme": ""}
"""A face that every usual system has, or has another of the same widths for, so that pages come out alike."""
TYPE = {"name": "Arial"}
"""The face of charts."""
SMALL = '&"Arial"&8'
"""The face of headers and footers."""

NOTHING = "\u2013"
"""Stands in a table where there is nothing to show."""

QUIET, PANEL, LINE, HAIR, TYPED = "#54606B", "#E4EAEF", "#A9B4BE", "#D5DCE2", "#FFF8DC"
"""Colours: quiet words, heads of tables, lines, lines between rows, and cells that one may type into."""

TAB_RESULT, TAB_WORKING, TAB_INPUT, TAB_CONTROL = "#2A5D84", "#8AA9C1", "#E0B43C", "#7A858F"
"""Colours of the sheets' tabs; the first sheet says in words which sheet is which."""

Look = dict[str, object]

TOP: Look = {"valign": "top"}
WRAPPED: Look = {**TOP, "text_wrap": True}
INSET: Look = {**WRAPPED, "align": "left", "indent": 1}
ROW: Look = {"bottom": 1, "bottom_color": HAIR}
LEFT: Look = {"align": "left", "indent": 1}
RIGHT: Look = {"align": "right"}
HEAD: Look = {"bold": True, "bg_color": PANEL, "bottom": 1, "bottom_color": LINE}
LINKED: Look = {"font_color": "#0B5394", "underline": 1}
FIGURE: Look = {**TOP, **ROW, **RIGHT}
SUMMED: Look = {**TOP, "bold": True, "top": 1, "top_color": LINE}
INPUT: Look = {**FIGURE, "bg_color": TYPED}

LOOKS: dict[str, Look] = {
    "title": {"bold": True, "font_size": 15},
    "heading": {"bold": True, "font_size": 12},
    "plain": {**TOP},
    "quiet": {**TOP, "font_color": QUIET},
    "aside": {**TOP, **LEFT, "font_color": QUIET},
    "text": {**INSET, **ROW},
    "right": {**FIGURE},
    "right_wrapped": {**FIGURE, **WRAPPED},
    "head": {**INSET, **HEAD},
    "head_right": {**WRAPPED, **HEAD, **RIGHT},
    "label": {**INSET, **ROW, "bold": True},
    "link": {**INSET, **HEAD, **LINKED},
    "link_plain": {**INSET, **ROW, **LINKED},
    "whole": {**FIGURE, "num_format": "0"},
    "whole_or_none": {**FIGURE, "num_format": f'0;-0;"{NOTHING}"'},
    "figure": {**FIGURE, "num_format": "#,##0.0##"},
    "figure_whole": {**FIGURE, "num_format": "#,##0"},
    "score": {**FIGURE, "num_format": "0.00"},
    "score_change": {**FIGURE, "num_format": "+0.00;-0.00;0.00"},
    "score_left": {**FIGURE, **LEFT, "num_format": "0.00"},
    "share": {**FIGURE, "num_format": "0.0%"},
    "share_total": {**SUMMED, **RIGHT, "num_format": "0.0%"},
    "percent": {**FIGURE, "num_format": "0.0##%"},
    "percent_input": {**INPUT, "num_format": "0.0##%"},
    "whole_input": {**INPUT, "num_format": "0"},
    "right_input": {**INPUT},
    "total_label": {**SUMMED, **LEFT},
    "box": {**TOP, "border": 1, "border_color": LINE},
    "short": {"bold": True, "font_color": "#9C0006", "bg_color": "#FFDDDD"},
}
"""Every look that needs no currency, by its name."""


def looks(notation: Notation) -> dict[str, Look]:
    """Every look by its name."""
    amount: Look = {"num_format": money_format(notation)}
    or_none: Look = {"num_format": f'{money_format(notation)};"{NOTHING}"'}
    return {
        **LOOKS,
        "money": {**FIGURE, **amount},
        "money_change": {**FIGURE, "num_format": change_format(notation)},
        "money_left": {**FIGURE, **LEFT, **amount},
        "money_input": {**INPUT, **amount},
        "money_or_none": {**FIGURE, **or_none},
        "money_or_none_left": {**FIGURE, **LEFT, **or_none},
        "total": {**SUMMED, **RIGHT, **amount},
        "total_left": {**SUMMED, **LEFT, **amount},
    }


def money_format(notation: Notation, decimals: str = ".00") -> str:
    r"""The number format of amounts: the currency where the locale puts it, decimal marks as the viewer's program has.

    >>> from budgetbuild.report.words.notation import Notation
    >>> money_format(Notation("EUR", "en_GB")), money_format(Notation("EUR", "de_DE"), "")
    ('"€"#,##0.00;[Red]"-€"#,##0.00', '#,##0"\xa0€";[Red]"-"#,##0"\xa0€"')
    """
    return ";[Red]".join(_around(notation, cents, decimals) for cents in (5, -5))


def change_format(notation: Notation) -> str:
    r"""The number format of amounts more or less, with their sign.

    >>> from budgetbuild.report.words.notation import Notation
    >>> change_format(Notation("EUR", "en_GB"))
    '"+€"#,##0.00;"-€"#,##0.00;"€"#,##0.00'
    """
    more, less = (_around(notation, cents, ".00") for cents in (5, -5))
    return f'"+"{more};{less};{more}'.replace('""', "")


def _around(notation: Notation, cents: int, decimals: str) -> str:
    """The format of amounts with the same sign as this one."""
    before, _, after = notation.money(cents).partition(notation.amount(abs(cents)))
    return f"{_quoted(before)}#,##0{decimals}{_quoted(after)}"


def _quoted(words: str) -> str:
    """Words as a number format holds them."""
    plain = words.replace('"', "")
    return f'"{plain}"' if plain else ""

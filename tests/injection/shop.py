"""A small price list with every kind of sheet, its free texts plain or hostile; the same for a shop's own sentences.

A text that begins with `~` is free text: plain it stands as it is, hostile inside a payload, the same one wherever the
same text stands, so that names still find each other. `~:` marks a text that stands in lists of names, whose separator
no name may have in it.
"""

from __future__ import annotations

import tomllib
from itertools import cycle
from typing import TYPE_CHECKING, Any

import xlsxwriter

from budgetbuild.report.assets import template_folders
from tests.injection.payloads import BAD_LINKS, GOOD_LINK, dressed

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from pathlib import Path

Rows = list[dict[str, Any]]

LINKS = "links"
"""Stands in the place of an address: none in a plain list, a bad one in a hostile list."""
PRODUCTS: dict[str, Rows] = {
    "Head units": [
        {"SKU": "~HU-1", "Model": "~One", "Price": 149, "Rating": 6, "Pre-out pairs": 3, "Internal W": 22,
         "Opening": "double", "Digital radio": "yes"},
        {"SKU": "~HU-2", "Model": "~Two", "Price": 259, "Rating": 8, "Pre-out pairs": 3, "Internal W": 22,
         "Opening": "double", "Digital radio": "no", "Family": "~Deck", "Price high": 280},
        {"SKU": "~HU-3", "Model": "~Two mk II", "Price": 249, "Rating": 8, "Pre-out pairs": 3, "Internal W": 22,
         "Opening": "double", "Digital radio": "no", "Family": "~Deck", "Stock": 0},
    ],
    "Converters": [{"SKU": "~CV-1", "Model": "~Bridge", "Price": 59, "Rating": 6, "Output pairs": 3}],
    "Speakers": [
        {"SKU": "~SP-1", "Model": "~Coax", "Price": 59.9, "Rating": 5, "Type": "coaxial", "Size mm": 165,
         "Depth mm": 55, "Ohm": 4, "RMS W": 50, "Sensitivity dB": 90, "~Cone": "~paper"},
        {"SKU": "~:SP-2", "Model": "~Set", "Price": 129, "Rating": None, "Type": "component", "Size mm": 165,
         "Depth mm": 60, "Ohm": 4, "RMS W": 75, "Sensitivity dB": 91, "~Cone": "~glass", "Price high": 139},
    ],
    "Subwoofers": [
        {"SKU": "~SW-1", "Model": "~Driver", "Price": 99, "Rating": 7, "Type": "driver", "Ohm": 4, "Coils": 1,
         "RMS W": 200, "Size mm": 250, "Box litres min": 25, "Box litres max": 40},
        {"SKU": "~SW-2", "Model": "~Loaded", "Price": 169, "Rating": 6, "Type": "enclosure", "Ohm": 4,
         "RMS W": 180, "Size mm": 250, "Width mm": 430, "Height mm": 350, "Depth mm": 330},
    ],
    "Boxes": [{"SKU": "~BX-1", "Model": "~Box", "Price": 49, "Cut-out mm": 250, "Drivers": 1, "Litres": 30,
               "Width mm": 430, "Height mm": 350, "Depth mm": 330}],
    "Amplifiers": [
        {"SKU": "~AM-4", "Model": "~Four", "Price": 189, "Rating": 7, "Channels": 4, "W at 4 ohm": 70,
         "W at 2 ohm": 100, "Min ohm": 2, "Bridged W at 4 ohm": 200, "Min bridged ohm": 4, "Fuse A": 40, "Class": "AB"},
        {"SKU": "~AM-1", "Model": "~Mono", "Price": 139, "Rating": 6, "Sub W at 4 ohm": 200, "Sub min ohm": 2,
         "Fuse A": 30, "Class": "D"},
    ],
    "Power kits": [
        {"SKU": "~PK-1", "Model": "~Run 16", "Price": 49, "mm2": 21.15, "Conductor": "copper", "Length m": 5,
         "Fuse A": 60, "Amplifiers fed": 2},
        {"SKU": "~PK-2", "Model": "~Run 35", "Price": 89, "mm2": 35, "Conductor": "CCA", "Length m": 5, "Fuse A": 80,
         "Amplifiers fed": 2},
    ],
    "Signal leads": [{"SKU": "~SL-1", "Model": "~Lead", "Price": 15, "Channels": 4, "Length m": 5.5}],
    "Speaker cable": [{"SKU": "~SC-1", "Model": "~Reel", "Price": 2.5, "mm2": 2.5, "Conductor": "CCA",
                       "Metres per unit": 1}],
    "Aerials": [
        {"SKU": "~AE-1", "Model": "~Blade", "Price": 29, "Use": "screen-mount"},
        {"SKU": "~AE-2", "Model": "~Plug", "Price": 12, "Use": "adapter"},
    ],
    "Fitting kits": [{"SKU": "~FK-1", "Model": "~Dash", "Price": 35, "For": "head unit",
                      "Vehicles": "~:Kestrel Hatch; ~:Marl Estate"}],
    "Deadening": [{"SKU": "~DE-1", "Model": "~Mat", "Price": 18, "Rating": 6, "Sheet m2": 0.4}],
}  # fmt: skip
_PLACES: dict[str, Any] = {
    "Opening": "double", "Factory digital aerial": "no", "Front mm": 165, "Front depth mm": 65,
    "Front tweeter place": "yes", "Rear mm": 165, "Rear depth mm": 65, "Rear tweeter place": "no",
    "Boot width mm": 1000, "Boot height mm": 450, "Boot depth mm": 700, "Alternator A": 60, "Power run m": 4.8,
}  # fmt: skip
_WISH: dict[str, Any] = {
    "Vehicle": "~:Kestrel Hatch", "Head unit": "replace", "Front": "required", "Rear": "optional", "Bass": "optional",
    "Amplifier": "optional", "Deadening": "optional", "Fitted": "no", "One brand": "no",
}  # fmt: skip
WORK = (
    "head unit", "converter", "front", "rear", "bass", "amplifier", "deadening per m2",
)  # fmt: skip
ASKED: dict[str, Rows] = {
    "Vehicles": [
        {"Vehicle": "~:Kestrel Hatch", **_PLACES},
        {"Vehicle": "~:Marl Estate", **_PLACES, "Boot depth mm": 300},
    ],
    "Briefs": [
        {"Brief": "~:Everyday", **_WISH, "Fitted": "yes", "One brand": "prefer", "Must include": "~:SP-2"},
        {"Brief": "~:Factory", **_WISH, "Head unit": "keep factory", "Leave out": "~:Corbel"},
        {"Brief": "~:Loud", **_WISH, "Bass": "required", "Amplifier": "required", "Rear": "required"},
        {"Brief": "~:Both", **_WISH, "Vehicle": "all", "Share %": 50, "Bass": "required"},
    ],
    "Tiers": [
        {"Tier": "~Low", "Budget": 420, "Allowance %": 1, "Briefs": None},
        {"Tier": "~High", "Budget": 1300, "Allowance %": 1, "Briefs": "~:Everyday; ~:Factory; ~:Loud; ~:Both"},
    ],
    "Labour": [{"Work": work, "Hours": 0.5} for work in WORK],
    "Points": [
        {"Sheet": "Speakers", "Column": "Sensitivity dB", "Worst": 86, "Best": 94, "Value": None, "Points": 4},
        {"Sheet": "Speakers", "Column": "~Cone", "Worst": None, "Best": None, "Value": "~glass", "Points": 1},
        {"Sheet": "Speakers", "Column": "~Cone", "Worst": None, "Best": None, "Value": "~paper", "Points": 0.5},
    ],
    "Promotions": [
        {"Promotion": "~:Autumn", "Brief": "~:Everyday", "Bundle price": 799, "Sets": 1,
         "Margin floor in %": 5, "Must clear": "~:SP-2", "Clear at least": 1},
        {"Promotion": "~:Given away", "Brief": "~:Factory", "Bundle price": 20, "Sets": 1,
         "Margin floor in %": 5},
    ],
    "Discounts": [
        {"Promotion": None, "For": "amplifier", "Most %": 15},
        {"Promotion": "~:Autumn", "For": "~:SP-2", "Most %": 30},
    ],
    "Texts": [
        {"Place": "opening", "About": None, "Text": "~Welcome"},
        {"Place": "tier", "About": "~High", "Text": "~about the tier"},
        {"Place": "brief", "About": "~:Loud", "Text": "~about the brief"},
        {"Place": "product", "About": "~:SP-2", "Text": "~about the product"},
        {"Place": "closing", "About": None, "Text": "~Good bye"},
    ],
    "Settings": [
        {"Setting": "Shop name", "Value": "~The Shop"},
        {"Setting": "Shop address", "Value": "~:1 Quay; ~:Haven"},
        {"Setting": "Quote terms", "Value": "~:Paid in advance; ~:No returns"},
        {"Setting": "Date", "Value": "~today"},
        {"Setting": "Currency code", "Value": "EUR"},
        {"Setting": "Tax rate", "Value": 0.21},
        {"Setting": "Labour rate", "Value": 60},
        {"Setting": "Prices that may rise", "Value": 1},
    ],
    "~Our own sheet": [{"~whatever": "~it says"}],
}  # fmt: skip


def plain(text: str) -> str:
    """A free text as it is."""
    return text.lstrip("~:")


def hostile(turn: int = 0) -> Callable[[str], str]:
    """Every free text inside a payload: different texts inside different ones, others at every turn."""
    order = {text: place for place, text in enumerate(marks())}

    def dress(text: str) -> str:
        place = order.setdefault(text, len(order)) + turn
        while text.startswith("~:") and ";" in dressed("", place):
            place += 1
        return dressed(text.lstrip("~:"), place)

    return dress


def workbook(path: Path, dress: Callable[[str], str], *, price: float = 1.0, broken: bool = False) -> Path:
    """The list as a workbook, every text a text.

    Args:
        path: Where it goes.
        dress: What becomes of a free text.
        price: What prices are multiplied by, for the list of another day.
        broken: Whether a text stands in every third cell where a figure or a word of the tool belongs.
    """
    links = cycle([None] if dress is plain else BAD_LINKS)
    with xlsxwriter.Workbook(str(path), {"strings_to_urls": False, "strings_to_formulas": False}) as book:
        for title, rows in _book().items():
            sheet = book.add_worksheet(_title(_said(title, dress)))
            headers = list(dict.fromkeys(name for row in rows for name in row))
            sheet.write_row(0, 0, [_said(header, dress) for header in headers])
            for number, row in enumerate(rows, start=1):
                for column, header in enumerate(headers):
                    value = next(links) if row.get(header) == LINKS else row.get(header)
                    if header.startswith("Price") and isinstance(value, int | float):
                        value = round(value * price, 2)
                    if broken and value is not None and (column + number) % 3 == 0:
                        value = f"~{value}".replace("~~", "~")
                    sheet.write(number, column, _said(value, dress) if isinstance(value, str) else value)
    return path


def sentences(folder: Path, *, turn: int | None = None) -> Path:
    """A folder of a shop's own sentences: each of the tool's that may be changed, after a plain word or a payload."""
    (tool,) = template_folders()
    written: Mapping[str, Mapping[str, str | list[str]]] = tomllib.loads((tool / "sentences.toml").read_text("utf-8"))
    folder.mkdir(parents=True, exist_ok=True)
    lines, place = [], turn or 0
    for topic, names in written.items():
        if topic != "safety":
            lines.append(f"[{topic}]")
            for name, text in names.items():
                before, place = "Word" if turn is None else dressed("", place), place + 1
                lines.append(f"{name} = {_toml(before, text if isinstance(text, str) else text[0])}")
    (folder / "sentences.toml").write_text("\n".join(lines) + "\n", "utf-8")
    return folder


def _toml(before: str, text: str) -> str:
    """A sentence after a free text, as TOML writes it; braces that are no figure are doubled."""
    whole = before.replace("{", "{{").replace("}", "}}") + f" {text}"
    return '"' + "".join(mark if mark.isascii() and mark.isalnum() else f"\\U{ord(mark):08x}" for mark in whole) + '"'


def _book() -> dict[str, Rows]:
    """Every sheet, with what all products have: brand, cost, stock, link, note."""
    found: dict[str, Rows] = {}
    for title, rows in PRODUCTS.items():
        found[title] = [
            {"Brand": ("~Alva", "~:Corbel")[place % 2], "Cost": row["Price"] / 2, "Stock": 5, "Link": LINKS,
             "Note": f"~note on {row['SKU'].lstrip('~:')}", "Active": "yes", **row}
            for place, row in enumerate(rows)
        ]  # fmt: skip
    found["Head units"][0]["Link"] = GOOD_LINK
    return found | ASKED


def _texts(value: str) -> list[str]:
    """The texts of a cell: one, or several of a list of names."""
    return value.split("; ") if value.startswith("~:") else [value]


def _said(value: str, dress: Callable[[str], str]) -> str:
    """A cell's text with every free text in it dressed."""
    return "; ".join(dress(one) if one.startswith("~") else one for one in _texts(value))


def _title(text: str) -> str:
    """As much of a text as may be a sheet's title."""
    return "".join(mark for mark in text if mark.isprintable() and mark not in "[]:*?/\\'")[:31]


def marks() -> list[str]:
    """Every free text of the list, in order."""
    cells = [text for title, rows in _book().items() for row in rows for pair in row.items() for text in (title, *pair)]
    found = [one for text in cells if isinstance(text, str) for one in _texts(text) if one.startswith("~")]
    return [*dict.fromkeys(found)]

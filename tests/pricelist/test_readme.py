"""The mapping in the README does what the README says of it."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from tests.pricelist.lists import placed

if TYPE_CHECKING:
    from pathlib import Path

ROWS = [
    ["Art. no", "Make", "Name", "Net", "Qty", "Group", "Imp.", "Text", "Depth", "Unit"],
    ["00123", "Quovane", "C16", "82,60", "4", "Coaxial", "4 ohm", "165 mm, 60 W RMS, 180 W max", "2,5", ""],
    ["00130", "Quovane", "S16", "165,2893", "", "Component", "3", "165 mm, 75 W RMS", "", ""],
    ["00512", "Zebrin", "Duo", "1,90", "90", "Cable", "", "Speaker cable 2 x 2,5 mm2", "", "m"],
    ["00513", "Zebrin", "Duo 100", "150,00", "1", "Cable", "", "speaker cable 2,5 mm2", "", "reel"],
    ["A1", "Zebrin", "Howl", "50,00", "1", "Alarms", "", "", "", ""],
    ["Z1", "Zebrin", "Sticker", "0,50", "1", "Gifts", "", "", "", ""],
]


def test_the_mapping_of_the_readme_sorts_a_list_with_its_columns(repository: Path, tmp_path: Path) -> None:
    found = re.search(r"```toml\n(.*?)```", (repository / "README.md").read_text("utf-8"), re.DOTALL)
    assert found
    sorted_list = placed(tmp_path, found[1], ROWS)
    first, second = sorted_list.products["speakers"]
    # 82.60 x 1.21 = 99.946; 2.5 inches = 63.5 mm
    assert first == {
        "sku": "00123", "brand": "Quovane", "model": "C16", "price": 9995, "stock": 4, "type": "coaxial", "ohm": 4,
        "size_mm": 165, "rms_w": 60, "depth_mm": 63.5,
    }  # fmt: skip
    assert (second["type"], second["rms_w"], second["price"]) == ("component", 75, 20000)
    assert [
        (one["mm2"], one["conductor"], one["metres_per_unit"]) for one in sorted_list.products["speaker_cables"]
    ] == [
        (2.5, "copper", 1),
        (2.5, "copper", 100),
    ]
    assert sorted_list.left_out == 1
    assert [one.texts[1] for one in sorted_list.left_over] == ["Z1"]
    assert sorted_list.blank_counts() == [("Speakers", "Rating", 2)]

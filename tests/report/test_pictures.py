"""The wiring picture: no text cut or over another, every connection drawn, words for those who do not see it."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest

from budgetbuild.build import Caution
from budgetbuild.report.pictures.connections import described, wiring_table
from budgetbuild.report.pictures.diagram import render_diagram
from budgetbuild.report.pictures.lettering import shortened, text_width, wrap
from budgetbuild.report.words.notation import Notation
from tests.report import fixtures
from tests.report.drawn import (
    BUILDS,
    HOSTILE,
    SVG,
    amplifier_and_powered_subwoofer,
    boxes,
    called,
    drawn,
    every_picture,
    leads_alone,
    nothing_at_all,
    parsed,
    same_amplifier_twice,
    segments,
    texts,
    told,
    view_box,
    wiring_pictures,
)

PICTURES = every_picture()
WIRINGS = wiring_pictures()
A4_WIDTH_MM = 180
POINT_MM = 25.4 / 72


@pytest.mark.parametrize("name", PICTURES)
def test_no_text_runs_over_another_or_out_of_the_picture(name: str) -> None:
    picture = parsed(PICTURES[name])
    found, shown = texts(picture), view_box(picture)
    assert found
    for text in found:
        assert shown.holds(text), text
    for one, other in itertools.combinations(found, 2):
        assert not one.meets(other), (one, other)


@pytest.mark.parametrize("name", WIRINGS)
def test_boxes_keep_apart_and_hold_their_text(name: str) -> None:
    picture = parsed(WIRINGS[name])
    found = boxes(picture)
    for one, other in itertools.combinations(found, 2):
        assert not one.meets(other), (one, other)
    for text in texts(picture):
        touched = [box for box in found if box.meets(text)]
        assert all(box.holds(text) for box in touched), text


@pytest.mark.parametrize("name", WIRINGS)
def test_no_connection_crosses_a_box_or_a_text(name: str) -> None:
    picture = parsed(WIRINGS[name])
    areas = [*boxes(picture), *texts(picture)]
    assert segments(picture) or name.startswith(("nothing at all", "leads alone"))
    for left, top, right, bottom in segments(picture):
        for area in areas:
            across = left < area.right - 0.5 and area.left + 0.5 < right and area.top < top and bottom < area.bottom
            along = top < area.bottom - 0.5 and area.top + 0.5 < bottom and area.left < left and right < area.right
            assert not across, area
            assert not along, area


def test_printed_on_a4_no_text_is_smaller_than_seven_point() -> None:
    for name, svg in WIRINGS.items():
        picture = parsed(svg)
        size = float(picture.attrib["font-size"]) * A4_WIDTH_MM / view_box(picture).right / POINT_MM
        assert size >= 7, name


def test_a_picture_says_what_it_is_under_ids_of_its_own() -> None:
    ids = [shape.attrib["id"] for svg in PICTURES.values() for shape in parsed(svg).iter() if "id" in shape.attrib]
    assert len(set(ids)) == len(ids) == 2 * len(PICTURES)
    for svg in PICTURES.values():
        picture = parsed(svg)
        assert picture.attrib["role"] == "img"
        names = [picture.find(f"{SVG}title"), picture.find(f"{SVG}desc")]
        assert picture.attrib["aria-labelledby"].split() == [each.attrib["id"] for each in names if each is not None]
        assert all(each is not None and each.text for each in names)


def test_every_colour_of_the_page_has_a_plain_one_behind_it() -> None:
    for svg in PICTURES.values():
        for shape in parsed(svg).iter():
            for what in ("fill", "stroke"):
                if f"{what}:var(" in shape.attrib.get("style", ""):
                    assert f", {shape.attrib[what]})" in shape.attrib["style"]


def test_the_same_build_gives_the_same_bytes() -> None:
    assert wiring_pictures() == WIRINGS


def test_the_description_says_every_connection() -> None:
    said = described(told(fixtures.two_amplifiers()))
    for words in (
        "Own head unit, kept",
        "3 x Harbour Pair 2",
        "Quillon Mono drives bass",
        "Quillon Four drives rear",
        "main fuse 100\u00a0A",
        "4\u00a0AWG",
        "2 devices",
        "each with an earth lead of 0.6\u00a0m",
    ):
        assert words in said


def test_a_powered_subwoofer_takes_a_lead_and_the_front_stays_on_the_factory_unit() -> None:
    said = drawn(fixtures.kept_factory()).findtext(f"{SVG}desc") or ""
    assert "with converter Osprey Line 4" in said
    assert "It drives front itself: Marlow C 165" in said
    assert "Brandt Seat 8 has its own amplifier" in said


def test_without_an_amplifier_there_is_no_power_run() -> None:
    words = [text.text for text in texts(drawn(fixtures.speakers_only()))]
    assert "Power and earth" not in words
    assert {"factory", "cable", "stays"} <= set(words)


def words_of(build_words: str) -> str:
    return " ".join(text.text for text in texts(drawn(BUILDS[build_words]())))


def test_a_section_shows_mode_load_power_and_ratio_and_its_cable_length_and_gauge() -> None:
    words = words_of("own unit, two amplifiers").replace("\u00a0", " ")
    assert "Front: stereo pair 4 ohm, 75 W each ratio 1.07" in words
    assert "Bass: sub channel 1 ohm, 500 W ratio 1.67" in words
    assert "12.1 m both sides 2.5 mm² copper" in words
    assert "wired: coils in parallel" in words


def test_the_power_run_shows_fuse_place_kit_currents_and_earth() -> None:
    words = words_of("own unit, two amplifiers").replace("\u00a0", " ")
    for shown in ("100 A within 0.45 m (18 in) of the battery", "4 AWG, copper 5 m good for 100 A here",
                  "part of the kit, to 2 devices", "design for 40 A, own fuse rating", "0.6 m 4 AWG, copper",
                  "Vehicle body bare metal"):  # fmt: skip
        assert shown in words
    assert words.count("0.6 m") == 2


def test_a_kit_for_one_device_has_no_distribution() -> None:
    assert "Distribution" not in words_of("head unit replaced")


def test_two_amplifiers_of_one_product_are_told_apart() -> None:
    found = told(same_amplifier_twice())
    assert [amplifier.name for amplifier in found.amplifiers] == [
        "Quillon Four (1\u00a0of\u00a02)", "Quillon Four (2\u00a0of\u00a02)"]  # fmt: skip
    assert [fed.name for side in found.power for fed in side.devices] == [each.name for each in found.amplifiers]
    assert found.amplifiers[1].speakers[0].name == "2 x Brandt Low 10"


def test_a_unit_drives_some_itself_and_feeds_an_amplifier() -> None:
    words = " ".join(text.text for text in texts(drawn(amplifier_and_powered_subwoofer())))
    for shown in ("Mast Screen aerial", "Rear: internal", "Front: stereo pair", "powered subwoofer, bass",
                  "2 of 3 output pairs"):  # fmt: skip
        assert shown in words


def test_what_connects_nothing_says_so() -> None:
    words = " ".join(text.text for text in texts(drawn(nothing_at_all())))
    assert "nothing new is connected to it" in words
    assert segments(drawn(leads_alone())) == []
    assert "nothing takes a signal" in " ".join(text.text for text in texts(drawn(leads_alone())))


def test_the_table_has_a_row_for_every_connection() -> None:
    table = wiring_table(told(fixtures.kept_factory()))
    assert all(len(row) == len(table.header) for row in table.rows)
    assert [row[:2] for row in table.rows] == [
        ("Factory head unit, kept", "Marlow C 165"),
        ("Factory head unit, kept", "Osprey Line 4"),
        ("Osprey Line 4", "Brandt Seat 8"),
        ("Battery", "Main fuse 40\u00a0A"),
        ("Main fuse 40\u00a0A", "Brandt Seat 8"),
        ("Brandt Seat 8", "Vehicle body, bare metal"),
    ]
    assert "Harbour Pair 2: 2-channel, 5.5\u00a0m" in table.rows[2]
    both = wiring_table(told(amplifier_and_powered_subwoofer()))
    assert ("Mast Screen", "Quillon Deck 3", "aerial lead", "") in both.rows
    assert "Harbour Twin 2.5: 12.1\u00a0m, 2.5\u00a0mm², copper" in {row[2] for row in both.rows}


def test_the_table_has_the_whole_of_a_name_that_its_box_shortens() -> None:
    name = HOSTILE["long name"]
    found = told(called(fixtures.replaced(), name))
    assert name in {row[1] for row in wiring_table(found).rows}
    assert any(text.text.endswith("…") for text in texts(parsed(render_diagram("w", "Wiring", found))))


def test_figures_follow_the_locale() -> None:
    found = told(fixtures.replaced(), Notation("EUR", "de_DE"))
    assert found.amplifiers[0].speakers[0].ratio == "1,07"
    assert found.power[0].earth == "0,6\u00a0m"


def test_a_word_wider_than_its_box_is_broken_and_nothing_is_lost() -> None:
    lines = wrap("x" * 100 + " end", 100)
    assert "".join(lines).replace(" ", "") == "x" * 100 + "end"
    assert max(text_width(line) for line in lines) <= 100


def test_a_shortened_text_keeps_its_width_and_says_that_it_is_shortened() -> None:
    lines = shortened("W" * 100, 60, 2)
    assert len(lines) == 2
    assert lines[-1].endswith("W…")
    assert max(text_width(line) for line in lines) <= 60
    assert shortened("short", 60, 2) == ["short"]


def test_letters_that_no_table_lists_count_as_wide() -> None:
    for letters in ("ш", "Щ", "த", "😀", "界"):
        assert text_width(letters) >= text_width("W") - 1 > text_width("n")
    assert text_width("e\u0301") == text_width("e")


def test_the_fuse_of_a_cable_that_carries_less_is_no_larger_than_the_cable_allows() -> None:
    build = fixtures.replaced()
    assert build.audited
    caution = Caution("kit-fuse-above-ampacity", "PK-1", {"ampacity_a": 79})
    found = told(replace(build, audited=replace(build.audited, cautions=(caution,))))
    assert found.power[0].fuse == "at most 79\u00a0A"


def test_what_a_made_up_wiring_lacks_is_left_out() -> None:
    found = told(fixtures.replaced())
    (amplifier,) = found.amplifiers
    bare = replace(found, leads=(), amplifiers=(replace(amplifier, speakers=amplifier.speakers[:1]),))
    words = [text.text for text in texts(parsed(render_diagram("w", "Wiring", bare)))]
    assert "Signal leads" not in words
    assert "signal lead" in {row[2] for row in wiring_table(bare).rows}

"""The counter page without a browser: what it carries, and that nothing in it can act but the tool's own script."""

from __future__ import annotations

import base64
import hashlib
import json
import re
from dataclasses import replace
from fractions import Fraction
from html.parser import HTMLParser
from typing import TYPE_CHECKING, Any

import pytest

from budgetbuild.build import Curve, PricedLine, Role
from budgetbuild.catalogue.shop import Settings
from budgetbuild.faults import UserInputError
from budgetbuild.report.assets import template_folders
from budgetbuild.report.pages.counter import SCRIPTS, render_counter
from budgetbuild.report.words.safety import safety
from tests.report import fixtures
from tests.report.curves import CATALOGUE, ESTATE, SHARES, curve

if TYPE_CHECKING:
    from pathlib import Path

    from budgetbuild.build import Audited

VOID = {"meta", "input", "br", "hr", "img", "link", "path"}
HOSTILE = "</script><img src=x onerror=alert(1)> <!-- {{7*7}} & \u2028 \u202e"


class Page(HTMLParser):
    """Elements with their attributes, the text of each kind of element, and what was left open."""

    def __init__(self, page: bytes) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.texts: list[tuple[str, str]] = []
        self.feed(page.decode())
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note an element."""
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note an element that closes itself."""
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        """Close the element opened last."""
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        """Note text by the element it stands in."""
        self.texts.append((self.open[-1] if self.open else "", data))

    def named(self, tag: str) -> list[dict[str, str | None]]:
        """Attributes of every element of that name."""
        return [attributes for name, attributes in self.tags if name == tag]

    def text(self, tag: str) -> list[str]:
        """Text of every element of that name."""
        return [text for name, text in self.texts if name == tag]

    @property
    def data(self) -> Any:  # noqa: ANN401 - whatever JSON holds
        """What the data element carries."""
        return json.loads(self.text("script")[0])


@pytest.fixture(scope="module")
def curves() -> tuple[Curve, ...]:
    """Two briefs for one vehicle, one of them for another as well, and one that nothing meets."""
    return (
        curve(),
        curve(fixtures.KEEP, seed=2, count=60),
        curve(vehicle=ESTATE, seed=3, count=60),
        Curve(fixtures.OWN, ESTATE, ()),
    )


@pytest.fixture(scope="module")
def page(curves: tuple[Curve, ...]) -> Page:
    """The page of those curves."""
    return Page(render_counter(curves, CATALOGUE))


def find(data: Any, vehicle: str, brief: str) -> Any:  # noqa: ANN401 - whatever JSON holds
    """The curve of a vehicle and brief in the data."""
    place = data["vehicles"].index(vehicle), data["briefs"].index(brief)
    return next(each for each in data["curves"] if (each["vehicle"], each["brief"]) == place)


def lines_at(data: Any, told: Any, place: int) -> list[tuple[str, str, str, int, int]]:  # noqa: ANN401
    """Role, SKU, name, quantity and unit price of every line of a point."""
    found = []
    for group in told["groups"][place]:
        flat = data["groups"][group]
        for number, quantity in zip(flat[::2], flat[1::2], strict=True):
            role, item, price = data["lines"][number]
            sku, name, _ = data["items"][item]
            found.append((data["roles"][role].lower(), sku, name, quantity, price))
    return found


def sentences(data: Any, number: int) -> list[str]:  # noqa: ANN401
    """The sentences of a list."""
    return [data["sentences"][sentence] for sentence in data["lists"][number]]


def test_every_line_and_total_of_every_point_can_be_read_back(page: Page, curves: tuple[Curve, ...]) -> None:
    for each in curves:
        told = find(page.data, each.vehicle.name, each.brief.name)
        assert told["totals"] == [point.total for point in each.points]
        assert told["scored"] == [point.score for point in each.points]
        for place, point in enumerate(each.points):
            assert lines_at(page.data, told, place) == [
                (line.role.value, line.sku, line.description, line.quantity, line.unit_price) for line in point.lines
            ]


def test_every_part_of_every_score_can_be_read_back(page: Page, curves: tuple[Curve, ...]) -> None:
    data, told = page.data, find(page.data, "Tern Hatch", "New head unit")
    for place, point in enumerate(curves[0].points):
        earned = [data["earned"][row] for group in told["scores"][place] for row in data["scores"][group]]
        assert sum(points for _, points, _ in earned) == point.score
        assert [name for name, _, _ in earned] == [
            "Source", "Front", "Amplification (front)", "Match (front)", "Rear", "Amplification (rear)", "Match (rear)",
            "Bass", "Amplification (bass)", "Match (bass)", "Treatment",
        ]  # fmt: skip
        assert sorted(most for _, _, most in earned) == sorted(most * 1000 for _, _, most in SHARES)


def test_every_point_carries_every_safety_sentence(page: Page, curves: tuple[Curve, ...]) -> None:
    data, told = page.data, find(page.data, "Tern Hatch", "New head unit")
    products = {product.sku: product for product in CATALOGUE.products()}
    for place, point in enumerate(curves[0].points):
        assert sentences(data, told["safety"][place]) == [each.text for each in safety(point, products, fixtures.VOICE)]


def test_a_point_says_what_to_watch_and_which_version_to_order(page: Page, curves: tuple[Curve, ...]) -> None:
    data, told = page.data, find(page.data, "Tern Hatch", "New head unit")

    def watched(point: Audited) -> str:
        return " ".join(sentences(data, told["cautions"][curves[0].points.index(point)]))

    for point in curves[0].points:
        codes = {caution.code for caution in point.cautions}
        bass = any(part.sku == "SW-D2" for part in point.system.parts)
        assert ("Measure first (Tern Hatch): depth" in watched(point)) == ("measure-first" in codes)
        assert ("Marlow C 165: " in watched(point)) == ("out-of-stock" in codes)
        assert ("(SW-D2), not Brandt Low 10, 2 x 4\u00a0ohm (SW-D4):" in watched(point)) == bass


def test_a_version_that_the_build_holds_as_well_is_not_warned_of() -> None:
    leads = tuple(replace(lead, family="Pair") for lead in CATALOGUE.signal_leads)
    built = Page(render_counter([curve(count=80)], replace(CATALOGUE, signal_leads=leads))).data
    told = built["curves"][0]
    for place in range(len(told["totals"])):
        skus = {sku for _, sku, *_ in lines_at(built, told, place)} & {"SL-2", "SL-4"}
        warned = any("(SL-" in sentence for sentence in sentences(built, told["cautions"][place]))
        assert warned == (len(skus) == 1)


def test_vehicles_and_briefs_stand_in_the_order_of_the_catalogue(page: Page) -> None:
    assert page.data["vehicles"] == ["Tern Hatch", "Tern Estate"]
    assert page.data["briefs"] == ["New head unit", "Keep factory", "Keep own"]


def test_the_same_curves_give_the_same_bytes_in_any_order(curves: tuple[Curve, ...]) -> None:
    assert render_counter(curves[::-1], CATALOGUE) == render_counter(curves, CATALOGUE)


def test_the_page_starts_at_the_least_tier_that_buys_something(curves: tuple[Curve, ...]) -> None:
    least = curves[0].points[0].total
    affordable = min(tier.budget for tier in CATALOGUE.tiers if tier.budget >= least)
    assert Page(render_counter(curves, CATALOGUE)).data["start"] == [0, 0, affordable]
    assert Page(render_counter(curves, replace(CATALOGUE, tiers=()))).data["start"] == [0, 0, least]
    assert Page(render_counter((), CATALOGUE)).data["start"] == [0, 0, 0]


def test_the_allowance_stands_as_an_exact_fraction(curves: tuple[Curve, ...]) -> None:
    data = Page(render_counter(curves, CATALOGUE, allowance=Fraction(1, 30))).data
    assert (data["allowance"], data["allowed"]) == (["1", "30"], "3.33")


def test_only_the_two_blocks_of_the_tool_may_style_and_run(page: Page) -> None:
    def source(block: str) -> str:
        return f"'sha256-{base64.b64encode(hashlib.sha256(block.encode()).digest()).decode()}'"

    (policy,) = (meta["content"] for meta in page.named("meta") if meta.get("http-equiv") == "Content-Security-Policy")
    style, script = "".join(page.text("style")), page.text("script")[1]
    assert policy
    assert policy.split("; ") == [
        "default-src 'none'", "base-uri 'none'", "form-action 'none'", f"style-src {source(style)}",
        f"script-src {source(script)}", "require-trusted-types-for 'script'", "trusted-types 'none'",
    ]  # fmt: skip
    assert [attributes.get("type") for attributes in page.named("script")] == ["application/json", None]


def test_the_page_needs_nothing_from_outside(page: Page) -> None:
    outside = {"src", "href", "srcset", "action", "style", "background", "poster"}
    assert [attributes for _, attributes in page.tags if outside & set(attributes)] == []
    assert [name for _, attributes in page.tags for name in attributes if name.startswith("on")] == []
    style, script = "".join(page.text("style")), page.text("script")[1]
    assert not re.search(r"url\(|@import|expression", style)
    assert not re.search(
        r"innerHTML|outerHTML|insertAdjacent|document\.write|\beval\b|Function\(|fetch|XMLHttp|import", script
    )


def test_the_page_is_well_formed_and_named(page: Page) -> None:
    assert page.open == []
    assert page.named("html") == [{"lang": "en"}]
    assert [len(page.named(tag)) for tag in ("h1", "main", "header", "footer", "noscript", "title")] == [1] * 6
    assert len(page.named("caption")) == len(page.named("table"))
    assert {header.get("scope") for header in page.named("th")} <= {"col", "row"}
    ids = [attributes["id"] for _, attributes in page.tags if "id" in attributes]
    assert len(ids) == len(set(ids))
    assert {label["for"] for label in page.named("label")} == {"vehicle", "brief", "budget"}


def hostile_page() -> bytes:
    """A page in which shop, vehicle, brief, product and link are all up to no good."""
    speaker, other = CATALOGUE.speakers
    catalogue = replace(
        CATALOGUE,
        name=HOSTILE,
        speakers=(replace(speaker, brand=HOSTILE, model="", link=f"javascript:alert(1)//{HOSTILE}"), other),
        settings=replace(CATALOGUE.settings, shop_name=HOSTILE, date=HOSTILE, currency=HOSTILE),
    )
    found = curve(replace(fixtures.REPLACE, name=HOSTILE), replace(fixtures.HATCH, name=HOSTILE), count=20)

    def renamed(line: PricedLine) -> PricedLine:
        return replace(line, description=HOSTILE) if line.role is Role.FRONT else line

    points = tuple(replace(point, lines=tuple(map(renamed, point.lines))) for point in found.points)
    return render_counter([replace(found, points=points)], catalogue)


def test_hostile_text_forms_no_element_and_loses_no_letter(page: Page) -> None:
    wild = Page(hostile_page())
    assert wild.tags[:2] == page.tags[:2]
    assert [tag for tag, _ in wild.tags] == [tag for tag, _ in page.tags]
    raw = wild.text("script")[0]
    assert not set(raw) & set("<>&\u2028\u2029")
    clean = "</script><img src=x onerror=alert(1)> <!-- {{7*7}} &"
    assert wild.data["vehicles"] == wild.data["briefs"] == [clean]
    assert [link for sku, _, link in wild.data["items"] if sku == "SP-F"] == [""]
    assert "https://shop.example/hu-1" in [link for _, _, link in wild.data["items"]]


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        (lambda good: [good, good], "two curves"),
        (lambda good: [replace(good, points=good.points[::-1])], "does not ascend"),
        (lambda good: [replace(good, points=(refused(good.points[0]),))], "refuses"),
        (lambda good: [replace(good, points=(miscounted(good.points[0]),))], "is not"),
        (lambda good: [replace(good, points=(reversed_lines(good.points[0]),))], "order of their roles"),
    ],
)
def test_a_curve_that_is_not_sound_is_a_defect(wrong: Any, words: str) -> None:  # noqa: ANN401
    with pytest.raises(ValueError, match=words):
        render_counter(wrong(curve(count=10)), CATALOGUE)


def refused(point: Audited) -> Audited:
    """The same build with a check that failed."""
    return replace(point, checks=(replace(point.checks[0], ok=False),))


def reversed_lines(point: Audited) -> Audited:
    """The same build told from its last line to its first."""
    return replace(point, lines=point.lines[::-1])


def miscounted(point: Audited) -> Audited:
    """The same build with a line that costs a cent more than its quantity times its price."""
    first, *rest = point.lines
    return replace(point, lines=(replace(first, line_total=first.line_total + 1), *rest))


def test_a_second_vehicle_with_the_same_answers_costs_its_numbers_alone() -> None:
    one = curve(count=400)
    single, double = render_counter([one], CATALOGUE), render_counter([one, replace(one, vehicle=ESTATE)], CATALOGUE)
    assert (len(double) - len(single)) / len(one.points) < 80


def test_a_shop_without_name_or_date_and_with_a_plain_currency_code() -> None:
    settings = Settings(currency="SEK")
    text = render_counter([curve(count=5)], replace(CATALOGUE, settings=settings)).decode()
    assert "<title>What the budget buys</title>" in text
    assert '"mark":"SEK"' in text
    assert "Prices include tax.</p>" in text


def test_a_shops_own_style_takes_the_place_of_ours(tmp_path: Path) -> None:
    (tmp_path / "counter.css").write_text("body { color: teal }", "utf-8")
    built = Page(render_counter([curve(count=5)], CATALOGUE, templates=tmp_path))
    assert built.text("style") == ["body { color: teal }\n"]
    digest = base64.b64encode(hashlib.sha256(b"body { color: teal }\n").digest()).decode()
    assert any(f"style-src 'sha256-{digest}'" in (meta.get("content") or "") for meta in built.named("meta"))


@pytest.mark.parametrize(
    ("name", "content", "found"),
    [
        ("counter.html.j2", b"{{ nonsense }}", "nonsense"),
        ("counter.html.j2", b"{% if %}", "line 1"),
        ("counter.html.j2", b"\xff\xfe", "counter.html.j2"),
        ("counter.js", b"'use strict';\n'</SCRIPT>'", "counter.js, line 2"),
        ("counter.css", b"/* <!-- */", "<!-- may not stand here"),
    ],
)
def test_a_shops_own_template_that_is_wrong_is_told_to_the_user(
    name: str, content: bytes, found: str, tmp_path: Path
) -> None:
    (tmp_path / name).write_bytes(content)
    with pytest.raises(UserInputError) as caught:
        render_counter([curve(count=5)], CATALOGUE, templates=tmp_path)
    assert found in caught.value.faults[0].found


def test_our_own_template_that_is_wrong_is_a_defect(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("counter.css", *SCRIPTS):
        (tmp_path / name).write_bytes((template_folders()[0] / name).read_bytes())
    (tmp_path / "counter.html.j2").write_text("{{ nonsense }}", "utf-8")
    monkeypatch.setattr("budgetbuild.report.pages.counter.template_folders", lambda _own: [tmp_path])
    with pytest.raises(Exception, match="nonsense"):
        render_counter([curve(count=5)], CATALOGUE)

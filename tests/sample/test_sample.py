"""The sample catalogue is what its maker writes, loads clean, and holds what the documents promise."""

from __future__ import annotations

import zipfile
from collections import Counter
from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

import openpyxl
import pytest

from budgetbuild.catalogue.kinds import AmplifierClass, HeadUnitMode, Opening, SubwooferType, Work
from budgetbuild.catalogue.load import load_catalogue
from budgetbuild.faults import Severity
from tests.sample.make_sample import write_sample
from tests.sample.scaled import scaled_catalogue, write_workbook

if TYPE_CHECKING:
    from pathlib import Path

    from budgetbuild.catalogue.shop import Catalogue


@pytest.fixture(scope="module")
def sample(sample_workbook: Path) -> Catalogue:
    """The sample catalogue as the reader gives it."""
    return load_catalogue(sample_workbook)


def content(catalogue: Catalogue) -> Catalogue:
    """A catalogue without what says which file it came from."""
    return replace(catalogue, name="", sha256="", warnings=())


def parts(path: Path) -> dict[str, bytes]:
    """The parts of a workbook, unpacked: how well zlib packs differs between machines."""
    with zipfile.ZipFile(path) as package:
        return {name: package.read(name) for name in package.namelist()}


def test_the_sample_is_what_its_maker_writes(sample_workbook: Path, tmp_path: Path) -> None:
    fresh = tmp_path / "sample.xlsx"
    write_sample(fresh)
    assert parts(fresh) == parts(sample_workbook), "run python -m tests.sample.make_sample"


def test_the_maker_writes_the_same_bytes_every_time(tmp_path: Path) -> None:
    first, second = tmp_path / "first.xlsx", tmp_path / "second.xlsx"
    write_sample(first)
    write_sample(second)
    assert first.read_bytes() == second.read_bytes()


def test_the_sample_loads_with_nothing_worse_than_a_notice(sample: Catalogue) -> None:
    assert [str(fault) for fault in sample.warnings if fault.severity is not Severity.NOTICE] == []


def test_the_sample_has_about_300_products_with_unique_skus(sample: Catalogue) -> None:
    skus = Counter(product.sku for product in sample.products())
    assert 280 <= len(skus) <= 320
    assert max(skus.values()) == 1


def test_skus_made_of_digits_keep_their_leading_zeros(sample: Catalogue) -> None:
    assert sum(product.sku.startswith("00") for product in sample.products()) > 50


def test_the_tiers_are_650_1300_and_2600_with_one_percent_allowance(sample: Catalogue) -> None:
    assert [(tier.budget, tier.allowance) for tier in sample.tiers] == [
        (65000, Fraction(1, 100)),
        (130000, Fraction(1, 100)),
        (260000, Fraction(1, 100)),
    ]


def test_every_tier_names_one_brief_of_each_kind(sample: Catalogue) -> None:
    modes = {brief.name: brief.head_unit for brief in sample.briefs}
    assert len(sample.briefs) > 3
    for tier in sample.tiers:
        assert [modes[name] for name in tier.briefs] == list(HeadUnitMode)


def test_vehicles_are_eight_or_more_with_every_kind_of_opening(sample: Catalogue) -> None:
    assert len(sample.vehicles) >= 8
    assert {vehicle.opening for vehicle in sample.vehicles} == {Opening.SINGLE, Opening.DOUBLE, Opening.NONE}
    assert {vehicle.factory_digital_aerial for vehicle in sample.vehicles} == {True, False}
    assert any(vehicle.boot_width_mm is None for vehicle in sample.vehicles)


def test_every_kind_of_product_is_there(sample: Catalogue) -> None:
    assert {subwoofer.type for subwoofer in sample.subwoofers} == set(SubwooferType)
    assert {(amplifier.channels, bool(amplifier.sub_w_at_4)) for amplifier in sample.amplifiers} == {
        (2, False),
        (4, False),
        (6, False),
        (0, True),
        (4, True),
    }
    assert any(amplifier.fuse_a is None for amplifier in sample.amplifiers)
    assert sum(not product.active for product in sample.products()) == 1
    families = Counter(product.family for product in sample.products() if product.family)
    assert len(families) >= 8
    assert min(families.values()) >= 2


def test_every_work_has_hours(sample: Catalogue) -> None:
    assert set(sample.labour_hours) == set(Work)


def test_stated_fuses_go_with_the_rated_output(sample: Catalogue) -> None:
    efficiency = {AmplifierClass.AB: 0.55, AmplifierClass.D: 0.80}
    for amplifier in sample.amplifiers:
        assert amplifier.amplifier_class is not None
        sub = max(amplifier.sub_w_at_4 or 0, amplifier.sub_w_at_2 or 0, amplifier.sub_w_at_1 or 0)
        watts = amplifier.channels * (amplifier.w_at_4 or 0) + sub
        current = watts / (efficiency[amplifier.amplifier_class] * 13.8)
        assert amplifier.fuse_a is None or 0.95 <= amplifier.fuse_a / current <= 1.5, amplifier.name


def test_links_point_nowhere(sample: Catalogue) -> None:
    links = [product.link for product in sample.products() if product.link]
    assert links
    assert all(link.startswith("https://example.invalid/") for link in links)


def test_the_workbook_has_no_hidden_sheet_and_explains_itself_first(sample_workbook: Path) -> None:
    book = openpyxl.load_workbook(sample_workbook)
    assert book.sheetnames[0] == "Read me"
    assert {sheet.sheet_state for sheet in book.worksheets} == {"visible"}
    assert all(cell.comment for cell in book["Vehicles"][1])


def test_a_written_sample_reads_back_equal(sample: Catalogue, tmp_path: Path) -> None:
    copy = tmp_path / "copy.xlsx"
    write_workbook(sample, copy)
    assert content(load_catalogue(copy)) == content(sample)


def test_a_scaled_catalogue_reads_back_without_faults(tmp_path: Path) -> None:
    path = tmp_path / "scaled.xlsx"
    made = scaled_catalogue(300)
    write_workbook(made, path)
    read = load_catalogue(path)
    assert len(read.products()) == 300
    assert [product.sku for product in read.products()] == [product.sku for product in made.products()]
    assert {fault.severity for fault in read.warnings} <= {Severity.NOTICE}


@pytest.mark.parametrize("products", [100, 300, 2000, 20000])
def test_a_scaled_catalogue_has_just_so_many_products_with_unique_skus(products: int) -> None:
    assert len({product.sku for product in scaled_catalogue(products).products()}) == products


def test_a_scaled_catalogue_is_the_same_every_time_and_another_for_another_seed() -> None:
    assert scaled_catalogue(300) == scaled_catalogue(300)
    assert scaled_catalogue(300) != scaled_catalogue(300, seed=2)

"""The table of a fleet as a Parquet file: fixed columns, fixed groups of rows, no clock; needs pyarrow.

Every column says in the file what it is. The file's own data names the catalogue, its hash and the tool's version.
"""

from __future__ import annotations

import io
from itertools import islice
from typing import TYPE_CHECKING, Any

import pyarrow as pa
import pyarrow.parquet as pq

from budgetbuild import __version__

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping
    from pathlib import Path

    from budgetbuild.fleet.fleet import Fleet
    from budgetbuild.fleet.rows import Row

NAME = "fleet.parquet"
FORMAT = "1"
"""Goes up where a column changes its meaning or goes away."""
ROWS_A_GROUP = 10_000
"""Rows that are compressed together; fixed, so that the bytes depend on nothing but the rows."""

CENTS, THOUSANDTHS = pa.int64(), pa.int32()
LINE = pa.struct(
    [
        pa.field("role", pa.string(), nullable=False),
        pa.field("sku", pa.string(), nullable=False),
        pa.field("description", pa.string(), nullable=False),
        pa.field("quantity", pa.int32(), nullable=False),
        pa.field("unit_price_cents", CENTS, nullable=False),
    ]
)

COLUMNS: Mapping[str, tuple[Any, str]] = {
    "vehicle": (pa.string(), "name in the sheet Vehicles"),
    "vehicle_weight": (pa.float64(), "how common it is (Weight), beside the others"),
    "brief": (pa.string(), "name in the sheet Briefs"),
    "tier": (pa.string(), "name in the sheet Tiers"),
    "budget_cents": (CENTS, "budget of the tier"),
    "cap_cents": (CENTS, "most that a system may cost: budget and allowance"),
    "status": (pa.string(), "optimal: the best system; infeasible: none; left out: not asked, see reason"),
    "reason": (pa.string(), "why there is no system, or which cells of the vehicle must be mended"),
    "score_thousandths": (THOUSANDTHS, "score in thousandths of a point, 100,000 at most"),
    "total_cents": (CENTS, "price, tax and labour included"),
    "least_total_cents": (CENTS, "price of the cheapest complete system for this brief and vehicle, at any budget"),
    "net_total_cents": (CENTS, "price without tax, where the settings state a tax rate"),
    "labour_cents": (CENTS, "of the price, fitting; 0 where the brief is not fitted"),
    "parts_cost_cents": (CENTS, "what the parts cost the shop without tax, where each has a cost"),
    "lines": (pa.list_(pa.field("line", LINE, nullable=False)), "parts and labour; labour has an empty sku"),
    "cautions": (pa.list_(pa.field("code", pa.string(), nullable=False)), "codes of what to watch"),
    "checks": (pa.int32(), "rules that the system was checked by and met"),
    "counter_file": (pa.string(), "the vehicle's file in the folder counters"),
}
"""Type and meaning of each column."""

ALWAYS = frozenset({"vehicle", "vehicle_weight", "brief", "tier", "budget_cents", "cap_cents", "status", "lines"})
"""Columns that are filled in every row, with the list of cautions."""


def schema_of(fleet: Fleet) -> Any:  # noqa: ANN401 - pyarrow has no types
    """The columns, with what the file says of itself."""
    catalogue = fleet.catalogue
    told = {
        "format": FORMAT,
        "version": __version__,
        "catalogue": catalogue.name,
        "catalogue_sha256": catalogue.sha256,
        "prices": catalogue.fresh.name if catalogue.fresh else "",
        "prices_sha256": catalogue.fresh.sha256 if catalogue.fresh else "",
        "shop": catalogue.settings.shop_name,
        "date": catalogue.settings.date,
        "currency": catalogue.settings.currency,
    }
    fields = [
        pa.field(name, kind, nullable=name not in ALWAYS | {"cautions"}, metadata={"description": meaning})
        for name, (kind, meaning) in COLUMNS.items()
    ]
    return pa.schema(fields, metadata={f"budgetbuild.{name}": text for name, text in told.items()})


def render_table(rows: Iterable[Row], fleet: Fleet) -> bytes:
    """The rows as a Parquet file; the same rows and fleet give the same bytes."""
    schema, file = schema_of(fleet), io.BytesIO()
    with pq.ParquetWriter(file, schema, version="2.6", compression="zstd", compression_level=6) as writer:
        for group in _groups(iter(rows)):
            writer.write_table(pa.Table.from_pylist(group, schema), row_group_size=ROWS_A_GROUP)
    return file.getvalue()


def counters_of(path: Path) -> set[str]:
    """Counter files that a table names; none where it is not there, or is no table of a fleet."""
    if not path.is_file():
        return set()
    try:
        named = pq.read_table(path, columns=["counter_file"])["counter_file"].unique().to_pylist()
    except (pa.ArrowException, OSError, ValueError, KeyError):
        return set()
    return {name for name in named if isinstance(name, str) and name}


def _groups(rows: Iterator[Row]) -> Iterator[list[Row]]:
    while group := list(islice(rows, ROWS_A_GROUP)):
        yield group

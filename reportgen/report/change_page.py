"""What the part about what could change the answer shows beside its pictures. Computes no result."""

from __future__ import annotations

from dataclasses import dataclass

from reportgen.assessment import Assessment
from reportgen.figures import show, years_span
from reportgen.payback.choices_result import GridCell, GridTable


@dataclass(frozen=True)
class GridRow:
    label: str
    cells: tuple[tuple[str, str, bool], ...]     # worth, years, whether as stated


@dataclass(frozen=True)
class GridShown:
    title: str                                   # the rule and the use
    rows: tuple[GridRow, ...]


@dataclass(frozen=True)
class ChangePage:
    first: GridShown | None                      # rule and use as stated
    rest: tuple[GridShown, ...]
    sizes: tuple[tuple[str, ...], ...]           # name, modules, output, price, worth, years


def change_page(assessment: Assessment) -> ChangePage:
    grid, choices = assessment.grid, assessment.choices
    shown = [] if grid is None else [(_is_first(table), _shown(assessment, table)) for table in grid.tables]
    sizes = () if choices is None or len(choices.sizes) < 2 else tuple(
        (rung.name + (" (as counted in this report)" if rung.is_own else "") + (f", {rung.kept_to}" if rung.kept_to else ""),
         str(rung.module_count), rung.output.span_text() or rung.output.text(), rung.price.text(),
         f"{rung.net_present_value.span_text()}; middle {rung.net_present_value.text()}" if rung.net_present_value.span_text()
         else rung.net_present_value.text(),
         years_span(rung.payback.low, rung.payback.high, assessment.payback.horizon_years)) for rung in choices.sizes)
    return ChangePage(next((one for is_first, one in shown if is_first), None), tuple(one for is_first, one in shown if not is_first), sizes)


def _is_first(table: GridTable) -> bool:
    return any(cell.is_as_stated for row in table.rows for cell in row)


def _shown(assessment: Assessment, table: GridTable) -> GridShown:
    grid = assessment.grid
    rows = tuple(GridRow(label, tuple(_cell(cell, grid.currency, grid.horizon_years) for cell in row))
                 for label, row in zip(grid.growths, table.rows, strict=True))
    return GridShown(f"Use {table.use}; rule for what is sent out: {table.rule}", rows)


def _cell(cell: GridCell, currency: str, horizon: int) -> tuple[str, str, bool]:
    return show(cell.net_present_value, currency), years_span(*cell.payback_years, horizon), cell.is_as_stated

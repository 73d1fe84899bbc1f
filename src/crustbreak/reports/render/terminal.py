"""Papers as plain text with their pictures in signs, for a terminal."""

import textwrap
from collections.abc import Iterable, Sequence
from typing import Any

from crustbreak.reports.blocks import (
    Block,
    Chart,
    Disclosure,
    Grid,
    Heading,
    Items,
    Paper,
    Part,
    Text,
    Words,
)

COLUMNS = 100
# Signs of the picture; a later one covers an earlier one.
UNDER, OVER, HOLLOW, SOLID, MEAN, CUT, LOOK = "─", "━", "▒", "█", "●", "┊", "╷"
THIN = "·"
HEIGHTS = " ▁▂▃▄▅▆▇█"


def as_text(paper: Paper, *, columns: int = COLUMNS) -> str:
    """Return a paper as text of so many columns, its annex at the end."""
    lines = [*_wrapped(f"{paper.kind} · {paper.lab}, {paper.day}", columns), ""]
    lines += [*_wrapped(paper.finding.upper(), columns), ""]
    for part in paper.parts:
        lines += _part(part, columns)
    lines += [f"{'_' * 24}  {each}" for each in paper.signs] + [""]
    for part in paper.annex:
        lines += _part(part, columns)
    lines += [*_wrapped(paper.foot, columns), ""]
    return "\n".join(line.rstrip() for line in lines)


def blocks_as_lines(blocks: Sequence[Block], columns: int = COLUMNS) -> list[str]:
    """Return blocks as lines of at most so many columns, but for tables that need more."""
    lines: list[str] = []
    for nth, block in enumerate(blocks):
        if nth:
            lines.append("")
        lines += _lines(block, columns)
    return lines


def draw_in_signs(spec: dict[str, Any], columns: int = COLUMNS) -> list[str]:
    """Draw one of the specs of `charts` in signs; it is read off the spec, figure by figure."""
    meta, rows = spec["usermeta"], spec["data"]["values"]
    if meta.get("drawing") == "bowls":
        return _bowls(meta, rows, columns)
    return _ranges(meta, rows, _looks(spec), columns) if "ends" in meta else _ranks(rows, columns)


def _part(part: Part, columns: int) -> list[str]:
    return [part.title, "─" * len(part.title), *blocks_as_lines(part.blocks, columns), ""]


def _lines(block: Block, columns: int) -> list[str]:
    match block:
        case Text(words=said, kind=kind):
            return _wrapped(f"{'! ' if kind == 'warned' else ''}{_said(said)}", columns)
        case Heading(text=text, small=small):
            return _wrapped(f"{text.upper()}{f' ({small})' if small else ''}", columns)
        case Items(items=items):
            return [line for item in items for line in _wrapped(f"- {_said(item)}", columns, "  ")]
        case Chart(drawn=drawn):
            return draw_in_signs(drawn["wide"], columns)
        case Grid():
            return _grid(block)
        case Disclosure(summary=summary, blocks=folded):
            return [summary, "", *blocks_as_lines(folded, columns)]


def _said(said: Words) -> str:
    return "".join(run.text for run in said)


def _wrapped(text: str, columns: int, indent: str = "") -> list[str]:
    return textwrap.wrap(text, columns, subsequent_indent=indent) or [""]


def _grid(grid: Grid) -> list[str]:
    rows = [list(grid.head), *([_said(each) for each in row] for row in grid.rows)]
    widths = [max(len(row[nth]) for row in rows) for nth in range(len(grid.head))]
    lines = [
        "  ".join(
            text.ljust(width) if nth == 0 else text.rjust(width)
            for nth, (text, width) in enumerate(zip(row, widths, strict=True))
        )
        for row in rows
    ]
    ruled = "─" * (sum(widths) + 2 * (len(widths) - 1))
    return [*([grid.caption] if grid.shown else []), lines[0], ruled, *lines[1:]]


def _looks(spec: dict[str, Any]) -> list[dict[str, Any]]:
    layer = next(layer for layer in spec["layer"] if layer["name"] == "looks")
    ratings: list[dict[str, Any]] = layer["data"]["values"]
    return ratings


def _ranges(
    meta: dict[str, Any],
    rows: Sequence[dict[str, Any]],
    ratings: Sequence[dict[str, Any]],
    columns: int,
) -> list[str]:
    names = _name_width(rows)
    plot = max(columns - names - 36, 20)
    low, high = float(meta["ends"][0]), float(meta["ends"][1])

    def at(value: float) -> int:
        return round((value - low) / (high - low) * (plot - 1))

    def ruled(row: dict[str, Any]) -> str:
        signs = [" "] * plot
        for first, last, sign in (
            ("low", "under_to", UNDER),
            ("over_from", "high", OVER),
            ("inner_low", "inner_under_to", HOLLOW),
            ("inner_over_from", "inner_high", SOLID),
        ):
            if row.get(first) is not None and row.get(last) is not None:
                for place in range(at(row[first]), at(row[last]) + 1):
                    signs[place] = sign
        signs[at(meta["cut_off"])] = CUT
        if row["mean_drawn"] is not None:
            signs[at(row["mean_drawn"])] = MEAN
        return "".join(signs)

    def ticked(name: str) -> str:
        signs = [" "] * plot
        for each in ratings:
            if each["name"] == name:
                signs[at(each["look"])] = LOOK
        return "".join(signs)

    lines = [f"{'':{names}}  {_placed(meta['said'], at(meta['cut_off']), plot)}"]
    for row in rows:
        drawn = row["nothing"] or ruled(row)
        figures = f"{row['figure']:>6}  {row['span']:<14}{row['over']:>10}"
        lines.append(f"{_cut(row['name'], names):{names}}  {drawn:{plot}}{figures}")
        lines.append(f"{_cut(row['small'], names):{names}}  {ticked(row['name'])}")
    lines.append(f"{'':{names}}  {low:g}{f'{high:g}':>{plot - len(f'{low:g}')}}")
    return lines


def _bowls(meta: dict[str, Any], rows: Sequence[dict[str, Any]], columns: int) -> list[str]:
    names = _name_width(rows)
    plot = max(columns - names - 30, 20)
    low, high = float(meta["ends"][0]), float(meta["ends"][1])
    gap = meta["gap"]

    def at(value: float) -> int:
        return round((value - low) / (high - low) * (plot - 1))

    def counted(name: str) -> str:
        signs = [THIN] * plot
        marks = [dot["mark"] for dot in meta["dots"] if dot["name"] == name]
        for mark in marks:
            # One bowl is a dot, several at one mark are how many they are.
            signs[at(mark)] = MEAN if marks.count(mark) == 1 else str(min(marks.count(mark), 9))
        return "".join(signs)

    def held() -> str:
        signs = [THIN] * plot
        if gap["low"] is not None:
            for place in range(at(gap["low"]), at(gap["high"]) + 1):
                signs[place] = OVER
        signs[at(gap["within"])] = CUT
        signs[at(gap["mean"])] = MEAN
        return "".join(signs)

    lines = []
    for nth, row in enumerate(rows):
        is_gap = gap is not None and nth == len(rows) - 1
        drawn = held() if is_gap else counted(row["name"])
        figures = f"{row['figure']:>6}  {row['span']}"
        lines.append(f"{_cut(row['name'], names):{names}}  {drawn}{figures}")
        small = f"{row['small']}, d {gap['within']:g} at {CUT}" if is_gap else row["small"]
        lines.append(small)
    lines.append(f"{'':{names}}  {low:g}{f'{high:g}':>{plot - len(f'{low:g}')}}")
    return lines


def _ranks(rows: Sequence[dict[str, Any]], columns: int) -> list[str]:
    names = _name_width(rows)
    of_name: dict[str, list[dict[str, Any]]] = {}
    for row in rows:
        of_name.setdefault(row["name"], []).append(row)
    wide = max(min((columns - names) // max(len(of_name), 1), 12), 4)
    head = "".join(f"{f'{nth}.':>{wide}}" for nth in range(1, len(of_name) + 1))
    lines = [f"{'':{names}}{head}"]
    for name, ranks in of_name.items():
        bars = "".join(f"{_bar(each['chance']) + ' ' + each['said']:>{wide}}" for each in ranks)
        lines.append(f"{_cut(name, names):{names}}{bars}")
    return lines


def _bar(chance: float) -> str:
    return HEIGHTS[round(chance * (len(HEIGHTS) - 1))]


def _name_width(rows: Iterable[dict[str, Any]]) -> int:
    said = [str(row.get(field, "")) for row in rows for field in ("name", "small")]
    return min(max(map(len, said), default=0), 28)


def _cut(text: str, width: int) -> str:
    return text if len(text) <= width else f"{text[: width - 1]}…"


def _placed(text: str, at: int, width: int) -> str:
    start = min(max(at - len(text) // 2, 0), max(width - len(text), 0))
    return f"{'':{start}}{text}"

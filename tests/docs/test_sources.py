"""Every source that is referred to is listed, once."""

import re
from pathlib import Path

ROOT = Path(__file__).parents[2]
LIST = ROOT / "docs" / "sources.md"
REFERENCE = re.compile(r"\[(S\d+)\]")
ENTRY = re.compile(r"^\*\*\[(S\d+)\]\*\* \S", flags=re.MULTILINE)
KINDS = {".py", ".toml", ".md", ".html", ".js", ".css"}


def listed() -> list[str]:
    return ENTRY.findall(LIST.read_text(encoding="utf-8"))


def test_sources_are_numbered_in_order_and_once() -> None:
    numbers = listed()

    assert numbers == [f"S{n}" for n in range(1, len(numbers) + 1)]


def test_every_source_referred_to_is_listed() -> None:
    files = [
        path
        for folder in ("src", "docs", "tests")
        for path in sorted((ROOT / folder).rglob("*"))
        if path.suffix in KINDS
    ]

    unknown = {
        f"{path.relative_to(ROOT)}: [{number}]"
        for path in files
        for number in REFERENCE.findall(path.read_text(encoding="utf-8"))
        if number not in listed()
    }

    assert unknown == set()


def test_every_source_says_what_was_seen() -> None:
    text = LIST.read_text(encoding="utf-8")
    entries = ENTRY.split(text)[1:]

    assert all("\nSeen: " in body for body in entries[1::2])

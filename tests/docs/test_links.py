"""The pages lead somewhere, and name commands that exist."""

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PAGES = [*sorted(ROOT.glob("*.md")), *sorted((ROOT / "docs").rglob("*.md"))]
LINK = re.compile(r"\]\(([^)#:]+)(?:#[^)]*)?\)")
MADE = re.compile(r"(?:^|`)make ([a-z]+)", flags=re.MULTILINE)
TARGET = re.compile(r"^([a-z]+):", flags=re.MULTILINE)


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.relative_to(ROOT).as_posix())
def test_every_link_inside_the_project_leads_somewhere(page: Path) -> None:
    links = LINK.findall(page.read_text(encoding="utf-8"))

    assert [link for link in links if not (page.parent / link).exists()] == []


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.relative_to(ROOT).as_posix())
def test_every_make_command_exists(page: Path) -> None:
    targets = set(TARGET.findall((ROOT / "Makefile").read_text(encoding="utf-8")))
    named = set(MADE.findall(page.read_text(encoding="utf-8")))

    assert named <= targets

"""The lock says exactly what is installed, and not from where."""

import re
import tomllib
from pathlib import Path

ROOT = Path(__file__).parents[2]
LOCK = (ROOT / "requirements.lock").read_text(encoding="utf-8")
PINNED = re.compile(r"^([a-z0-9.-]+)==\S+", flags=re.MULTILINE)


def test_every_requirement_is_pinned_and_hashed() -> None:
    requirements = LOCK.replace("\\\n", " ").splitlines()

    assert len(requirements) > 50
    assert [line for line in requirements if "==" not in line or "--hash=sha256:" not in line] == []


def test_no_address_and_no_path_is_in_it() -> None:
    assert re.findall(r"\S*(?:://|@|-url|^-|\./|/)\S*", LOCK, flags=re.MULTILINE) == []


def test_everything_the_project_asks_for_is_in_it() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    asked = [*project["dependencies"], *project["optional-dependencies"]["dev"]]

    names = {re.split(r"[^a-z0-9-]", line)[0] for line in asked}

    assert names - set(PINNED.findall(LOCK)) == set()

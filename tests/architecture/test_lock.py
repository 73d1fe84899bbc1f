"""The locks say exactly what is installed, and not from where."""

import json
import re
import tomllib
from pathlib import Path

ROOT = Path(__file__).parents[2]
LOCK = (ROOT / "requirements.lock").read_text(encoding="utf-8")
NODE_LOCK = (ROOT / "package-lock.json").read_text(encoding="utf-8")
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


def test_every_node_package_is_pinned_and_hashed() -> None:
    packages = json.loads(NODE_LOCK)["packages"]
    project = packages.pop("")

    assert set(project["devDependencies"]) <= {name[len("node_modules/") :] for name in packages}
    assert "dependencies" not in project
    for name, package in packages.items():
        assert re.fullmatch(r"\d+\.\d+\.\d+", package["version"]), name
        assert package["integrity"].startswith("sha512-"), name


def test_no_address_is_in_the_node_lock() -> None:
    packages = json.loads(NODE_LOCK)["packages"].values()

    # A project's own page, to which one may give, is no place from which anything comes.
    kept = {**json.loads(NODE_LOCK), "packages": [{**each, "funding": None} for each in packages]}
    assert re.findall(r"[^\s\"]*(?://|@[^/\"]*:|git\+|file:)[^\s\"]*", json.dumps(kept)) == []
    assert [each for each in packages if {"resolved", "link"} & set(each)] == []


def test_what_is_asked_of_node_is_what_its_lock_was_made_from() -> None:
    asked = json.loads((ROOT / "package.json").read_text(encoding="utf-8"))

    assert json.loads(NODE_LOCK)["packages"][""]["devDependencies"] == asked["devDependencies"]
    assert {"dependencies", "scripts"} & set(asked) == set()

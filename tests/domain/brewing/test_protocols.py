import tomllib
from importlib import resources
from typing import Any

import pytest

from crustbreak.core.errors import Unacceptable
from crustbreak.domain.brewing.protocols import BOUNDS, Protocol, find_faults, read_protocol
from crustbreak.domain.records.recipes import STANDARD

HOME = resources.files("crustbreak") / "data" / "protocols"
GOOD: dict[str, Any] = {
    "id": "house",
    "version": 1,
    "title": "Ours",
    "dose_g": 9.5,
    "water_ml": 160,
    "steep_s": 240,
    "pour_c": 93,
    "stirs": 3,
    "source": "our own",
}


def shipped() -> dict[str, Protocol]:
    files = [file for file in HOME.iterdir() if file.name.endswith(".toml")]
    read = [
        read_protocol(tomllib.loads(file.read_text(encoding="utf-8")), name=file.name)
        for file in files
    ]
    return {each.ref: each for each in read}


def test_the_standard_is_shipped_as_its_source_has_it() -> None:
    # 8.25 g to 150 ml at about 93 C, broken after 4 min with three stirs: [S1], 2004 protocol.
    standard = shipped()["standard/1"]

    assert (standard.dose_g, standard.water_ml, standard.pour_c) == (8.25, 150, 93)
    assert (standard.steep_s, standard.stirs) == (240, 3)
    assert standard.recipe(pace_s=8) == STANDARD


def test_stronger_ones_are_what_their_titles_say() -> None:
    # 60 to 65 g a litre, and 11 g to 180 g of water: common practice, no source.
    fuller, wide = shipped()["fuller/1"], shipped()["wide/1"]

    assert 1000 * fuller.dose_g / fuller.water_ml == pytest.approx(60)
    assert 60 <= 1000 * wide.dose_g / wide.water_ml <= 65
    assert (wide.dose_g, wide.water_ml) == (11, 180)


def test_a_recipe_has_the_houses_pace() -> None:
    recipe = read_protocol(GOOD, name="ours.toml").recipe(pace_s=15)

    assert (recipe.pace_s, recipe.dose_g, recipe.source) == (15, 9.5, "our own")


@pytest.mark.parametrize("key", sorted(GOOD))
@pytest.mark.parametrize("value", [None, [], True, float("nan"), -1, 1e9, ""])
def test_says_which_entry_is_none(key: str, value: object) -> None:
    with pytest.raises(Unacceptable) as refused:
        read_protocol({**GOOD, key: value}, name="ours.toml")

    (problem,) = refused.value.problems
    assert key in problem.where


@pytest.mark.parametrize("key", ["steep_s", "stirs"])
def test_whole_seconds_and_stirs(key: str) -> None:
    with pytest.raises(Unacceptable):
        read_protocol({**GOOD, key: 100.5 if key == "steep_s" else 2.5}, name="ours.toml")
    assert key in BOUNDS


def test_says_what_no_protocol_has() -> None:
    with pytest.raises(Unacceptable) as refused:
        read_protocol({**GOOD, "lid": 1}, name="ours.toml")

    assert [each.rule for each in refused.value.problems] == ["a protocol has no such entry"]


def test_faults_are_found_by_entry() -> None:
    assert find_faults(GOOD) == ()
    assert find_faults({**GOOD, "steep_s": 240.5, "lid": True}) == (
        ("steep_s", "a whole number from 30 to 1200", "240.5"),
        ("lid", "a protocol has no such entry", "lid"),
    )


def test_a_bowl_may_be_named_and_is_one_that_there_is() -> None:
    named = read_protocol({**GOOD, "bowl": "heavy ceramic"}, name="ours.toml")

    assert named.recipe(pace_s=8).bowl == "heavy ceramic"
    assert read_protocol(GOOD, name="ours.toml").recipe(pace_s=8).bowl == ""
    assert [key for key, _, _ in find_faults({**GOOD, "bowl": "bucket"})] == ["bowl"]

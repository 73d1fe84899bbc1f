import tomllib
from importlib import resources
from typing import Any

import pytest

from crustbreak.core.errors import Unacceptable
from crustbreak.domain.sheets.priors import PAIRS, Priors, read_priors


def shipped() -> dict[str, Any]:
    file = resources.files("crustbreak") / "data" / "priors" / "ten_line.toml"
    return tomllib.loads(file.read_text(encoding="utf-8"))


def test_reads_what_is_shipped() -> None:
    priors = read_priors(shipped(), name="ten_line.toml")

    assert isinstance(priors, Priors)
    assert (priors.ref, priors.sheet) == ("ten_line/2", "ten_line/1")
    # Common practice, no source: a taster's own error of 0.6 to 1.0, 1.0 to 1.5 from taster to
    # taster; the medians lie there.
    assert 0.6 <= priors.look[0] <= 1.0
    assert 1.0 <= priors.taster[0] <= 1.5


@pytest.mark.parametrize("key", PAIRS)
@pytest.mark.parametrize("value", [None, [1.0], ["a", 1.0], [1.0, 0.0], [1.0, float("nan")], 3])
def test_says_which_pair_is_none(key: str, value: object) -> None:
    with pytest.raises(Unacceptable) as refused:
        read_priors({**shipped(), key: value}, name="mine.toml")

    assert [problem.where for problem in refused.value.problems] == [f"mine.toml, {key}"]


@pytest.mark.parametrize(
    ("change", "where"),
    [
        ({"id": ""}, "id"),
        ({"version": 0}, "version"),
        ({"version": True}, "version"),
        ({"sheet": "ten_line"}, "sheet"),
        ({"taste": [1.0, 1.0]}, "taste"),
        ({"coffee": [-1.0, 0.5]}, "coffee"),
    ],
)
def test_says_what_else_is_wrong(change: dict[str, object], where: str) -> None:
    with pytest.raises(Unacceptable) as refused:
        read_priors({**shipped(), **change}, name="mine.toml")

    assert [problem.where for problem in refused.value.problems] == [f"mine.toml, {where}"]


def test_a_mean_and_a_share_may_lie_at_zero_or_below() -> None:
    priors = read_priors({**shipped(), "mean": [-2.0, 1.0], "share": [0, 1]}, name="mine.toml")

    assert (priors.mean, priors.share) == ((-2.0, 1.0), (0.0, 1.0))

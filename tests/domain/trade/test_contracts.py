"""A contract is a dated example, and a file that is none is told what is wrong with it."""

import tomllib
from pathlib import Path
from typing import Any

import pytest

from crustbreak.core.errors import Unacceptable
from crustbreak.domain.trade.contracts import LATER, Contract, read_contract

CONTRACTS = Path(__file__).parents[3] / "src/crustbreak/data/contracts"


def definition(name: str = "gca") -> dict[str, Any]:
    return tomllib.loads((CONTRACTS / f"{name}.toml").read_text(encoding="utf-8"))


def test_reads_what_is_shipped_by_its_date() -> None:
    contract = read_contract(definition(), name="gca.toml")

    assert isinstance(contract, Contract)
    assert contract.ref == "gca/1"
    assert contract.as_of


@pytest.mark.parametrize(
    ("name", "days", "runs_from"),
    # 28 days from discharge since September 2018 and 21 before: [S30]. 15 from discharge or
    # clearance, whichever is later: [S31].
    [("escc_2018", 28, "discharge"), ("ecf_earlier", 21, "discharge"), ("gca", 15, LATER)],
)
def test_days_are_those_of_the_published_texts(name: str, days: int, runs_from: str) -> None:
    contract = read_contract(definition(name), name=name)

    assert (contract.days, contract.runs_from) == (days, runs_from)
    assert contract.source in ("S30", "S31")


@pytest.mark.parametrize(
    ("changed", "rule"),
    [
        ({"days": 0}, "a whole number from 1 to 365"),
        ({"days": True}, "a whole number from 1 to 365"),
        ({"version": "1"}, "a whole number from 1"),
        ({"runs_from": "arrival"}, "one of: discharge, the later of discharge and clearance"),
        ({"says": " "}, "a text"),
        ({"penalty": "all"}, "a contract has no such entry"),
    ],
    ids=str,
)
def test_every_slip_of_a_file_is_named(changed: dict[str, object], rule: str) -> None:
    with pytest.raises(Unacceptable) as refused:
        read_contract({**definition(), **changed}, name="gca.toml")

    assert [problem.rule for problem in refused.value.problems] == [rule]


def test_a_warning_may_be_left_empty_and_nothing_else() -> None:
    assert read_contract({**definition(), "warns": ""}, name="gca.toml").warns == ""
    with pytest.raises(Unacceptable):
        read_contract({}, name="empty.toml")

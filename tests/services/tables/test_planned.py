import pytest
from at_the_table import COFFEES, planned
from many_tables import counted_statements

from crustbreak.core.errors import NotThere
from crustbreak.ports.lab import Lab
from crustbreak.ports.repository import WriteAccess
from crustbreak.services.tables.planned import coffees_of, coffees_of_all, table_of, tables_of


def test_tables_and_coffees_are_read_once(lab: Lab) -> None:
    first, second = planned(lab), planned(lab)
    ids = [first.id, second.id]

    def ask() -> tuple[object, ...]:
        return (
            lab.repository.read(lambda records: table_of(lab, records, first.id)),
            lab.repository.read(lambda records: tables_of(lab, records, ids)),
            lab.repository.read(lambda records: coffees_of(lab, records, first.id)),
            lab.repository.read(lambda records: coffees_of_all(lab, records, ids)),
        )

    before = ask()
    with counted_statements() as statements:
        after = ask()

    assert after == before
    assert before[:2] == (first, {first.id: first, second.id: second})
    assert [
        coffee.name for coffee in lab.repository.read(lambda b: coffees_of(lab, b, first.id))
    ] == [*COFFEES]
    assert statements == []


def test_an_unknown_table_is_not_there(lab: Lab) -> None:
    with pytest.raises(NotThere, match="no such table"):
        lab.repository.read(lambda records: table_of(lab, records, "nobody's"))

    assert lab.repository.read(lambda records: tables_of(lab, records, ("nobody's",))) == {}


def test_what_a_piece_of_work_reads_is_not_remembered(lab: Lab) -> None:
    table = planned(lab)

    def work(records: WriteAccess) -> None:
        table_of(lab, records, table.id)

    lab.repository.write(work)

    assert lab.cache.recall(f"planned table {table.id}", "as planned") is None

"""Documents of any kind, by subject, by what they are about, and by when."""

from datetime import datetime, timedelta

from crustbreak.domain.records.claims import Claim
from crustbreak.domain.records.physicals import Physicals
from crustbreak.ports.documents import CLAIMS, PHYSICALS
from crustbreak.store.document_queries import DocumentQueries
from crustbreak.store.queries import Queries
from crustbreak.store.repository import SqliteRepository


def test_the_last_one_counts_and_earlier_ones_stay(
    repository: SqliteRepository, moment: datetime
) -> None:
    first, second = Claim(by="Odile"), Claim(by="Anouk")
    for nth, claim in enumerate((first, second)):
        repository.write(
            lambda writing, kept=claim, at=moment + timedelta(days=nth): writing.add_document(
                CLAIMS, kept, "t1", at=at
            )
        )

    assert issubclass(Queries, DocumentQueries)
    assert repository.read(lambda reading: reading.document(CLAIMS, "t1")) == second
    assert repository.read(lambda reading: reading.document(CLAIMS, "t1", until=moment)) == first
    assert repository.read(lambda reading: reading.documents(CLAIMS)) == (first, second)
    assert repository.read(lambda reading: reading.document(CLAIMS, "t2")) is None
    assert repository.read(lambda reading: reading.document(PHYSICALS, "t1")) is None


def test_a_version_rises_with_its_own_kinds_alone(
    repository: SqliteRepository, moment: datetime
) -> None:
    def version() -> int:
        return repository.read(lambda reading: reading.documents_version(CLAIMS))

    before = version()
    repository.write(lambda writing: writing.add_document(PHYSICALS, Physicals(), "t", at=moment))
    assert version() == before
    repository.write(lambda writing: writing.add_document(CLAIMS, Claim(), "t", at=moment))
    assert version() > before

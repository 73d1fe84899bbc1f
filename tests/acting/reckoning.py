"""What the phones said and heard, beside what the lab's books hold: nothing lost, nothing twice."""

from collections import Counter
from collections.abc import Iterable
from pathlib import Path

from phones import Phone

from crustbreak.exchange.entry_json import entry_data
from crustbreak.store.repository import open_repository


def kept_in(folder: Path) -> tuple[dict[str, object], ...]:
    """Give every entry in the records of a lab that is not served now, in the form of sending."""
    with open_repository(folder) as records:
        return tuple(
            entry_data(kept.entry)
            for table in records.read(lambda reading: reading.tables())
            for kept in records.read(lambda reading, at=table.id: reading.entries(at))
        )


def set_aside_in(folder: Path) -> tuple[str, ...]:
    """Give the rules for which anything was set aside."""
    with open_repository(folder) as records:
        return tuple(
            aside.rule
            for table in records.read(lambda reading: reading.tables())
            for aside in records.read(lambda reading, at=table.id: reading.set_asides(at))
        )


def faults_between(phones: Iterable[Phone], kept: Iterable[dict[str, object]]) -> tuple[str, ...]:
    """Name every way in which the records do not hold what the phones were told they hold."""
    kept = tuple(kept)
    times = Counter(entry["id"] for entry in kept)
    by_id = {entry["id"]: entry for entry in kept}
    faults = [f"{name} is kept {count} times" for name, count in times.items() if count > 1]
    said = {}
    for phone in phones:
        said |= phone.said
        for name, heard in phone.answers.items():
            words = {each["word"] for each in heard}
            if len(words) > 1:
                faults.append(f"{name} was answered with {sorted(words)}")
            if name not in by_id and words != {"set aside"}:
                faults.append(f"{name} was acknowledged and is missing")
    for name, entry in by_id.items():
        if said.get(name) != entry:
            faults.append(f"{name} is kept as {entry} and was said as {said.get(name)}")
    return tuple(faults)

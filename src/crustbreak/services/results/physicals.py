"""What is measured beside a table, and the old score of its coffee: apart from what is tasted."""

from collections.abc import Iterable
from itertools import islice
from typing import Any

from crustbreak.analysis.dataset import Dataset
from crustbreak.analysis.expected_rescore import expect_again
from crustbreak.core.errors import NotThere, refuse
from crustbreak.domain.capabilities import OtherChecks
from crustbreak.domain.grading.physicals import (
    NOTE_LENGTH,
    PhysicalsDraft,
    check_physicals,
    find_limits,
    make_physicals,
)
from crustbreak.domain.planning.plan_request import as_compared, check_text
from crustbreak.domain.records.physicals import Physicals
from crustbreak.domain.records.tables import Table
from crustbreak.ports.documents import PHYSICALS
from crustbreak.ports.lab import Lab
from crustbreak.ports.repository import ReadAccess
from crustbreak.services.results.dataset import history_version, lab_history
from crustbreak.services.tables.planned import coffees_of_all

# From so many looks on the lab's own mean says what such offers score. Our judgement.
ENOUGH_LOOKS = 20


def other_checks_of(lab: Lab, table: Table) -> OtherChecks:
    """Return what is kept beside a table; NotThere where its question has nothing of the kind."""
    checks = lab.plugin(table.question).question.can(OtherChecks)
    if checks is None:
        raise NotThere("There are no such papers beside this table.", hint="Go back to it.")
    return checks


def keep_physicals(lab: Lab, table: Table, draft: PhysicalsDraft) -> Physicals:
    """Write down what was measured; what was written down earlier stays in the records.

    Raises:  Unacceptable with every fault; NotThere where the question has no such papers.
    """
    other_checks_of(lab, table)
    wrong = check_physicals(draft)
    # What is too long is named already.
    if len(draft.by) <= NOTE_LENGTH:
        wrong += check_text("Measured by", draft.by, needed=False, length=NOTE_LENGTH)
    refuse("What was measured", wrong)
    kept = make_physicals(draft)
    lab.repository.write(
        lambda records: records.add_document(PHYSICALS, kept, table.id, at=lab.clock.now())
    )
    return kept


def physicals_before(lab: Lab, table: Table) -> Physicals | None:
    """Return what was written down beside this table, or last of the same two coffees, or None."""

    def ask(records: ReadAccess) -> Physicals | None:
        mine = records.document(PHYSICALS, table.id)
        return mine if mine is not None else _of_the_same(lab, records, table)

    return lab.repository.read(ask)


def _of_the_same(lab: Lab, records: ReadAccess, table: Table) -> Physicals | None:
    about, version = f"physicals before {table.id}", records.documents_version(PHYSICALS)
    found: tuple[str, ...] | None = lab.cache.recall(about, version)
    if found is None:
        measured = records.tables_with(PHYSICALS, table.question, table.planned_at)
        named = coffees_of_all(lab, records, [table.id, *(each.id for each in measured)])
        compared = {of: {as_compared(each.name) for each in named[of]} for of in named}
        alike = (each.id for each in measured if compared[each.id] & compared[table.id])
        found = tuple(islice(alike, 1))
        lab.cache.remember(about, version, found)
    return records.document(PHYSICALS, found[0]) if found else None


def physicals_said(lab: Lab, records: ReadAccess, table: Table) -> dict[str, Any]:
    """Return what was measured beside a table, and what an old score leads one to expect.

    Returns:  plain data; nothing where nothing was written down.
    """
    kept = records.document(PHYSICALS, table.id)
    if kept is None:
        return {}
    said: dict[str, Any] = {
        "readings": [
            {
                "measure": each.measure,
                "at_approval": each.at_approval,
                "found": each.found,
                "least": each.least,
                "most": each.most,
                "verdict": finding.verdict,
                "changed": None if finding.changed is None else str(finding.changed),
            }
            for each in kept.readings
            for finding in (find_limits(each),)
        ],
        "by": kept.by,
        "old_score": None,
    }
    priors = lab.priors(other_checks_of(lab, table).score_sheet)
    if kept.old_score is not None and priors is not None:
        again = expect_again(kept.old_score, priors)
        old = kept.old_score
        said["old_score"] = {
            "score": old.score,
            "tasters": old.tasters,
            "tables": old.tables,
            "usual": again.usual,
            "assumed": again.assumed,
            "expected": again.expected,
            "low": again.low,
            "high": again.high,
            "drop": again.drop,
        }
    return said


def usual_score(lab: Lab, table: Table) -> float | None:
    """Return what offers score on average in this lab; None while too few were tasted."""
    sheet = other_checks_of(lab, table).score_sheet
    about, version = f"usual score on {sheet}", history_version(lab, sheet)
    known: tuple[float | None] | None = lab.cache.recall(about, version)
    if known is None:
        known = (_mean_total(lab_history(lab, sheet)),)
        lab.cache.remember(about, version, known)
    return known[0]


def _mean_total(history: Iterable[Dataset]) -> float | None:
    totals = [
        rating.score.total
        for dataset in history
        for rating in dataset.ratings
        if rating.score.total is not None
    ]
    return round(sum(totals) / len(totals), 1) if len(totals) >= ENOUGH_LOOKS else None

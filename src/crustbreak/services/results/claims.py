"""The claim clock beside a table, and the draft of its pack."""

from typing import Any

from crustbreak.core.errors import Problem, refuse
from crustbreak.domain.grading.physicals import is_at_both_ends
from crustbreak.domain.planning.plan_request import check_text
from crustbreak.domain.records.claims import Claim
from crustbreak.domain.records.physicals import Physicals
from crustbreak.domain.records.tables import Table
from crustbreak.domain.trade.claims import (
    AT_BOTH_ENDS,
    EVIDENCE,
    NOTE_LENGTH,
    SIDE_BY_SIDE,
    ClaimDraft,
    check_claim,
    day_in,
    make_claim,
    missing_evidence,
    window_of,
)
from crustbreak.ports.documents import CLAIMS, PHYSICALS
from crustbreak.ports.lab import Lab
from crustbreak.ports.repository import ReadAccess
from crustbreak.reports.blocks import Paper
from crustbreak.reports.sections.claim_pack import Pack, claim_pack
from crustbreak.services.results.decide import memo_of
from crustbreak.services.results.physicals import other_checks_of, physicals_said
from crustbreak.services.tables.planned import coffees_of


def keep_claim(lab: Lab, table: Table, draft: ClaimDraft) -> Claim:
    """Write down what is known of a claim; what was written down earlier stays in the records.

    Raises:  Unacceptable with every fault; NotThere where the question has no such papers.
    """
    other_checks_of(lab, table)
    wrong = check_claim(draft, lab.definitions.contracts())
    refuse("The claim", (*wrong, *_check_signs(draft)))
    kept = make_claim(draft)
    lab.repository.write(
        lambda records: records.add_document(CLAIMS, kept, table.id, at=lab.clock.now())
    )
    return kept


def _check_signs(draft: ClaimDraft) -> tuple[Problem, ...]:
    """Name every text with signs that nobody sees: the PDF of the pack cannot be made of them."""
    lines = [("Clause", draft.clause), ("Written down by", draft.by)]
    lines += [(item.title, " ".join(draft.said.get(item.id, "").split())) for item in EVIDENCE]
    # What is too long is named already.
    return tuple(
        problem
        for where, line in lines
        if len(line) <= NOTE_LENGTH
        for problem in check_text(where, line, needed=False, length=NOTE_LENGTH)
    )


def pack_of(lab: Lab, table: Table) -> Pack:
    """Return what a claim pack is made of, as it stands now.

    Raises:  NotThere where the question has no such papers.
    """
    other_checks_of(lab, table)
    now = lab.clock.now()

    def ask(
        records: ReadAccess,
    ) -> tuple[Claim, tuple[str, ...], Physicals, bool, dict[str, Any]]:
        return (
            records.document(CLAIMS, table.id) or Claim(),
            tuple(coffee.name for coffee in coffees_of(lab, records, table.id)),
            records.document(PHYSICALS, table.id) or Physicals(),
            records.verdict(table.id) is not None,
            physicals_said(lab, records, table),
        )

    claim, coffees, measured, is_decided, physicals = lab.repository.read(ask)
    conditions = [SIDE_BY_SIDE] * is_decided + [AT_BOTH_ENDS] * is_at_both_ends(measured)
    contracts = lab.definitions.contracts()
    window = window_of(claim, contracts)
    # A day of the calendar where the lab stands: near midnight it may be another one in UTC.
    today = now.astimezone().date()
    return Pack(
        lab=lab.name,
        occasion=table.occasion,
        coffees=coffees,
        claim=claim,
        contract=contracts.get(claim.contract),
        window=window,
        day=day_in(window, today) if window else None,
        today=today,
        at=now,
        missing=missing_evidence(claim, conditions=conditions),
        side_by_side=memo_of(lab, table) if is_decided else None,
        physicals=physicals,
    )


def claim_pack_of(lab: Lab, table: Table) -> Paper:
    """Return the draft of a claim pack, for a person to check and sign."""
    return claim_pack(pack_of(lab, table))

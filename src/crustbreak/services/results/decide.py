"""From evidence to a verdict that can be shown a year later."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any

from crustbreak import __version__
from crustbreak.analysis.dataset import Dataset
from crustbreak.core.errors import NotNow, NotThere, NotYours, Problem, nearest_word, refuse
from crustbreak.domain.planning.layout.taster_shares import evenness_of
from crustbreak.domain.planning.plan_request import as_compared, check_text
from crustbreak.domain.records.coffees import Coffee
from crustbreak.domain.records.tables import Table
from crustbreak.domain.records.verdicts import Verdict
from crustbreak.domain.tables.blinding import may_see_totals
from crustbreak.domain.tables.entries import Event
from crustbreak.domain.tables.state import TableState
from crustbreak.exchange.canonical_json import plain, read_record, write_record
from crustbreak.ports.lab import Lab
from crustbreak.ports.repository import Listed, ReadAccess, WriteAccess
from crustbreak.reports.blocks import Block, Paper
from crustbreak.services.results.dataset import basis_of, dataset_on
from crustbreak.services.results.physicals import physicals_said
from crustbreak.services.tables.blindness import blindness_of
from crustbreak.services.tables.planned import coffees_of
from crustbreak.services.tables.state import demand, out_of_evidence, snapshot_in

REASON_LENGTH = 2000


def evidence_of(lab: Lab, table: Table) -> dict[str, Any]:
    """Return what the marks say, as plain data; NotYours while codes are sealed."""
    basis = basis_of(lab, table)
    # Everybody at the table asks for it, and it is the same while what it comes from is.
    about = f"evidence {table.id}"
    evidence: dict[str, Any] | None = lab.cache.recall(about, basis)
    if evidence is None:
        dataset = dataset_on(lab, table, basis)
        evidence = {**plain(lab.plugin(table.question).evidence(dataset)), **_bowls(dataset)}
        lab.cache.remember(about, basis, evidence)
    return evidence


def _bowls(dataset: Dataset) -> dict[str, Any]:
    """Return what travels with the marks of single bowls; nothing where all went by the recipe."""
    flags = {"bowl_flags": plain(dataset.flags)} if dataset.flags else {}
    judged = {"bowls_judged": plain(dataset.bowls_judged)} if dataset.bowls_judged else {}
    return flags | judged


def evidence_blocks(lab: Lab, table: Table) -> tuple[Block, ...]:
    """Return what the marks say as blocks of a page."""
    return lab.plugin(table.question).blocks(evidence_of(lab, table))


def subjects_to_decide(lab: Lab, table: Table) -> tuple[str, ...]:
    """List what the verdict is on: each coffee by name, or the table as one."""
    question = lab.plugin(table.question).question
    if not question.each_coffee:
        return (question.asks,)
    coffees = lab.repository.read(partial(coffees_to_name, lab, table))
    return tuple(coffee.name for coffee in coffees if not coffee.is_control)


def coffees_to_name(lab: Lab, table: Table, records: ReadAccess) -> tuple[Coffee, ...]:
    """Return a table's coffees once it may be known which they are.

    Raises:  NotYours before.
    """
    if not may_see_totals(snapshot_in(lab, records, table).flight):
        raise NotYours("No totals while codes are sealed.", hint="Uncover the table first.")
    return coffees_of(lab, records, table.id)


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """A person's verdict on a table, checked, with the evidence that it is taken on.

    words:    subject to one of the question's verdicts.
    version:  of the table whose evidence it is.
    """

    table: Table
    words: Mapping[str, str]
    reason: str
    decided_by: str
    next_step: str
    version: tuple[int, ...]
    evidence: Mapping[str, Any]
    blind: Mapping[str, Any]


def decide(
    lab: Lab,
    table: Table,
    words: Mapping[str, str],
    *,
    reason: str,
    decided_by: str,
    next_step: str = "",
) -> Verdict:
    """Keep a person's verdict with the evidence it was taken on.

    Args:    words: subject to one of the question's verdicts, for every subject. next_step: what
             follows, who does it and by when; may be empty.
    Raises:  Unacceptable with every fault; NotNow unless the table is uncovered.
    """
    decision = prepare_decision(
        lab, table, words, reason=reason, decided_by=decided_by, next_step=next_step
    )
    verdict = lab.repository.write(lambda records: keep_decision(lab, records, decision))
    lab.notifier.ring(table.id)
    return verdict


def prepare_decision(
    lab: Lab,
    table: Table,
    words: Mapping[str, str],
    *,
    reason: str,
    decided_by: str,
    next_step: str = "",
) -> Decision:
    """Check a verdict and put its evidence beside it, without keeping anything yet.

    Raises:  Unacceptable with every fault.
    """
    subjects = subjects_to_decide(lab, table)
    verdicts = lab.plugin(table.question).question.verdicts
    follows = check_text(
        "What follows", " ".join(next_step.split()), needed=False, length=REASON_LENGTH
    )
    wrong = _check(words, subjects, verdicts, reason=reason, decided_by=decided_by)
    refuse("The verdict", (*wrong, *follows))
    version = lab.repository.read(lambda records: records.version(table.id))
    return Decision(
        table=table,
        words={subject: words[subject] for subject in subjects},
        reason=reason.strip(),
        decided_by=decided_by.strip(),
        next_step=next_step.strip(),
        version=version,
        evidence=evidence_of(lab, table),
        blind=blindness_of(lab, table),
    )


def keep_decision(lab: Lab, records: WriteAccess, decision: Decision) -> Verdict:
    """Add a verdict to the records, as one piece of work or as a part of one.

    Raises:  NotNow unless the table is uncovered, and where something came in meanwhile.
    """
    table, now = decision.table, lab.clock.now()
    if records.version(table.id) != decision.version:
        raise NotNow("Something came in meanwhile.", hint="Look at the evidence once more.")
    state = snapshot_in(lab, records, table)
    demand(state, "decided", hint="A verdict is given once, after the uncovering.")
    said = {
        "words": [{"subject": subject, "word": word} for subject, word in decision.words.items()],
        "reason": decision.reason,
        "by": decision.decided_by,
        "at": now,
        **({"next": decision.next_step} if decision.next_step else {}),
    }
    text, digest = write_record(
        {
            **_facts(lab, table, state, records),
            "blind": decision.blind,
            "physicals": physicals_said(lab, records, table),
            "evidence": decision.evidence,
            "verdict": said,
        }
    )
    verdict = Verdict(
        table_id=table.id,
        decided_at=now,
        decided_by=decision.decided_by,
        record=text,
        digest=digest,
    )
    records.add_verdict(verdict)
    records.add_event(table.id, "decided", at=now, detail=decision.decided_by)
    return verdict


def memo_of(lab: Lab, table: Table, *, nth: int = 0) -> Paper:
    """Return the document of a table's verdict, made from the kept record alone.

    Args:  nth: which verdict, the first is 1; 0 is the latest.
    """
    verdicts = lab.repository.read(lambda records: records.verdicts(table.id))
    if not verdicts:
        raise NotThere("This table has no verdict yet.", hint="Decide it first.")
    if nth > len(verdicts):
        raise NotThere(f"This table has {len(verdicts)} verdict(s).", hint="Go back to the table.")
    verdict = verdicts[nth - 1]
    record = read_record(verdict.record, verdict.digest)
    return lab.plugin(table.question).document({**record, "digest": verdict.digest})


def verdict_of(lab: Lab, table: Table) -> dict[str, str]:
    """Return subject to word of a decided table; empty before."""
    return words_of(lab, lab.repository.read(lambda records: records.verdict(table.id)))


def words_of(lab: Lab, verdict: Verdict | None) -> dict[str, str]:
    """Return subject to word of a verdict, read from its record once; empty without one."""
    if verdict is None:
        return {}
    about = f"words on {verdict.table_id}"
    # The record itself, too: one that was changed behind our back is found by its digest.
    version = (verdict.digest, hash(verdict.record))
    words: dict[str, str] | None = lab.cache.recall(about, version)
    if words is None:
        said = read_record(verdict.record, verdict.digest)["verdict"]["words"]
        words = {each["subject"]: each["word"] for each in said}
        lab.cache.remember(about, version, words)
    return words


def words_of_all(lab: Lab, ended: Sequence[Listed]) -> Mapping[str, dict[str, str]]:
    """Return table id to subject and word, of those that were decided; each is read once."""
    decided = {each.id: each.version for each in ended if each.ended == "decided"}
    known = {each: lab.cache.recall(f"decided {each}", decided[each]) for each in decided}
    missing = [each for each, words in known.items() if words is None]
    verdicts = lab.repository.read(lambda records: records.verdicts_of(missing)) if missing else {}
    for each in missing:
        known[each] = words_of(lab, verdicts.get(each))
        lab.cache.remember(f"decided {each}", decided[each], known[each])
    return known


def _facts(lab: Lab, table: Table, state: TableState, records: ReadAccess) -> dict[str, Any]:
    question = lab.plugin(table.question).question
    sheet = lab.sheet(table.sheet)
    acts = records.events(table.id)
    tasters = [seat.taster for seat in table.seats]
    named = {seat.id: seat.taster for seat in table.seats}
    return {
        "engine": __version__,
        "lab": lab.name,
        "question": {"id": question.id, "asks": question.asks, "document": question.document},
        "sheet": {"ref": sheet.ref, "title": sheet.title, "source": sheet.source},
        "table": {
            "id": table.id,
            "occasion": table.occasion,
            "planned_at": table.planned_at,
            "tasters": [seat.taster for seat in table.seats if _counts(state, seat.id)],
            "setter": table.setter,
            "setter_tasted": as_compared(table.setter) in {as_compared(name) for name in tasters},
            "key_opened_at": [act.at for act in acts if act.kind == "key opened"],
            "poured_at": state.poured_at,
            "broken_at": state.broken_at,
            "steeped_s": _seconds_between(state),
            "taps_undone": sum(act.kind == "undone" for act in acts),
            "uncovered_at": _last(acts, "uncovered"),
            "cut_off": state.cut_off,
            "cut_off_planned": table.cut_off,
            "cut_off_moves": state.moves,
            "cut_off_title": question.cut_off_title,
            "cups": [place.cups for place in table.places],
            **_opened(table),
            "recipe": table.recipe,
            **_shared_out(table),
        },
        "left_out": {
            "late": len(out_of_evidence(records.entries(table.id), acts, state)),
            "set_aside": len(records.set_asides(table.id)),
            "refused": sum(seat.refused for seat in state.seats.values()),
            "seats": [
                {"taster": named[seat_id], "reason": view.left_out}
                for seat_id, view in state.seats.items()
                if not _counts(state, seat_id)
            ],
        },
        "admitted": [
            {"taster": named[act.seat_id or ""], "reason": act.detail, "at": act.at}
            for act in acts
            if act.kind == "admitted"
        ],
        "earlier_verdicts": [
            {"at": each.decided_at, "by": each.decided_by, "digest": each.digest}
            for each in records.verdicts(table.id)
        ],
    }


def _opened(table: Table) -> dict[str, Any]:
    """Return how many bowls stood open; nothing where none did."""
    opened = len(table.places) - len(table.blind)
    return {"open": opened} if opened else {}


def _shared_out(table: Table) -> dict[str, Any]:
    """Return how codes were shared out among the tasters; nothing where all tasted all."""
    tasting_orders = [seat.tasting_order for seat in table.seats if seat.tasting_order]
    shares = evenness_of(tasting_orders, codes=len(table.blind)) if tasting_orders else None
    return {"shares": shares} if shares else {}


def _counts(state: TableState, seat_id: str) -> bool:
    return state.seats[seat_id].left_out is None


def _seconds_between(state: TableState) -> float | None:
    if state.poured_at is None or state.broken_at is None:
        return None
    return (state.broken_at - state.poured_at).total_seconds()


def _last(acts: tuple[Event, ...], kind: str) -> Any:
    return next((act.at for act in reversed(acts) if act.kind == kind), None)


def _check(
    words: Mapping[str, str],
    subjects: tuple[str, ...],
    verdicts: tuple[str, ...],
    *,
    reason: str,
    decided_by: str,
) -> tuple[Problem, ...]:
    known = ", ".join(verdicts)
    problems = [
        Problem(
            where=subject,
            rule=f"a verdict: {known}",
            found=words.get(subject) or "none",
            remedy=nearest_word(words.get(subject) or "", verdicts),
        )
        for subject in subjects
        if words.get(subject) not in verdicts
    ]
    if not reason.strip() or len(reason) > REASON_LENGTH:
        problems.append(
            Problem(
                where="Reason",
                rule=f"why, in 1 to {REASON_LENGTH:,} characters",
                found=f"{len(reason.strip())} characters",
                remedy="Say why, in a sentence that can be read in a year.",
            )
        )
    else:
        on_one_line = " ".join(reason.split())
        problems += check_text("Reason", on_one_line, needed=True, length=REASON_LENGTH)
    if decided_by.strip():
        problems += check_text("Who decides", decided_by.strip(), needed=True)
    else:
        problems.append(
            Problem(
                where="Who decides",
                rule="a person's name",
                found="nothing",
                remedy="Type the name of the person who decides.",
            )
        )
    return tuple(problems)

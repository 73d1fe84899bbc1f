"""Moving the figure that decides: possible until the decision, and never hidden."""

from crustbreak.core.errors import Problem, refuse
from crustbreak.core.units import points
from crustbreak.domain.planning.plan_request import check_cut_off, check_text
from crustbreak.domain.records.tables import Table
from crustbreak.ports.lab import Lab
from crustbreak.ports.repository import WriteAccess
from crustbreak.services.tables.actions import REASON_LENGTH
from crustbreak.services.tables.state import demand, snapshot_in

LATE = "What was decided stays as it was decided: plan another table."


def move_cut_off(lab: Lab, table: Table, cut_off: float | None, reason: str) -> None:
    """Let another figure decide, for a reason that the memo prints with what it was before.

    Args:    cut_off: on the sheet's scale; None when it was no number.
    Raises:  Unacceptable with every fault; NotNow once the table is decided or given up.
    """
    title = lab.plugin(table.question).question.cut_off_name
    why = check_text("Why", " ".join(reason.split()), needed=True, length=REASON_LENGTH)
    refuse("The cut-off", (*check_cut_off(cut_off, lab.sheet(table.sheet), title=title), *why))

    def work(records: WriteAccess) -> None:
        state = snapshot_in(lab, records, table)
        demand(state, "cut-off moved", hint=LATE)
        if cut_off == state.cut_off:
            same = Problem(
                where="Cut-off",
                rule="another figure than the one that decides now",
                found=points(state.cut_off),
                remedy="Leave it, or give another figure.",
            )
            refuse("The cut-off", (same,))
        records.add_event(
            table.id, "cut-off moved", at=lab.clock.now(), detail=reason.strip(), figure=cut_off
        )

    lab.repository.write(work)
    lab.notifier.ring(table.id)

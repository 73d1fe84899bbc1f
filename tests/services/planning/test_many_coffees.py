"""Tables of more coffees than five bowls each leave time for, from the plan to the memo."""

from io import BytesIO
from typing import Any

import pytest
from pypdf import PdfReader
from whole_tables import taste_whole

from crustbreak.domain.planning.plan_request import PlanDraft
from crustbreak.ports.lab import Lab
from crustbreak.reports.render.pdf import as_pdf
from crustbreak.services.planning.plan import plan_table
from crustbreak.services.results.decide import decide, evidence_of, memo_of, subjects_to_decide
from crustbreak.services.tables.views import view_table

BATCHES = tuple(f"Batch {nth} of Monday" for nth in range(1, 15))


def decided(lab: Lab, count: int, *tasters: str, **more: Any) -> tuple[dict[str, Any], Any]:
    """Plan, taste, decide by the rule; give evidence and memo."""
    draft = PlanDraft(
        occasion="Many",
        coffees=BATCHES[:count],
        tasters=tasters,
        cut_off=84.0,
        setter="Piet",
        **more,
    )
    table = plan_table(lab, "choose", draft)
    truth = {name: 88.0 - 0.5 * nth for nth, name in enumerate(BATCHES)}
    taste_whole(lab, table, {**truth, "Old Post": 83.0, "New Post": 83.5})
    evidence = evidence_of(lab, table)
    rule = {each["coffee"]: each["word"] for each in evidence["suggestions"]}
    words = {name: rule[name] for name in subjects_to_decide(lab, table)}
    decide(lab, table, words, reason="By the rule.", decided_by="Piet")
    assert view_table(lab, table.id).state.flight == "decided"
    return evidence, memo_of(lab, table)


@pytest.mark.parametrize(
    ("count", "tasters", "bowls", "sheets"),
    [(14, ("Odile",), 1, 3), (8, ("Odile", "Anouk", "Ines"), 3, 2)],
)
def test_a_whole_run_of_many_coffees(
    lab: Lab, count: int, tasters: tuple[str, ...], bowls: int, sheets: int
) -> None:
    evidence, memo = decided(lab, count, *tasters)

    # As many bowls as there is time for: 8 x 3, and one each beyond. Common practice, no source.
    assert {each["bowls"] for each in evidence["coffees"]} == {bowls}
    assert {each["bad_bowls"]["bowls"] for each in evidence["sure"]["coffees"]} == {bowls}
    assert len(evidence["sure"]["coffees"]) == count
    # Seven points lie between the first and the last, and a look is off by one.
    assert evidence["coffees"][0]["total"]["mean"] > evidence["coffees"][-1]["total"]["mean"] + 2
    assert any("where the sheet has 5" in said for said in evidence["sure"]["warnings"])
    pages = PdfReader(BytesIO(as_pdf(memo))).pages
    text = " ".join(" ".join(page.extract_text() for page in pages).split())
    assert len(pages) <= sheets
    assert f"{bowls} bowl" in text
    assert all(name in text for name in BATCHES[:count])


def test_the_fullest_table_has_seventeen_codes(lab: Lab) -> None:
    evidence, memo = decided(
        lab, 14, "Odile", "Anouk", controls=("Old Post", "New Post"), duplicate=True
    )

    assert (len(evidence["doubles"]), len(evidence["controls"])) == (1, 2)
    assert len(PdfReader(BytesIO(as_pdf(memo))).pages) <= 3

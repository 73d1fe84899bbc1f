"""What the host prints before a table is tasted, as PDF at addresses of its own."""

from typing import Annotated

from fastapi import FastAPI, Query
from fastapi.responses import Response

from crustbreak.exchange.name_lists import file_name
from crustbreak.ports.lab import Lab
from crustbreak.reports.cards.cards import (
    PageSize,
    Printed,
    filling_card_pdf,
    place_cards_pdf,
    setting_card_pdf,
)
from crustbreak.reports.cards.tasting_sheet import paper_sheets_pdf
from crustbreak.services.tables.actions import look_at
from crustbreak.services.tables.prints import (
    filling_card_of,
    paper_sheets_of,
    place_cards_of,
    setting_card_of,
)

Size = Annotated[PageSize, Query()]


def add_prints(app: FastAPI, lab: Lab) -> None:
    """Add the prints of a table. All but the cards with names show what the phone app may know."""

    # Asked for and not merely addressed, as the card's page is: it is a look at the key.
    @app.post("/tables/{table_id}/card.pdf", response_class=Response)
    def card(table_id: str, paper: Size = "a4") -> Response:
        at, _ = look_at(lab, table_id)
        card = setting_card_of(lab, at)
        return _pdf(setting_card_pdf(card, size=paper), "Setting-up card", card.printed)

    # It tells nothing of the places: no look at a key, and so it may be addressed.
    @app.get("/tables/{table_id}/filling.pdf", response_class=Response)
    def filling(table_id: str, paper: Size = "a4") -> Response:
        at, _ = look_at(lab, table_id)
        card = filling_card_of(lab, at)
        return _pdf(filling_card_pdf(card, size=paper), "Filling card", card.printed)

    @app.get("/tables/{table_id}/places.pdf", response_class=Response)
    def places(table_id: str, bowls: bool = False, paper: Size = "a4") -> Response:
        at, _ = look_at(lab, table_id)
        cards = place_cards_of(lab, at, bowls=bowls)
        kind = "Bowl cards" if bowls else "Place cards"
        return _pdf(place_cards_pdf(cards, size=paper), kind, cards.printed)

    @app.get("/tables/{table_id}/sheets.pdf", response_class=Response)
    def sheets(table_id: str, paper: Size = "a4") -> Response:
        at, _ = look_at(lab, table_id)
        every = paper_sheets_of(lab, at)
        return _pdf(paper_sheets_pdf(every, size=paper), "Paper sheets", every.printed)

    @app.get("/tables/{table_id}/seats/{seat_id}/sheet.pdf", response_class=Response)
    def sheet(table_id: str, seat_id: str, paper: Size = "a4") -> Response:
        at, _ = look_at(lab, table_id)
        one = paper_sheets_of(lab, at, seat_id=seat_id)
        return _pdf(paper_sheets_pdf(one, size=paper), "Paper sheet", one.printed)


def _pdf(made: bytes, kind: str, printed: Printed) -> Response:
    name = file_name(f"{kind} {printed.at[:10]} {printed.mark}", "pdf")
    return Response(
        made,
        media_type="application/pdf",
        headers={"Content-Disposition": f'inline; filename="{name}"'},
    )

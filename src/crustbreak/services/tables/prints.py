"""What is printed of a table before it is tasted: one card with names, and the rest without."""

from crustbreak.core.errors import NotThere
from crustbreak.core.units import utc_text
from crustbreak.domain.planning.layout.places import OPEN
from crustbreak.domain.records.coffees import Coffee
from crustbreak.domain.records.tables import Place, Seat, Table
from crustbreak.domain.tables.join_codes import paper_code
from crustbreak.ports.lab import Lab
from crustbreak.reports.cards.cards import (
    Filling,
    FillingCard,
    PlaceCards,
    Portion,
    Printed,
    SettingCard,
)
from crustbreak.reports.cards.tasting_sheet import PaperSeat, PaperSheets
from crustbreak.services.documents import lab_settings_at
from crustbreak.services.tables.keys import bowls_to_fill, open_coffee, open_key_to_set


def setting_card_of(lab: Lab, table: Table) -> SettingCard:
    """Return the card to set a table by; it is a look at the key, and written down as one.

    Raises:  NotYours once a pour was tapped.
    """
    # First of all: nothing else is asked of a table whose codes are sealed.
    names = open_key_to_set(lab, table)
    coffees = lab.repository.read(lambda records: records.coffees(table.id))
    controls = {coffee.name for coffee in coffees if coffee.is_control}
    return SettingCard(
        printed=_printed(lab, table),
        occasion=table.occasion,
        setter=table.setter,
        portions=tuple(
            Portion(
                code=place.code,
                cups=place.cups,
                coffee=names[place.id],
                is_control=names[place.id] in controls,
            )
            for place in table.places
        ),
        recipe=table.recipe,
        purge_g=_purge_g(lab, table),
    )


def filling_card_of(lab: Lab, table: Table) -> FillingCard:
    """Return the card by which numbered bowls are filled; NotNow at a table without."""
    filled = bowls_to_fill(lab, table)
    classes = [bowl_group.order_class for bowl_group, _ in filled]
    codes = [place.code for place in table.blind]
    return FillingCard(
        printed=_printed(lab, table),
        occasion=table.occasion,
        fillings=tuple(
            Filling(
                bowls=bowl_group.bowls,
                places=(
                    codes[classes.index(bowl_group.order_class)],
                    codes[len(classes) - 1 - classes[::-1].index(bowl_group.order_class)],
                ),
                coffee=coffee.name,
                is_control=coffee.is_control,
            )
            for bowl_group, coffee in filled
        )
        + _opened(open_coffee(lab, table)),
        recipe=table.recipe,
        purge_g=_purge_g(lab, table),
    )


def _opened(coffee: Coffee | None) -> tuple[Filling, ...]:
    if coffee is None:
        return ()
    return (Filling(bowls=(), places=(OPEN, OPEN), coffee=coffee.name, is_control=False),)


def place_cards_of(lab: Lab, table: Table, *, bowls: bool = False) -> PlaceCards:
    """Return the cards that lie on a table: one for each code, or one for each bowl."""
    return PlaceCards(printed=_printed(lab, table), places=table.places, bowls=bowls)


def paper_sheets_of(lab: Lab, table: Table, *, seat_id: str | None = None) -> PaperSheets:
    """Return the paper sheets of all seats of a table, or of one; NotThere for another's seat."""
    question = lab.plugin(table.question).question
    seats = tuple(
        PaperSeat(
            taster=seat.taster,
            code=paper_code(seat.id, position),
            there=_in_turn(table, seat, 1),
            back=_in_turn(table, seat, 2),
        )
        for position, seat in enumerate(table.seats)
        if seat_id in (None, seat.id)
    )
    if not seats:
        raise NotThere("There is no such seat at this table.", hint="Go back to the table.")
    return PaperSheets(
        printed=_printed(lab, table),
        sheet=lab.sheet(table.sheet),
        seats=seats,
        verdicts=question.verdicts,
        each_coffee=question.each_coffee,
    )


def _in_turn(table: Table, seat: Seat, number: int) -> tuple[Place, ...]:
    """Return the places of a seat as it goes to them in a round.

    As they stand without a tasting order.
    """
    if seat.tasting_order is None:
        return table.blind
    return tuple(table.places[place] for place in seat.tasting_order.in_round(number))


def _printed(lab: Lab, table: Table) -> Printed:
    return Printed(lab=lab.name, table=table.id, at=utc_text(table.planned_at))


def _purge_g(lab: Lab, table: Table) -> float:
    """Return what the lab ran through the grinder first when the table was planned, g."""
    return lab.repository.read(lambda records: lab_settings_at(records, table.planned_at)).purge_g

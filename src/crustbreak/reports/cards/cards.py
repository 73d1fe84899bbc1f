"""Cards of a table as PDF: the one to set it by, and those that lie beside the bowls."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

from crustbreak.core.units import TASTE_BELOW_C, clock, utc_moment
from crustbreak.domain.brewing.water import poured_g
from crustbreak.domain.planning.layout.places import OPEN
from crustbreak.domain.records.recipes import Recipe
from crustbreak.domain.records.tables import Place
from crustbreak.reports.render.pdf import FACE, typeset
from crustbreak.reports.text import format_count, format_day

PageSize = Literal["a4", "letter"]

# What the sheets are called where they are set.
PAGES: dict[PageSize, str] = {"a4": "a4", "letter": "us-letter"}

# So much of a table's id tells it from the other tables of its day.
MARK_LENGTH = 4

CUT = "Cut along the thin lines. The thick line is below the code: it says which way up it stands."


@dataclass(frozen=True, slots=True, kw_only=True)
class Printed:
    """What every print of a table says of it.

    lab_settings: the lab's name.
    table:  id of the table.
    at:     moment of the draw, as stored; the PDF's date.
    """

    lab: str
    table: str
    at: str

    @property
    def day(self) -> str:
        """The day of the draw."""
        return format_day(self.at)

    @property
    def mark(self) -> str:
        """The few signs that tell this table from another, as printed."""
        return self.table[:MARK_LENGTH].upper()


@dataclass(frozen=True, slots=True, kw_only=True)
class Portion:
    """What goes under one code.

    coffee:      its name: whoever reads it is not blind.
    is_control:  it measures the table, and nobody decides about it.
    """

    code: str
    cups: int
    coffee: str
    is_control: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class SettingCard:
    """Which coffee goes under which code, and how the bowls are filled.

    occasion:  what the host calls the table; may be empty.
    setter:    who it is for.
    portions:  in pouring order.
    purge_g:   of each coffee through the grinder before its first bowl, g.
    """

    printed: Printed
    occasion: str
    setter: str
    portions: tuple[Portion, ...]
    recipe: Recipe
    purge_g: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Filling:
    """What goes into the bowls of one tray.

    bowls:   the numbers underneath; none of a bowl that stands open.
    places:  where it may come to stand, as letters of the first and the last; `open` twice for
             a bowl that does.
    """

    bowls: tuple[int, ...]
    places: tuple[str, str]
    coffee: str
    is_control: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class FillingCard:
    """Which coffee goes into which numbered bowls; it tells nothing of where they will stand.

    occasion:  what the host calls the table; may be empty.
    fillings:  class by class.
    purge_g:   of each coffee through the grinder before its first bowl, g.
    """

    printed: Printed
    occasion: str
    fillings: tuple[Filling, ...]
    recipe: Recipe
    purge_g: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceCards:
    """Cards that lie on the table: codes, and nothing that tells what stands there.

    places:  in pouring order.
    bowls:   a card for each bowl, with its number, in place of one for each code.
    """

    printed: Printed
    places: tuple[Place, ...]
    bowls: bool = False


def setting_card_pdf(card: SettingCard, *, size: PageSize = "a4") -> bytes:
    """Return the card for whoever fills the bowls; the same bytes for the same card."""
    bowls = sum(portion.cups for portion in card.portions)
    return typeset(
        "setting_card",
        {
            **printed_data(card.printed, size),
            "occasion": card.occasion,
            "setter": card.setter,
            "bowls": format_count(bowls, "bowl"),
            "purge": f"{card.purge_g:g} g",
            "recipe": recipe_lines(card.recipe),
            "rows": [_row(portion, card) for portion in card.portions],
            "taste_below": f"{TASTE_BELOW_C} °C",
            "foot": "That this was opened is written down. From the first pour on it is opened "
            "no more: put it away then.",
        },
    )


def _row(portion: Portion, card: SettingCard) -> dict[str, Any]:
    dose_g = card.recipe.dose_g
    return {
        "code": portion.code,
        "coffee": portion.coffee,
        "control": portion.is_control,
        "bowls": format_count(portion.cups, "bowl"),
        "sum": f"{portion.cups} \u00d7 {dose_g:g} g = {portion.cups * dose_g:g} g",
    }


def filling_card_pdf(card: FillingCard, *, size: PageSize = "a4") -> bytes:
    """Return the card by which numbered bowls are filled; the same bytes for the same card."""
    is_row = any(len(each.bowls) > 1 for each in card.fillings)
    vessel = "tray" if is_row else "bowl"
    return typeset(
        "filling_card",
        {
            **printed_data(card.printed, size),
            "occasion": card.occasion,
            "bowls": format_count(sum(len(each.bowls) or 1 for each in card.fillings), "bowl"),
            "purge": f"{card.purge_g:g} g",
            "recipe": recipe_lines(card.recipe),
            "rows": [_filled(each, card.recipe.dose_g) for each in card.fillings],
            "taste_below": f"{TASTE_BELOW_C} °C",
            "shuffle": f"Then shuffle the dry, lidded {vessel}s without looking, and put one "
            f"{vessel} at each place that the last column allows.",
            "foot": "The numbers are read at the sink, after every taster has called. A full bowl "
            "is hot and is not lifted.",
        },
    )


def _filled(filling: Filling, dose_g: float) -> dict[str, Any]:
    first, last = filling.places
    count = len(filling.bowls) or 1
    return {
        "numbers": format_numbers(filling.bowls),
        "sum": f"{count} \u00d7 {dose_g:g} g = {count * dose_g:g} g",
        "coffee": filling.coffee,
        "control": filling.is_control,
        "places": first if first == last else f"{first} to {last}",
    }


def format_numbers(bowls: Sequence[int]) -> str:
    """Return in words which bowls, by the numbers underneath, which follow each other.

    >>> format_numbers((6, 7, 8)), format_numbers((14,)), format_numbers(())
    ('6 to 8', '14', 'open')
    """
    if not bowls:
        return OPEN
    return str(bowls[0]) if len(bowls) == 1 else f"{bowls[0]} to {bowls[-1]}"


def recipe_lines(recipe: Recipe) -> tuple[str, ...]:
    """Return in words how a bowl is made, as sentences of whoever stands at the table.

    >>> from crustbreak.domain.records.recipes import STANDARD
    >>> recipe_lines(STANDARD)[1]
    '150 ml of water at 93 °C: 144.5 g on the scale.'
    """
    water_g = poured_g(recipe.water_ml, pour_c=recipe.pour_c)
    return (
        f"{recipe.dose_g:g} g of whole beans a bowl, ground bowl by bowl.",
        f"{recipe.water_ml:g} ml of water at {recipe.pour_c:g} °C: {water_g:.1f} g on the scale.",
        f"Steep {clock(recipe.steep_s)}, one bowl every {recipe.pace_s} s, in pouring order.",
        # Common practice, no source.
        "Break: stir three times at the surface, the same in every bowl; skim.",
    )


def place_cards_pdf(cards: PlaceCards, *, size: PageSize = "a4") -> bytes:
    """Return small cards to cut out; the same bytes for the same cards."""
    return typeset(
        "place_cards",
        {
            **printed_data(cards.printed, size),
            "cards": _faces(cards.places, bowls=cards.bowls),
            "bowls": cards.bowls,
            "foot": CUT,
        },
    )


def _faces(places: Sequence[Place], *, bowls: bool) -> list[dict[str, str]]:
    if not bowls:
        return [{"code": place.code, "bowl": ""} for place in places]
    return [
        {"code": place.code, "bowl": str(nth)}
        for place in places
        for nth in range(1, place.cups + 1)
    ]


def printed_data(printed: Printed, size: PageSize) -> dict[str, Any]:
    """Return what the templates of all prints ask for."""
    at = utc_moment(printed.at)
    return {
        "house": printed.lab,
        "day": printed.day,
        "mark": printed.mark,
        "size": PAGES[size],
        "face": FACE,
        "at_s": int(at.timestamp()),
        "year": at.year,
        "month": at.month,
        "date": at.day,
    }

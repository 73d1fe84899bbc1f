"""What the phone app answers, field by field: checked on the way out, and typed for the page.

`scripts/page_types.py` writes the same as TypeScript declarations, by which the page scripts are
checked.
"""

from typing import Literal

from pydantic import BaseModel, ConfigDict

from crustbreak.domain.tables.transitions import CupState, FlightState, SeatState

# A whole number stays one, as it was written.
Number = int | float


class Response(BaseModel):
    """What is answered has these fields and no others."""

    model_config = ConfigDict(extra="forbid")


class CodeResponse(Response):
    """The token that a typed code stands for."""

    token: str


class FreeSeat(Response):
    """A seat that may be taken."""

    id: str
    taster: str
    taken: bool


class InvitationResponse(Response):
    """What a device sees before it has a seat."""

    table: str
    asks: str
    way: Literal["table", "seat", "helper"]
    seats: list[FreeSeat]


class Walk(Response):
    """The order in which a taster goes along the places, by number from 0."""

    there: list[int]
    back: list[int]


class TakenSeat(Response):
    """The seat that a device has."""

    id: str
    taster: str
    walk: Walk | None


class SeatResponse(Response):
    """A seat that was taken; `grip` is the device's number within it."""

    table: str
    seat: TakenSeat
    grip: int


class HelperResponse(Response):
    """A helper that was let in."""

    table: str
    helper: Literal[True]
    grip: int


class PlaceData(Response):
    """A code and how many bowls stand under it; no coffee's name."""

    id: str
    code: str
    cups: int


class RoundData(Response):
    """One round of a sheet."""

    id: str
    title: str
    say: str


class OptionData(Response):
    """A word that may be chosen."""

    id: str
    said: str


class LineData(Response):
    """One thing that is judged, without what a word is worth."""

    id: str
    title: str
    kind: Literal["scale", "cups", "words", "choice"]
    round: str
    least: Number
    most: Number
    step: Number
    anchors: list[tuple[Number, str]]
    options: list[OptionData]
    all_alike: str
    compares: bool
    beside: str


class SheetData(Response):
    """A sheet as it is filled in."""

    ref: str
    title: str
    rounds: list[RoundData]
    lines: list[LineData]


class KeptEntry(Response):
    """An entry that the lab has kept, as a device sends it; a reason only where one was given."""

    reason: str | None = None
    id: str
    grip: int
    no: int
    kind: str
    sheet: str
    place: str | None
    cup: int | None
    line: str | None
    round: str | None
    value: Number | str | None
    device_time: str
    word: Literal["kept", "kept late"]


class TableState(Response):
    """How a table stands; times in seconds from the first pour, as planned before it."""

    flight: FlightState
    now: str
    since_pour_s: Number | None
    cups: dict[str, list[CupState]]
    taste_from_s: dict[str, Number]


class StateResponse(TableState):
    """How the table stands, as one seat may know it."""

    seat: SeatState
    called: bool
    calls_stand: bool
    holds: bool
    left_out: str | None
    missing: int
    decided_at: str | None


class FactData(Response):
    """What was noted of one bowl; `is_vain` where it cannot have been and changes nothing."""

    name: str
    place: str
    cup: int
    kind: str
    figure: Number | None
    at_s: Number | None
    is_vain: bool


class ClockData(Response):
    """One bowl's clock."""

    place: str
    code: str
    cup: int
    is_spilt: bool
    is_broken: bool
    pour_s: Number
    break_s: Number
    skim_s: Number | None
    taste_s: Number


class RoundStart(Response):
    """When a round begins."""

    title: str
    from_s: Number


class RunData(Response):
    """All that names the next bowl at any moment."""

    clocks: list[ClockData]
    rounds: list[RoundStart]
    isPoured: bool  # noqa: N815
    isBroken: bool  # noqa: N815


class HelpStateResponse(TableState):
    """How the table stands, and what a helper can tap now."""

    can: list[str]
    may_note: bool
    facts: list[FactData]
    run: RunData


class SheetResponse(SeatResponse):
    """All that a seat needs to go on."""

    asks: str
    paper_code: str
    sheet: SheetData
    places: list[PlaceData]
    open: list[PlaceData]
    verdicts: list[str]
    subjects: list[str | None]
    entries: list[KeptEntry]
    state: StateResponse
    addresses: list[str]


class Pace(Response):
    """What a helper's page says of the recipe."""

    pace_s: Number
    steep_s: Number


class TapData(Response):
    """A tap that the lab has answered."""

    id: str
    grip: int
    no: int
    kind: str
    place: str | None
    cup: int | None
    value: str | None
    device_time: str
    word: Literal["kept", "set aside"]
    rule: str
    remedy: str


class HelpResponse(HelperResponse):
    """All that a helper needs."""

    asks: str
    places: list[PlaceData]
    open: list[PlaceData]
    recipe: Pace
    taps: list[TapData]
    state: HelpStateResponse
    addresses: list[str]


class AnswerData(Response):
    """The answer to one entry."""

    id: str
    word: Literal["kept", "kept late", "set aside"]
    rule: str
    remedy: str


class EntriesResponse(Response):
    """An answer for each entry that was sent."""

    answers: list[AnswerData]


class CheckResponse(Response):
    """That the lab heard what a phone found."""

    heard: Literal[True]


class OtherTotal(Response):
    """What another taster's lines sum to."""

    taster: str
    total: Number | None


class UncoveredCoffee(Response):
    """One code with its name."""

    code: str
    coffee: str | None
    own_total: Number | None
    own_missing: list[str]
    own_call: str | None
    others: list[OtherTotal]


class UncoveredResponse(Response):
    """The names and the scores; verdicts once somebody decided."""

    occasion: str
    how_sure: str | None
    coffees: list[UncoveredCoffee]
    verdicts: dict[str, str] | None


RESPONSES: tuple[type[Response], ...] = (
    CodeResponse,
    InvitationResponse,
    SeatResponse,
    HelperResponse,
    SheetResponse,
    HelpResponse,
    StateResponse,
    HelpStateResponse,
    EntriesResponse,
    CheckResponse,
    UncoveredResponse,
)

"""Ketterby, a roastery that does not exist, with people, places and marks that do not either."""

from dataclasses import dataclass

TASTERS = ("Ines", "Tomas", "Wren")
SETTER = "Maren"

# Quality lines as the sheet asks them: smell, flavor, aftertaste, acidity, body, balance, overall.
LINES = ("fragrance_aroma", "flavor", "aftertaste", "acidity", "body", "balance", "overall")


@dataclass(frozen=True, slots=True)
class Opinion:
    """One taster's sheet of one coffee.

    points:  one for each of LINES.
    flags:   (line, bowl, word) for bowls that were not like the rest.
    note:    a text for the hot round, may be empty.
    """

    points: tuple[float, ...]
    flags: tuple[tuple[str, int, str], ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True)
class Told:
    """One coffee of a scripted table: what each taster says and how it is decided."""

    name: str
    opinions: tuple[Opinion, ...]
    calls: tuple[str, ...]
    verdict: str


DECIDED_OCCASION = "Harbour offers"
DECIDED_CUT_OFF = 84.5
DECIDED = (
    Told(
        name="Pellamy Upper",
        opinions=(
            Opinion((8.25, 8.25, 8.0, 8.25, 7.75, 8.0, 8.25), note="lemon peel, black tea"),
            Opinion((8.0, 8.25, 8.0, 8.0, 7.75, 8.0, 8.0), note="lemon, honey"),
            Opinion((8.0, 8.0, 8.0, 8.25, 8.0, 8.0, 8.25), note="black tea, long"),
        ),
        calls=("buy", "buy", "buy"),
        verdict="buy",
    ),
    Told(
        name="Oskelan 12",
        opinions=(
            Opinion((7.75, 8.0, 7.75, 7.75, 7.75, 7.75, 8.0), note="cocoa, round"),
            Opinion((7.75, 7.75, 7.75, 7.5, 8.0, 7.75, 7.75)),
            Opinion((8.0, 8.0, 7.75, 7.75, 8.0, 7.75, 8.0), note="sweet, cocoa"),
        ),
        calls=("look again", "decline", "look again"),
        verdict="look again",
    ),
    Told(
        name="Tarn Ostell",
        opinions=(
            Opinion(
                (7.5, 7.5, 7.25, 7.5, 7.5, 7.25, 7.25),
                flags=(
                    ("uniformity", 4, "differs"),
                    ("clean_cup", 4, "not_clean"),
                    ("defects", 4, "taint"),
                ),
                note="one bowl papery",
            ),
            Opinion(
                (7.5, 7.5, 7.5, 7.5, 7.5, 7.5, 7.5),
                flags=(("uniformity", 4, "differs"), ("defects", 4, "taint")),
            ),
            Opinion(
                (7.5, 7.25, 7.25, 7.5, 7.5, 7.25, 7.25), flags=(("clean_cup", 4, "not_clean"),)
            ),
        ),
        calls=("decline", "decline", "decline"),
        verdict="decline",
    ),
)
DECIDED_REASON = (
    "Pellamy Upper lies over the cut-off for all three of us. Oskelan 12 is close to it: once "
    "more, on a fresh roast. Tarn Ostell has a papery bowl and little else."
)
DECIDED_BY = "Maren"

READY_OCCASION = "Harbour offers, second sitting"
READY_CUT_OFF = 84.0
READY_COFFEES = ("Ibelund Station", "Dunmarrow 7", "Corrow Bank")
READY_TASTERS = ("Ines",)

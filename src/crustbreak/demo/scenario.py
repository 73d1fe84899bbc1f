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
READY_COFFEES = ("Oskelan 12", "Dunmarrow 7", "Corrow Bank")
READY_TASTERS = ("Ines",)
# Frozen portions of one roast, on every table.
CONTROL = "Old Post, frozen"
CONTROL_TOTAL = 83.5
# Whose mean is the lab's scale.
ANCHORS = ("Ines", "Tomas")
CURRENCY = "USD"
# Two kettles of two litres: a table of five codes without waiting for water.
KETTLES = {"kettles": 2.0, "kettle_ml": 2000.0}
# What is offered at what price of a kilo, and how much of it.
OFFERED = {
    "Pellamy Upper": (9.4, 420.0),
    "Oskelan 12": (7.2, 900.0),
    "Tarn Ostell": (6.1, 600.0),
    "Cairn Hollow": (7.8, 600.0),
    "Ely Top": (7.1, 1200.0),
    "Mossgate": (8.3, 300.0),
    "Dunmarrow 7": (6.9, 720.0),
    "Corrow Bank": (8.8, 180.0),
}


@dataclass(frozen=True, slots=True)
class Sitting:
    """An earlier table of which only the gist is told; its sheets are made up from it.

    days_ago:  how long before today.
    coffees:   (name, total that a taster without a leaning would give it).
    reason:    of the verdict, which goes by the rule; empty for a table not decided yet.
    """

    occasion: str
    days_ago: float
    cut_off: float
    coffees: tuple[tuple[str, float], ...]
    reason: str


# How much more than the others each gives, points, and how far one look may be off.
LEANINGS = (0.5, -0.75, 0.25)
LOOK_OFF = 1.0

BY_THE_RULE = "By the rule; nothing else spoke for or against."
HISTORY = (
    Sitting(
        "Spring offers, first sitting",
        58,
        84.0,
        (("Hask 3", 85.5), ("Lower Ennet", 83.0), ("Sarn Mill", 82.5), ("Wether Fold", 84.5)),
        BY_THE_RULE,
    ),
    Sitting(
        "Spring offers, second sitting",
        57,
        84.0,
        (("Corrie Blue", 87.0), ("Drum 19", 83.5), ("Ostrander", 84.0)),
        BY_THE_RULE,
    ),
    Sitting(
        "For the house blend",
        41,
        82.0,
        (("Bellwether", 82.5), ("Kelda", 81.0), ("Nether Quay", 83.5), ("Tollgate 4", 80.5)),
        BY_THE_RULE,
    ),
    Sitting(
        "High ground",
        30,
        85.0,
        (("Aldersyke", 86.5), ("Ravensbeck", 85.0), ("Thorn Acre", 83.5), ("Yewdale", 88.0)),
        BY_THE_RULE,
    ),
    Sitting(
        "Late arrivals",
        16,
        84.0,
        (("Farrow 7", 82.0), ("Little Marl", 84.5), ("Stane End", 85.5)),
        BY_THE_RULE,
    ),
    Sitting(
        "For the filter shelf",
        9,
        84.5,
        (("Brae Garth", 84.0), ("Coldwell", 85.5), ("Hollin", 83.0), ("Pike 22", 86.0)),
        BY_THE_RULE,
    ),
)

# Three coffees that lie close, and close to the cut-off: the honest answer is "cannot tell".
CLOSE = Sitting(
    "Ridge offers", 0.2, 84.5, (("Cairn Hollow", 84.75), ("Ely Top", 84.5), ("Mossgate", 85.5)), ""
)


@dataclass(frozen=True, slots=True)
class ScriptedBowl:
    """What one bowl of a comparison got: from the open one, which way, in what, and a note."""

    value: float
    way: str = ""
    differs: str = ""
    note: str = ""


# A container that is not what was approved, checked by one person alone with numbered bowls.
ARRIVAL_OCCASION = "Oskelan, second container"
ARRIVAL_TASTER = "Ines"
ARRIVAL_DAYS_AGO = 3.0
ARRIVAL_WITHIN = 1.5
ARRIVAL = {
    "Oskelan 12, approved": (
        ScriptedBowl(0.5),
        ScriptedBowl(0.0),
        ScriptedBowl(1.0, "neither", "body"),
    ),
    "Oskelan 12, arrival": (
        ScriptedBowl(2.5, "worse", "acidity", "flat"),
        ScriptedBowl(3.0, "worse", "off_note", "papery as it cools"),
        ScriptedBowl(2.5, "worse", "acidity"),
    ),
}
# Where the shuffled bowls came to stand: the nth place had the bowl of that number, from 1.
ARRIVAL_STOOD = (4, 2, 6, 1, 5, 3)
ARRIVAL_CALL = "different, worse"
ARRIVAL_REASON = "Flat in all three bowls beside the retained sample, and wetter than the contract."
ARRIVAL_NEXT = "Ask for an allowance; Maren, while the clock runs."
# Measure to (at approval, now, at least, at most); and what it had scored as an offer.
ARRIVAL_PHYSICALS = {
    "moisture": ("10.8", "12.9", "8", "12.5"),
    "water_activity": ("0.55", "0.63", "", "0.65"),
}
ARRIVAL_OLD_SCORE = {"score": "87.5", "tasters": "3", "tables": "1", "usual": "84"}
ARRIVAL_CONTRACT = "gca/1"
ARRIVAL_DISCHARGED_DAYS_AGO = 9
ARRIVAL_SAID = {
    "unmoved": "Harbour warehouse, bay 4, since discharge",
    "samples": "Every tenth bag, drawn with the warehouse; seals K-201 to K-203",
}

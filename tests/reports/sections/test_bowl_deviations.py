from crustbreak.reports.sections.bowl_deviations import deviation_text, deviation_texts


def flag(kind: str, off: float | None = None, cup: int = 3) -> dict[str, object]:
    return {"code": "482", "cup": cup, "kind": kind, "off": off}


def test_says_how_a_bowl_differs() -> None:
    assert deviation_text(flag("steep", 25)) == "Bowl 3 of 482 steeped 25 s longer"
    assert deviation_text(flag("steep", -12)) == "Bowl 3 of 482 steeped 12 s shorter"
    assert deviation_text(flag("dose", 0.4)) == "Bowl 3 of 482 had 0.40 g more coffee"
    assert deviation_text(flag("water", -2.5)) == "Bowl 3 of 482 had 2.5 g less water"
    assert deviation_text(flag("spilt")) == "Bowl 3 of 482 was spilt"


def test_says_all_of_one_bowl_in_one_sentence() -> None:
    said = deviation_texts([flag("steep", 25), flag("dose", 0.4), flag("spilt", cup=4)])

    assert said == (
        "Bowl 3 of 482 steeped 25 s longer and had 0.40 g more coffee.",
        "Bowl 4 of 482 was spilt.",
    )
    assert deviation_texts(()) == ()

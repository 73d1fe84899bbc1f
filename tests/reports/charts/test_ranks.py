from crustbreak.reports.charts.ranks import draw_ranks, rank_lines

RANKS = {"Tarn": [0.75, 0.245, 0.005], "Fen": [0.25, 0.7, 0.05], "Moss": [0.0, 0.055, 0.945]}


def test_a_ribbon_is_as_high_as_a_rank_is_likely() -> None:
    for spec, ribbon in zip(draw_ranks(RANKS).values(), (38, 20, 34), strict=True):
        ribbons = next(each for each in spec["layer"] if each["name"] == "ribbons")
        tarn = [each for each in ribbons["data"]["values"] if each["name"] == "Tarn"]

        # The third rank, less likely than one in a hundred, only ends it.
        assert [each["rank"] for each in tarn] == [0.5, 1, 2, 3]
        heights = [round(each["to"] - each["from"], 6) for each in tarn]
        assert heights == [round(share * ribbon, 6) for share in (0, 0.75, 0.245, 0.005)]


def test_ribbons_stand_apart() -> None:
    spec = draw_ranks(RANKS)["wide"]
    ribbons = next(each for each in spec["layer"] if each["name"] == "ribbons")["data"]["values"]

    lowest = {name: max(each["to"] for each in ribbons if each["name"] == name) for name in RANKS}
    highest = {
        name: min(each["from"] for each in ribbons if each["name"] == name) for name in RANKS
    }
    assert lowest["Tarn"] < highest["Fen"] < lowest["Fen"] < highest["Moss"]


def test_a_chance_is_written_and_the_likeliest_stands_out() -> None:
    numbers = draw_ranks(RANKS)["paper"]["data"]["values"]

    assert [each["said"] for each in numbers if each["name"] == "Tarn"] == ["75", "24", ""]
    assert [each["rank"] for each in numbers if each["most"]] == [1, 2, 3]


def test_says_every_rank() -> None:
    assert rank_lines({"Tarn": [0.75, 0.25]}) == ("Tarn: rank 1 75 in 100, rank 2 25 in 100.",)

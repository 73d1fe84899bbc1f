from crustbreak.analysis.scheduling.bench import Bench, Kettles, Pace
from crustbreak.analysis.scheduling.schedule import Act, Fill, Schedule, ScheduledCup, Work


def act(work: Work, cup: int, at_s: int, *, person: int = 1) -> Act:
    return Act(work=work, cup=cup, person=person, from_s=at_s, until_s=at_s + 5)


TWO = Schedule(
    bench=Bench(
        cups=2,
        people=2,
        pace=Pace(pour_s=5, break_s=5, skim_s=5),
        kettles=Kettles(count=1, pours=9, reheat_s=60),
    ),
    cups=(
        ScheduledCup(
            pour=act(Work.POUR, 1, 0),
            break_=act(Work.BREAK, 1, 238, person=2),
            skim=act(Work.SKIM, 1, 290),
            taste_s=720,
        ),
        ScheduledCup(
            pour=act(Work.POUR, 2, 10),
            break_=act(Work.BREAK, 2, 251),
            skim=act(Work.SKIM, 2, 260, person=2),
            taste_s=730,
        ),
    ),
    fills=(Fill(kettle=1, cups=(1, 2)),),
)


def test_errors_are_signed_and_the_worst_of_them_is_not() -> None:
    assert TWO.errors_s == (-2, 1)
    assert TWO.worst_error_s == 2


def test_it_is_finished_with_the_last_skim_and_not_the_last_cup() -> None:
    assert TWO.finish_s == 295


def test_each_person_has_a_list_in_order() -> None:
    assert [(each.work, each.cup) for each in TWO.of_person(1)] == [
        (Work.POUR, 1),
        (Work.POUR, 2),
        (Work.BREAK, 2),
        (Work.SKIM, 1),
    ]
    assert [each.from_s for each in TWO.of_person(2)] == [238, 260]

"""What is asked of a part, and how its answers are read."""

from collections.abc import Collection

import pytest

from keelwatt.interview import Session
from keelwatt.interview.part import part

BATTERY = {
    "Which units": "metric", "Name": "House 100", "Chemistry": "lfp", "Voltage": "12.8",
    "Capacity": "100", "Continuous": "100", "Mass": "11",
    "Length": "330", "Width": "170", "Height": "220", "Price": "1299",
}  # fmt: skip


def asked(
    stem: str, answers: dict[str, str], taken: Collection[str] = ()
) -> tuple[dict[str, str], list[str]]:
    """The cells it comes to, and every question; no answer is refused."""
    questions: list[str] = []

    def ask(words: str, _: str) -> str:
        assert words not in questions, "an answer was refused"
        questions.append(words)
        return next((typed for begin, typed in answers.items() if words.startswith(begin)), "")

    return Session(ask, lambda _: None).run(lambda session: part(session, stem, taken)), questions


def test_a_question_ends_with_its_unit_or_with_the_words_it_takes() -> None:
    cells, questions = asked("batteries", BATTERY)
    ends = {question.partition(". ")[0]: question for question in questions}
    assert ends["Chemistry"].endswith("lithium. flooded, agm, gel, lfp or nmc.")
    assert ends["Voltage"].endswith(" In V.")
    assert ends["Length"].endswith(" In mm.")
    assert ends["Price"] == "Price. What one costs."
    assert (cells["voltage_v"], cells["mass_kg"], cells["cycles"]) == ("12.8 V", "11 kg", "")


@pytest.mark.parametrize(("typed", "a_metre"), [("3.00", "3.00"), ("$3.00 / ft", "9.84")])
def test_a_price_a_foot_is_that_of_a_metre_times_three_point_three(
    typed: str, a_metre: str
) -> None:
    """A foot is 0.3048 m."""
    cable = {"Which": "metric", "Name": "Red", "Size": "6 AWG", "Insulation": "105", "Price": typed}
    cells, _ = asked("cables", cable)
    assert cells["price_cents_m"] == a_metre


def test_three_sizes_in_one_answer_are_length_width_and_height() -> None:
    cells, questions = asked("batteries", BATTERY | {"Length": "330 x 170 x 220 mm"})
    assert not [question for question in questions if question.startswith(("Width", "Height"))]
    sides = [cells[field].split()[0] for field in ("length_m", "width_m", "height_m")]
    assert [float(side) for side in sides] == [330.0, 170.0, 220.0]


def test_an_id_is_made_from_the_name_and_no_other_parts_is_taken() -> None:
    cells, _ = asked("batteries", BATTERY, taken=["house-100"])
    assert cells["id"] == "house-100-2"
    each = next(
        question for question in asked("batteries", BATTERY)[1] if "more values" in question
    )
    mine = BATTERY | {each: "more", "Id": "my-own"}
    assert asked("batteries", mine, taken=["house-100"])[0]["id"] == "my-own"
    with pytest.raises(AssertionError, match="an answer was refused"):
        asked("batteries", mine, taken=["my-own"])


def test_words_not_known_are_answered_with_those_known_in_the_order_of_the_question() -> None:
    answers, told = iter(["half", "all"]), list[str]()

    def ask(words: str, _: str) -> str:
        typed = next((typed for begin, typed in BATTERY.items() if words.startswith(begin)), "")
        return next(answers) if "more values" in words else typed

    Session(ask, told.append).run(lambda session: part(session, "batteries", ()))
    assert any("write all or more" in words for words in told)

"""Interviews held with a list of answers."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from keelwatt.files.outing import Outing, outing_from_text
from keelwatt.interview import interview, outing_text

ENTER = ""


@dataclass
class Held:
    """What was asked and said, and the file it came to."""

    text: str = ""
    asked: list[tuple[str, str]] = field(default_factory=list)
    said: list[str] = field(default_factory=list)

    @property
    def outing(self) -> Outing:
        return outing_from_text(self.text, "outing.toml")


def held(answers: Iterable[str], *, enter: bool = True) -> Held:
    """An interview with these answers, then Enter to every further question, or the end of them."""
    talk, left = Held(), iter(answers)

    def ask(words: str, offered: str) -> str:
        talk.asked.append((words, offered))
        answer = next(left, ENTER if enter else None)
        if answer is None:
            raise EOFError
        return answer

    talk.text = outing_text(interview(ask, talk.said.append))
    return talk


def held_instead(*answers: tuple[str, str]) -> Held:
    """An interview that Enter answers, but for the first questions that hold these words."""
    talk, left = Held(), list(answers)

    def ask(words: str, offered: str) -> str:
        talk.asked.append((words, offered))
        if left and left[0][0] in words:
            return left.pop(0)[1]
        return ENTER

    talk.text = outing_text(interview(ask, talk.said.append))
    assert not left, left
    return talk

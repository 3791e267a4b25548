"""Text cut or broken to the room there is."""

from collections.abc import Iterator
from unicodedata import east_asian_width

from keelwatt.drawings.svg import EM, shortened

WIDE_SIGNS = frozenset("MWmw@%&…—")


def fitted(text: str, room: float, size: float) -> str:
    """The text, or as much of its beginning as there is room for, and an ellipsis."""
    cuts = (shortened(text, length) for length in range(len(text), 1, -1))
    return next((cut for cut in cuts if _room(cut, size) <= room), "…")


def lines(text: str, *, room: float, size: float, most: int) -> list[str]:
    """Text broken at spaces, or where it must be, to fit; an ellipsis for what is left over."""
    found: list[str] = []
    for piece in (piece for word in text.split() for piece in _pieces(word, room, size)):
        if found and _room(f"{found[-1]} {piece}", size) <= room:
            found[-1] += f" {piece}"
        else:
            found.append(piece)
    if len(found) > most:
        last = found[most - 1]
        while last and _room(last + "…", size) > room:
            last = last[:-1]
        return [*found[: most - 1], last.rstrip() + "…"]
    return found or [""]


def _pieces(word: str, room: float, size: float) -> Iterator[str]:
    start = 0
    for end in range(2, len(word) + 1):
        if _room(word[start:end], size) > room and end - 1 > start:
            yield word[start : end - 1]
            start = end - 1
    yield word[start:]


def _room(text: str, size: float) -> float:
    """Room to keep for a text in which every sign may be a wide one."""
    return size * sum(
        1.1 if sign in WIDE_SIGNS or east_asian_width(sign) in "WF" else EM for sign in text
    )

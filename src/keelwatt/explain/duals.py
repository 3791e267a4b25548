"""The smallest sets of limits that kits break, and the smallest that no kit keeps.

They are two sides of one thing: a way out loosens one limit of every conflict, and each conflict
holds one limit of every way out (Reiter, Artificial Intelligence 32 (1987) 57). So each smallest
set that meets all ways known is put to the catalog: if no kit keeps it, it is a conflict; else that
kit is a new way. When all are conflicts, all are known (MARCO: Liffiton and others, Constraints 21
(2016) 223).
"""

from collections.abc import Callable, Iterable
from itertools import chain


def duals(
    names: tuple[str, ...],
    broken: Callable[[frozenset[str]], Iterable[frozenset[str]]],
    most: int | None = None,
) -> tuple[list[frozenset[str]], list[frozenset[str]]]:
    """(smallest sets that kits break, smallest sets no kit keeps), the latter ``most`` at the most.

    Both empty if there are no kits at all, or some kit breaks nothing.
    """
    first = tuple(broken(frozenset()))
    sets = _smallest(names, first)
    conflicts: list[frozenset[str]] = []
    while sets and sets[0]:
        candidates = _meeting(names, sets)
        conflicts = [limits for limits in conflicts if limits in candidates]
        for limits in candidates[:most]:
            if limits in conflicts:
                continue
            new = tuple(broken(limits))
            if new:
                sets = _smallest(names, (*sets, *new))
                break
            conflicts.append(limits)
        else:
            return sets, candidates[:most]
    return [], []


def _meeting(names: tuple[str, ...], sets: list[frozenset[str]]) -> list[frozenset[str]]:
    """The smallest sets that hold one of each."""
    met: list[frozenset[str]] = [frozenset()]
    for each in sets:
        met = _smallest(
            names,
            chain.from_iterable([m] if m & each else [m | {name} for name in each] for m in met),
        )
    return met


def _smallest(names: tuple[str, ...], sets: Iterable[frozenset[str]]) -> list[frozenset[str]]:
    """Those that contain no other, the smallest first, then by the order of their names."""

    def place(limits: frozenset[str]) -> tuple[int, int]:
        return len(limits), sum(1 << names.index(name) for name in limits)

    kept: list[frozenset[str]] = []
    for limits in sorted(set(sets), key=place):
        if not any(small <= limits for small in kept):
            kept.append(limits)
    return kept

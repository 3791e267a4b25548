"""The parts an outing allows: what it requires and what it refuses."""

from collections.abc import Iterable
from typing import TypeVar

from keelwatt.boat.load_case import LoadCase
from keelwatt.files.catalog.parts import Controller, Part
from keelwatt.kits.account import FILTERS, Account
from keelwatt.limits import enters

P = TypeVar("P", bound=Part)


class Allowed:
    """Applies the outing's required and refused parts, kind by kind."""

    def __init__(self, case: LoadCase, account: Account) -> None:
        self.refuse = frozenset(case.outing.parts.refuse)
        self.require = frozenset(case.outing.parts.require)
        self.account = account

    @enters(FILTERS, "parts")
    def of(self, kind: str, parts: Iterable[P]) -> tuple[P, ...]:
        parts = tuple(parts)
        wanted = {part.id for part in parts} & self.require
        kept = []
        for part in parts:
            if part.id in self.refuse or (wanted and part.id not in wanted):
                where = "refused" if part.id in self.refuse else "another is required"
                self.account.leave_out(
                    kind, part.id, "parts", value=1, bound=0, unit="in the outing", where=where
                )
            else:
                kept.append(part)
        return tuple(kept)

    def controllers(self, parts: tuple[Controller, ...]) -> tuple[Controller | None, ...]:
        kept = self.of("controller", parts)
        return kept if named(parts, self.require) else (None, *kept)


def named(parts: Iterable[Part], ids: frozenset[str]) -> bool:
    return any(part.id in ids for part in parts)

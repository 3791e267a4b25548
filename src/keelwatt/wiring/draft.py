"""A netlist in the making."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from keelwatt.boat.load_case import LoadCase
from keelwatt.files.catalog.got import Strand
from keelwatt.files.kit import Kit
from keelwatt.proof.billing import Billing
from keelwatt.proof.model import Chosen
from keelwatt.wiring.model import Conductor, Item, Polarity, Terminal

Piece = tuple[Terminal, Terminal, float]
"""Where a conductor begins, where it ends, and its length in metres."""


@dataclass
class Draft:
    """What a netlist is made from, and its items and conductors so far, in the order of work."""

    kit: Kit
    chosen: Chosen
    case: LoadCase
    billing: Billing
    items: list[Item] = field(default_factory=list)
    conductors: list[Conductor] = field(default_factory=list)

    @property
    def cable(self) -> Strand:
        """The kit's own."""
        return self.billing.beside.cut_from(self.chosen.cable)

    def lay(
        self,
        circuit: str,
        pieces: Iterable[Piece],
        *,
        wire: Strand,
        current_a: float,
        fuse: str | None,
    ) -> None:
        """Add conductors; the polarity of each is that of the poles it joins."""
        for start, end, length_m in pieces:
            drop_v = wire.drop_v(length_m, current_a)
            polarity: Polarity = "positive" if start.pole == "+" else "negative"
            self.conductors.append(
                Conductor(
                    number=len(self.conductors) + 1,
                    circuit=circuit,
                    start=start,
                    end=end,
                    polarity=polarity if start.pole == end.pole else "link",
                    length_m=length_m,
                    wire=wire,
                    current_a=current_a,
                    fuse=fuse,
                    drop_v=drop_v,
                    drop_share=drop_v / self.chosen.motor.system_v,
                )
            )

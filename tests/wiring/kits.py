"""Kits of the shipped, invented catalog on the example craft, one of each way to wire them."""

from functools import cache
from pathlib import Path

from keelwatt.boat.load_case import LoadCase
from keelwatt.files.catalog.reader import Catalog, read_catalog
from keelwatt.files.catalog.shipped import shipped_catalog
from keelwatt.files.kit import Kit
from keelwatt.files.outing import Outing, read_outing
from keelwatt.proof import Assessor
from keelwatt.wiring import Netlist, netlist

EXAMPLES = Path(__file__).parents[2] / "examples"

KITS: dict[str, tuple[str, Kit]] = {
    "one battery": (
        "bird-count-canoe",
        Kit(
            battery="lfp-12v-50ah",
            series=1,
            parallel=1,
            compartment="behind the stern seat",
            motor="motor-12v-130n-stepped",
            mount="stern well",
            controller="chopper-12-24v-50a",
            cable="cable-10awg-75c",
            run_m=1.09,
            fuse="fuse-blade-40a",
            connector="plug-40a",
            charger="charger-12v-6a-lfp",
        ),
    ),
    "stepped without a control": (
        "reservoir-sampling",
        Kit(
            battery="agm-12v-75ah",
            series=1,
            parallel=1,
            compartment="tank well",
            motor="motor-12v-130n-stepped",
            mount="stern",
            controller=None,
            cable="cable-10awg-75c",
            run_m=1.4,
            fuse="fuse-bolt-40a",
            connector="plug-40a",
            charger=None,
        ),
    ),
    "parallel": (
        "reservoir-sampling",
        Kit(
            battery="flooded-12v-50ah",
            series=1,
            parallel=2,
            compartment="tank well",
            motor="motor-12v-130n-stepped",
            mount="stern",
            controller="chopper-12-24v-50a",
            cable="cable-10awg-75c",
            run_m=1.4,
            fuse="fuse-bolt-40a",
            connector="plug-40a",
            charger="charger-12v-5a-lead",
        ),
    ),
    "series": (
        "harbour-dinghy",
        Kit(
            battery="flooded-12v-50ah",
            series=2,
            parallel=1,
            compartment="under the middle thwart",
            motor="motor-24v-250n-stepped",
            mount="transom",
            controller="chopper-12-24v-40a",
            cable="cable-8awg-75c",
            run_m=2.4,
            fuse="fuse-blade-40a",
            connector="plug-50a",
            charger="charger-24v-8a-lead",
        ),
    ),
    "four strings of four": (
        "harbour-dinghy",
        Kit(
            battery="lfp-12v-30ah",
            series=4,
            parallel=4,
            compartment="under the stern thwart",
            motor="motor-48v-480n-chopper",
            mount="transom",
            controller=None,
            cable="cable-6awg-105c",
            run_m=1.2,
            fuse="breaker-80a",
            connector="plug-50a",
            charger=None,
        ),
    ),
}


@cache
def shipped() -> Catalog:
    return read_catalog(shipped_catalog())


@cache
def outing_of(name: str) -> Outing:
    return read_outing(EXAMPLES / KITS[name][0] / "outing.toml")


@cache
def net_of(name: str) -> Netlist:
    return wired(KITS[name][1], outing_of(name), shipped())


def wired(kit: Kit, outing: Outing, catalog: Catalog) -> Netlist:
    load_case = LoadCase(outing)
    return netlist(kit, Assessor(load_case.outing, catalog).chosen(kit), load_case, catalog)

"""Every screen in the units typed: none of the other system's."""

import re
from pathlib import Path

import pytest

from golden.kept import ROOT, ran
from samples import write_catalog

METRIC = re.compile(r"[0-9] (km/h|m/s|kg|g|cm|mm|m)\b(?!2)")
AMERICAN = re.compile(r"[0-9] (mph|lb|oz|ft|in)\b(?! the)")
BOTH = re.compile(r"178 mm \(7 in\)|7 in \(178 mm\)|45 cm \(18 in;|40 in, 1\.02 m|within 178 mm")
"""A rule's own numbers, in both."""

OUTING = """
title = "Pond"
currency = "coins"
[water]
temperature = "57 degF"
[craft]
shape = "canoe"
waterline_length = "14 ft"
waterline_beam = "2 ft 8 in"
hull_mass = "60 lb"
hull_height = "7 in"
payload_limit = "500 lb"
[[craft.compartment]]
name = "aft"
length = "30 in"
width = "24 in"
height = "16 in"
x = "-3 ft"
y = "0 in"
z = "7 in"
[[craft.mount]]
name = "stern"
x = "-6 ft"
y = "0 in"
z = "14 in"
[[aboard]]
name = "paddler"
mass = "170 lb"
x = "2 ft"
y = "0 in"
z = "14 in"
[[leg]]
name = "round"
speed = "2.5 mph"
hours = "2 h"
headwind = "3 m/s"
[limits]
lift = "60 lb"
kit_mass = "120 lb"
top_speed = "3 mph"
recharge_within = "12 h"
max_trim = "3 deg"
"""

COMMANDS = [
    "pick outing.toml",
    "pick outing.toml --full --sheet",
    "whatif outing.toml --set hours=+1h --full",
    "stretch outing.toml --over top_speed --full",
    "stretch outing.toml --over kit_mass --by mass --full",
    "tradeoff outing.toml",
    "prove outing.toml --kit kit.json",
    "odds outing.toml --kit kit.json --days 200",
]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "outing.toml").write_text(OUTING, encoding="utf-8")
    write_catalog(tmp_path / "catalog")
    for file in (ROOT / "catalog").iterdir():
        (tmp_path / "catalog" / file.name).write_bytes(file.read_bytes())
    kit = ran("pick outing.toml --json", tmp_path).told["stdout"]
    (tmp_path / "kit.json").write_text(kit, encoding="utf-8")
    return tmp_path


def units(text: str, pattern: re.Pattern[str]) -> list[str]:
    return [match[0] for match in pattern.finditer(BOTH.sub("", text))]


@pytest.mark.few(3)
@pytest.mark.parametrize("command", COMMANDS)
def test_an_outing_in_pounds_is_answered_in_pounds(command: str, folder: Path) -> None:
    told = ran(command, folder)
    assert told.status == 0, told.told
    assert units(told.told["stdout"], METRIC) == []
    assert units(told.told["stdout"], AMERICAN)
    metric = ran(f"{command} --units metric", folder).told["stdout"]
    metric = re.sub(r"\d+ ft (?=\()", "", metric)  # cable as it is sold
    assert units(metric, AMERICAN) == []
    assert units(metric, METRIC)


def test_a_page_and_a_list_are_in_pounds_and_feet(folder: Path) -> None:
    ran("pick outing.toml --page kit.html --shopping list.csv", folder)
    page = (folder / "kit.html").read_text(encoding="utf-8")
    body = re.sub(r"<style>.*?</style>", "", page, flags=re.S)
    assert units(re.sub(r"<[^>]*>", " ", body), METRIC) == []
    assert ",ft," in (folder / "list.csv").read_text(encoding="utf-8-sig")


def test_data_stays_as_it_is(folder: Path) -> None:
    us, metric = (
        ran(f"pick outing.toml --json --units {system}", folder).told["stdout"]
        for system in ("us", "metric")
    )
    assert us == metric

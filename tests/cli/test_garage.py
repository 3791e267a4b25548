"""A folder begun at home with parts from shop pages: what is said of it, on the way to a kit."""

import json
from pathlib import Path

import pytest

from running import keelwatt
from samples import SHOP_PAGES, small_outing_text, write_catalog

CONTROL = "speed-control-40"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    write_catalog(tmp_path / "catalog", SHOP_PAGES)
    (tmp_path / "outing.toml").write_text(small_outing_text(), encoding="utf-8")
    return tmp_path


def said(folder: Path, *arguments: str, status: int = 0) -> str:
    ran = keelwatt(*arguments, cwd=folder)
    assert ran.returncode == status, ran.stderr
    return " ".join((ran.stdout + ran.stderr).split())


def test_check_lists_what_is_assumed_with_its_source(folder: Path) -> None:
    told = said(folder, "catalog", "check")
    assert "batteries.csv, continuous: 0.5 A for each Ah (from memory, the safe side)" in told
    assert "fuses.csv, interrupts: 1000 A (from memory, the safe side); strip-fuse-60" in told
    assert "No problems in catalog" in told
    ran = keelwatt("catalog", "check", "--json", cwd=folder)
    listed = {(each["file"], each["column"]): each for each in json.loads(ran.stdout)["assumed"]}
    assert listed["controllers.csv", "efficiency"]["taken"] == "90 %"
    assert listed["controllers.csv", "efficiency"]["source"]


def test_a_control_too_weak_is_left_out_by_its_rating(folder: Path) -> None:
    told = said(folder, "why", "outing.toml", CONTROL, status=4)
    motor = "transom-motor-55-36-in"
    assert f"has 40 A, the bound is 62.5 A (1.25 x 50 A of {motor})" in told


def test_one_that_is_required_is_named_and_not_the_mount(folder: Path) -> None:
    outing = folder / "outing.toml"
    text = outing.read_text(encoding="utf-8").replace("require = []", f'require = ["{CONTROL}"]')
    outing.write_text(text, encoding="utf-8")
    told = said(folder, "pick", "outing.toml", status=4)
    assert f"{CONTROL} goes with no motor: it carries 40 A, and 62.5 A is needed" in told
    assert "mount" not in told


def test_a_rule_that_rests_on_an_assumption_says_so(folder: Path) -> None:
    told = said(folder, "why", "outing.toml", "deep-cycle-100-12-v", status=4)
    assert "Battery's current" in told
    assert "leaves continuous open for deep-cycle-100-12-v; 0.5 A for each Ah is taken" in told


def test_what_no_part_of_a_kind_meets_is_told_with_its_number(folder: Path) -> None:
    (folder / "catalog" / "connectors.csv").write_text(
        "name,amps,wire,price\nPlug 40,40,6-10 AWG,12\nPlug 45,45,6-10 AWG,12\n"
    )
    told = said(folder, "pick", "outing.toml", status=4)
    assert "No cable, fuse and connector of the catalog together suit any motor and run." in told
    assert "Connector's current: plug-45 has 45 A, the bound is " in told
    assert "plug-40" not in told
    assert "Connector's current: plug-45" in said(folder, "pick", "outing.toml", "--full", status=4)


def test_the_page_lists_what_is_assumed_of_the_kit(folder: Path) -> None:
    outing = folder / "outing.toml"
    text = outing.read_text(encoding="utf-8")
    for line in ("budget = 1200", 'kit_mass = "45 kg"'):
        text = text.replace(line, "")
    outing.write_text(text + "\n", encoding="utf-8")
    batteries = folder / "catalog" / "batteries.csv"
    batteries.write_text(
        "name,type,voltage,capacity,continuous,weight,length,width,height,price\n"
        "Big block 100,LiFePO4,12.8 V,100Ah,100 A,24 lb,13 in,6.8 in,8.5 in,$300\n"
    )
    fuses = folder / "catalog" / "fuses.csv"
    fuses.write_text("name,amps,interrupts,price\nBlock fuse 70,70 A,10000 A,$9\n")
    (folder / "catalog" / "connectors.csv").write_text(
        "name,amps,smallest,largest,price\nPlug 70,70 A,10 AWG,2 AWG,$12\n"
    )
    (folder / "catalog" / "cables.csv").write_text(
        "name,gauge,insulation,price per foot\nCable 4,4 AWG,105 degC,$3.10\n"
    )
    said(folder, "pick", "outing.toml", "--page", "kit.html")
    page = (folder / "kit.html").read_text(encoding="utf-8")
    assert "Not in the catalog: Big block 100" in page
    assert "rated 20 h (common practice)" in page
    assert "continuous" not in page.split("Not in the catalog: Big block 100")[1].split("</tr>")[0]

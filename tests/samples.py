"""A small invented catalog and outing, both valid, and ways to spoil them."""

import csv
import io
import re
from pathlib import Path

from keelwatt.errors import Problem

_BATTERIES = """\
id,name,chemistry,system [V],voltage [V],capacity [Ah],rated [h],continuous [A],mass [kg],\
length [mm],width [mm],height [mm],upright_only,max_series,max_parallel,cycles,price,\
peukert,short_circuit [A],calendar [years]
flooded-75,Flooded 75 Ah,flooded,12,12,75,20,60,18.4,278,175,190,yes,4,4,250,98.00,,,
agm-100,AGM 100 Ah,agm,12,12,100,20,100,29.5,330,173,220,no,4,4,500,219.00,1.12,2200,6
lfp-50,LFP 50 Ah,lfp,12,12.8,50,5,50,6.2,198,166,170,no,4,4,3000,289.00,,,
lfp-100,LFP 100 Ah,lfp,12,12.8,100,5,100,11.3,330,173,220,no,4,4,3000,519.00,,,
"""

_MOTORS = """\
id,name,system [V],thrust [N],current [A],control,steps,propeller [mm],shaft [mm],\
mass [kg],price,no_load [A],no_thrust_speed [km/h],efficiency
stepped-130,Five steps 130 N,12,130,30,stepped,5,210,760,5.5,119.00,,,
stepped-200,Five steps 200 N,12,200,46,stepped,5,240,760,7.4,199.00,1.8,9.0,
chopper-200,Built-in chopper 200 N,12,200,44,chopper,0,240,760,7.9,349.00,,9.5,0.96
"""

_CONTROLLERS = """\
id,name,min_system [V],max_system [V],current [A],efficiency,mass [kg],price
control-40,Chopper 40 A,12,24,40,0.93,0.35,64.00
control-60,Chopper 60 A,12,24,60,0.94,0.50,86.00
"""

_CABLES = """\
id,name,size,insulation [degC],mass [kg/m],price_per_metre
cable-8awg,Copper 8 AWG,8 AWG,105,0.105,2.10
cable-6awg,Copper 6 AWG,6 AWG,105,0.160,3.20
cable-16mm2,Copper 16 mm2,16 mm2,90,0.190,3.60
cable-1-0awg,Copper 1/0 AWG,1/0 AWG,105,0.560,11.50
"""

_FUSES = """\
id,name,kind,rating [A],interrupts [A],max_voltage [V],mass [kg],price
fuse-40,Fuse 40 A,fuse,40,5000,58,0.06,9.50
fuse-60,Fuse 60 A,fuse,60,5000,58,0.06,9.50
breaker-60,Breaker 60 A,breaker,60,3000,48,0.15,28.00
"""

_CONNECTORS = """\
id,name,current [A],smallest,largest,mass [kg],price
plug-50,Plug 50 A,50,10 AWG,6 AWG,0.11,11.00
plug-120,Plug 120 A,120,6 AWG,1/0 AWG,0.24,24.00
"""

_CHARGERS = """\
id,name,chemistries,system [V],current [A],price
charger-lead,Lead-acid charger 10 A,flooded|agm|gel,12,10,59.00
charger-lfp,LFP charger 10 A,lfp,12,10,64.00
"""


SHOP_PAGES = {
    "batteries.csv": """\
name,type,voltage,capacity,weight,length,width,height,price
"Deep Cycle 100, 12 V",LiFePO4,12.8 V,100Ah,24.2 lbs,13 in,6.8 in,8 1/2 in,"$1,299.00"
Sealed block 100,Sealed Lead Acid,12,100,61.7 lb,12.9 in,6.8 in,8.5 in,$189.00
Pack of two rows,lithium iron phosphate,25.6V,50 Ah,11 kg,33 cm,17.3 cm,22 cm,$655
Wet block 90,lead acid,12 V,90 Ah,50 lb,12 in,7 in,9 in,$99
""",
    "motors.csv": """\
name,voltage,thrust,amps,shaft,price
"Transom motor 55, 36 in",12V,55 lb thrust,50A,36 in,$219.99
""",
    "controllers.csv": """\
name,voltage,amps,price
Speed control 40,12-60 V,40 A,$21.99
Speed control 30,DC 10 V - 50 V,30,$19
Speed control 60,24V/36V/48V,60 A,$80
""",
    "cables.csv": """\
name,gauge,price per foot
"Battery cable 6, red",6 gauge,$2.89
""",
    "fuses.csv": "name,amps,price\nStrip fuse 60 with holder,60 A,$9\n",
    "connectors.csv": "name,amps,smallest,largest,price\nPlug 50,50 A,10 AWG,6 AWG,$12\n",
    "chargers.csv": "name,type,voltage,amps,price\nLead charger,lead acid,12 V,10A,$60\n"
    "Lithium charger,LiFePO4,14.6V,10A,$70\n",
}
"""Invented parts, in the words of shop pages."""


def small_catalog_text() -> dict[str, str]:
    """The seven files of a small catalog, by name; invented parts."""
    return {
        "batteries.csv": _BATTERIES,
        "motors.csv": _MOTORS,
        "controllers.csv": _CONTROLLERS,
        "cables.csv": _CABLES,
        "fuses.csv": _FUSES,
        "connectors.csv": _CONNECTORS,
        "chargers.csv": _CHARGERS,
    }


def small_outing_text() -> str:
    """An outing that the small catalog can serve; invented craft."""
    return """\
title = "Round the island"
currency = "USD"

[water]
kind = "fresh"
temperature = "15 degC"

[craft]
shape = "canoe"
waterline_length = "4.8 m"
waterline_beam = "0.86 m"
hull_mass = "32 kg"
hull_height = "0.15 m"
payload_limit = "380 kg"
controller_at = { x = "-1.2 m", y = "0 m", z = "0.25 m" }

[[craft.compartment]]
name = "stern"
length = "0.60 m"
width = "0.45 m"
height = "0.32 m"
x = "-1.0 m"
y = "0 m"
z = "0.12 m"

[[craft.compartment]]
name = "bow"
length = "0.60 m"
width = "0.45 m"
height = "0.32 m"
opening_length = "0.50 m"
opening_width = "0.40 m"
max_load = "60 kg"
x = "1.2 m"
y = "0 m"
z = "0.12 m"

[[craft.mount]]
name = "transom"
x = "-2.2 m"
y = "0 m"
z = "0.40 m"
shaft_needed = "0.70 m"

[craft.cable_run]
"stern/transom" = "2.1 m"

[[aboard]]
name = "paddler"
mass = "82 kg"
x = "0.3 m"
y = "0 m"
z = "0.30 m"

[[aboard]]
name = "gear"
mass = "12 kg"
x = "0.8 m"
y = "0 m"
z = "0.15 m"

[[leg]]
name = "out"
speed = "5 km/h"
distance = "6 km"

[[leg]]
name = "back"
speed = "5 km/h"
hours = "1 h 15 min"
headwind = "2 m/s"
current = "0.3 km/h"

[[device]]
name = "phone"
power = "5 W"
hours = "2 h"

[limits]
budget = 1200
kit_mass = "45 kg"
reserve = "20 %"

[wish]
by = "cost"
outings_per_season = 20

[parts]
own = []
require = []
refuse = []
"""


def write_catalog(folder: Path, files: dict[str, str] | None = None) -> Path:
    """The folder, with the catalog's files in it."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in (files or small_catalog_text()).items():
        (folder / name).write_text(text, encoding="utf-8")
    return folder


def with_cell(text: str, row: int, column: str, cell: str) -> str:
    """CSV text with one cell replaced; rows as a spreadsheet numbers them."""
    rows = list(csv.reader(io.StringIO(text)))
    place = next(place for place, header in enumerate(rows[0]) if header.split(" [")[0] == column)
    rows[row - 1][place] = cell
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerows(rows)
    return out.getvalue()


def row_of(text: str, words: str) -> int:
    """The line of the first place where ``words`` stand."""
    return text[: text.index(words)].count("\n") + 1


def assert_says(problem: Problem, says: str) -> None:
    """The problem has a remedy, and says this (a pattern) in its two parts."""
    assert problem.remedy
    assert re.search(says, f"{problem.what}; {problem.remedy}"), problem

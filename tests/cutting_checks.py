"""Checks of cutting and estimating against published worked examples."""

from check_registry import check, near
from gudgeon_calc import cutting, cutting_forces
from gudgeon_calc.published import table
from gudgeon_calc.units import Quantity as Q


@check("sharma-14-1")
def life(row):
    found = cutting_forces.tool_life(Q(180, "minute"), Q(18, "m/minute"), Q(24, "m/minute"), Q(0.125, ""))
    near(found.m, row["expected"], 0.1)


@check("mmc-time")
def time(row):
    near(cutting.cutting_time(Q(100, "mm"), Q(0.2, "mm"), Q(100, "revolution/minute")).m, row["expected"], 1e-9)


@check("rpm-const")
def exact_constant(row):
    one = cutting.spindle_speed(Q(1, "foot/minute"), Q(1, "inch")).m
    near(one, row["expected"], 0.0001)
    assert 4 / one > 1.045, "the shortcut with 4 is fast, and not used"


HELD = {
    ("jones-cs", "machine_steel"): ("carbon-steel", "carbon steel"),
    ("jones-cs", "grey_iron"): ("grey-iron", "carbon steel"),
    ("jones-cs", "yellow_brass"): ("brass", "carbon steel"),
    ("jones-cs", "hard_bronze"): ("phosphor-bronze", "carbon steel"),
    ("lineham-cs", "cast_iron"): ("grey-iron", "high-speed steel"),
    ("lineham-cs", "steel_25_30t"): ("carbon-steel", "high-speed steel"),
    ("page-cs", "aluminium"): ("cast-aluminium", "high-speed steel"),
    ("page-cs", "brass_and_bronze"): ("brass", "high-speed steel"),
    ("page-cs", "bearing_bronze"): ("phosphor-bronze", "high-speed steel"),
    ("rough-cs", "cast_iron"): ("grey-iron", "high-speed steel"),
    ("mole-cs-range", "cast_iron"): ("grey-iron", "carbon steel, old practice"),
    ("mole-cs-range", "brass"): ("brass", "carbon steel, old practice"),
}
SOURCE = {
    "jones-cs": "jones-1914",
    "lineham-cs": "lineham",
    "mole-cs-range": "molesworth",
    "page-cs": "hss-speeds-page",
    "rough-cs": "turning-reference-page",
}


@check(*SOURCE)
def printed_speeds(row):
    seen = 0
    for (name, metal), (held, tool) in HELD.items():
        if name != row["id"]:
            continue
        value = row["expected"][metal]
        low, high = value if isinstance(value, list) else (value, value)
        per_foot = {"mole-cs-range": 12, "rough-cs": 0.3048}.get(name, 1)  # prints in inches and in metres a minute
        found = [each for each in cutting.cutting_speeds(held, tool) if each[2] == SOURCE[name]]
        near(found[0][0], low / per_foot, 0.01)
        near(found[0][1], high / per_foot, 0.01)
        seen += 1
    assert seen == len(row["expected"]) or seen >= 2
    assert all(each["source"] or each["basis"] == "from memory" for each in table("cutting-speeds"))

"""Writes random small projects, whose plans the saw simulator then cuts: nobody thinks of every mixture of sizes,
blades, vehicles and dealers, so chance has to.

A project holds every sheet material that can be bought in its currency, so that one run of the command plans several
orders of sheets, and wood in the sections that yards there plane and saw. The same seed gives the same bytes.

usage: random_jobs.py FOLDER COUNT SEED CATALOGS
       FOLDER/projects gets COUNT projects; links to the suppliers and reference tables of CATALOGS stand beside it,
       where the command looks for them
"""
import random
import sys
from pathlib import Path
from typing import NamedTuple

sys.path.insert(0, str(Path(__file__).parents[1]))
from project_folder import ProjectFolder


class Market(NamedTuple):
    """What can be bought in a currency, and how things are measured there."""

    length_unit: str
    materials: dict[str, dict]
    owned: dict  # what is left of an earlier job, without its size
    length: callable  # of a part, as a quantity, from mm
    kerfs: list[str]
    clean_ups: list[str]
    wood: dict[str, dict]
    sections: list[tuple]  # wood, thickness, width as planed, or the widest width cut from rough boards


def sheet(species, grade, thickness):
    stated = {"class": "sheet", "species": species, "thickness": thickness}
    return stated | ({"grade": grade} if grade else {})


def in_mm(size):
    """To half a millimetre, as rulers are read; every dealer's scale has only whole ones."""
    return f"{round(size * 2) / 2:g} mm"


def in_inches(size):
    """To a sixteenth of an inch; every dealer's scale has only eighths."""
    whole, sixteenths = divmod(round(size / 25.4 * 16), 16)
    return f"{whole} {sixteenths}/16 in" if sixteenths else f"{whole} in"


MARKETS = {
    "EUR": Market("mm", {"birch_18": sheet("birch", "BB/BB", "18 mm"), "birch_12": sheet("birch", "BB/BB", "12 mm"),
                         "birch_6": sheet("birch", "BB/BB", "6 mm"), "birch_fine": sheet("birch", "S/BB", "18 mm"),
                         "poplar_18": sheet("poplar", "BB/BB", "18 mm"), "poplar_12": sheet("poplar", "BB/BB", "12 mm"),
                         "mdf": sheet("MDF", "", "18 mm")},
                  sheet("birch", "BB/BB", "18 mm") | {"grain": "length"}, in_mm,
                  ["2.2 mm", "2.4 mm", "3 mm", "3.2 mm", "5 mm"], ["0 mm", "3 mm", "5 mm", "8 mm", "10 mm"],
                  {"spruce": {"class": "solid", "species": "spruce"},
                   "ash": {"class": "solid", "species": "ash", "grade": "A"}},
                  [("spruce", "28 mm", "70 mm"), ("spruce", "44 mm", "70 mm"), ("ash", "20 mm", "60 mm"),
                   ("ash", "22 mm", 90)]),
    "USD": Market("in", {"maple_34": sheet("maple", "A-A", "3/4 in"), "maple_12": sheet("maple", "A-1", "1/2 in"),
                         "maple_14": sheet("maple", "A-1", "1/4 in"), "birch_34": sheet("birch", "B-B", "3/4 in")},
                  sheet("maple", "A-A", "3/4 in") | {"grain": "length"}, in_inches,
                  ["3/32 in", "1/8 in"], ["0 in", "1/8 in", "1/4 in", "3/8 in"],
                  {"pine": {"class": "solid", "species": "white pine"},
                   "oak": {"class": "solid", "species": "white oak", "grade": "FAS"}},
                  [("pine", "3/4 in", "3 1/2 in"), ("pine", "1 1/2 in", "3 1/2 in"), ("oak", "13/16 in", 100)]),
}

# mm. Every part lies on the smallest sheet whichever way its grain runs, and in the smallest vehicle.
LENGTHS = (60, 1150)
WIDTHS = (60, 700)
VEHICLE_LENGTHS = (1200, 2600)
VEHICLE_WIDTHS = (750, 1300)
MOST_PARTS = 40
FEWEST_PARTS = 5
STICKS = (150, 1900)  # as long as the shortest board yields


def match_group(chance, market):
    """A bank of fronts that lie side by side; the whole bank is no larger than a part may be."""
    count = chance.randint(2, 4)
    run = chance.choice(("length", "width"))
    size = {"length": chance.uniform(150, 500), "width": chance.uniform(100, 300)}
    size[run] = min(size[run], {"length": LENGTHS[1], "width": WIDTHS[1]}[run] / count - 10)  # 10: more than any kerf
    return {"count": count, "grain": "length", "match_run": run} | {
        axis: market.length(length) for axis, length in size.items()}


def panel(chance, market, most):
    """Up to `most` equal parts; now and then so many that whole sheets are cut alike."""
    count = chance.randint(1, min(most, chance.choice((6, 6, 6, MOST_PARTS))))
    return {"count": count, "length": market.length(chance.uniform(*LENGTHS)),
            "width": market.length(chance.uniform(*WIDTHS)), "grain": chance.choice(("length", "width", "any"))}


def order(chance, market, material):
    """The lines of one material: 5 to 40 parts."""
    lines, wanted = {}, chance.randint(FEWEST_PARTS, MOST_PARTS)
    while wanted > 0:
        name = f"{material}_{len(lines) + 1}"
        matched = wanted >= 4 and chance.random() < 0.1
        line = match_group(chance, market) | {"match": name} if matched else panel(chance, market, wanted)
        lines[name] = {"kind": "panel", "piece": "job", "material": material} | line
        wanted -= line["count"]
    return lines


def sticks(chance, market):
    """Lines of wood: one or two lengths of each section, in rough wood of any width up to the widest."""
    lines = {}
    for wood, thickness, width in market.sections:
        for _ in range(chance.randint(1, 2)):
            lines[f"{wood}_{len(lines) + 1}"] = {
                "kind": "solid", "piece": "job", "material": wood, "count": chance.randint(1, 12),
                "length": market.length(chance.uniform(*STICKS)), "thickness": thickness,
                "width": width if isinstance(width, str) else market.length(chance.uniform(20, width))}
            if not isinstance(width, str):
                lines[f"{wood}_{len(lines)}"]["from"] = "rough"
    return lines


def project(chance, number):
    currency = chance.choices(("EUR", "USD"), (3, 1))[0]
    market = MARKETS[currency]
    lines = {}
    for material in market.materials:
        lines |= order(chance, market, material)
    lines |= sticks(random.Random(number), market)  # chance of its own: the sheets stay as they were
    made = {
        "aumbry": 1, "title": f"Random job {number}", "currency": currency, "length_unit": market.length_unit,
        "priced_on": "2027-02-10", "start": "2027-03-01", "pieces": {"job": {"title": "Job"}},
        "workshop": {"kerf": chance.choice(market.kerfs), "clean_up": chance.choice(market.clean_ups)},
        "materials": market.materials | market.wood, "lines": lines,
    }
    if chance.random() < 0.5:
        made["vehicle"] = {"length": market.length(chance.uniform(*VEHICLE_LENGTHS)),
                           "width": market.length(chance.uniform(*VEHICLE_WIDTHS))}
    if chance.random() < 0.25:
        made["settings"] = {"sheet_goods": {"dealer_edge": 0}}
    if chance.random() < 0.25:
        made["owned"] = {"offcut": market.owned | {"length": market.length(chance.uniform(300, 1200)),
                                                   "width": market.length(chance.uniform(200, 700)),
                                                   "clean_up": chance.choice(market.clean_ups)}}
    return made


def main():
    folder = ProjectFolder("Writes random small projects.")
    chance, orders = random.Random(folder.seed), 0
    for number in range(1, folder.count + 1):
        made = project(chance, number)
        orders += len({line["material"] for line in made["lines"].values() if line["kind"] == "panel"})
        folder.write(number, made)
    print(f"{folder.count} projects with {orders} orders of sheets in {folder.projects}")


if __name__ == "__main__":
    main()

"""Plays the market against the estimate: what it says of how cheap a purchase could be must stay true when less can be had.

A way of cutting and buying that needs neither a supplier, nor a price row, nor an offcut was there before as well. So the
purchase without them never costs less than the estimate said that any purchase costs, and never less at all where it said
that it is the cheapest. The rule needs no second planner: it is a metamorphic relation (Chen, Cheung and Yiu 1998, from
memory).

usage: cheapest_check.py AUMBRY PLUGINS CATALOGS COUNT [EFFORT]
       COUNT random projects beside the demonstrations; EFFORT draft when not said
"""
import csv
import io
import json
import os
import shutil
import subprocess
import sys
import tempfile
from decimal import Decimal
from pathlib import Path

aumbry, plugins, catalogs, count = sys.argv[1], sys.argv[2], Path(sys.argv[3]), sys.argv[4]
effort = sys.argv[5] if len(sys.argv) > 5 else "draft"
environment = os.environ | {"AUMBRY_PLUGINS": plugins, "AUMBRY_TODAY": "2027-02-01"}
jobs = Path(__file__).parents[1] / "saw" / "random_jobs.py"


def price(project):
    """The estimate, or nothing when the project has faults."""
    run = subprocess.run([aumbry, "price", project, "--effort", effort, "--json"], env=environment, capture_output=True,
                         text=True)
    return json.loads(run.stdout) if run.stdout.startswith("{") else None


def is_whole(estimate):
    """Whether all is bought that the project asks for."""
    return estimate is not None and not any(f["code"] in ("demand-unmet", "not-enough-sheets", "sheet-not-offered",
                                                          "no-offer", "part-larger-than-sheet", "grain-fits-no-sheet")
                                            for f in estimate["findings"])


class Market:
    """A project in a folder of its own, with catalogs that can be cut down."""

    def __init__(self, folder, project):
        self.folder = Path(folder)
        shutil.copytree(catalogs / "suppliers", self.folder / "suppliers")
        (self.folder / "reference").symlink_to((catalogs / "reference").resolve())
        (self.folder / "projects").mkdir()
        self.project = self.folder / "projects" / project.name
        self.text = project.read_text()

    def priced(self, change=lambda made: None):
        made = json.loads(self.text)
        change(made)
        self.project.write_text(json.dumps(made))
        return price(self.project)

    def without_row(self, supplier, sku):
        """The same with every row of a sku struck from its price lists."""
        changed = {}
        for file in (self.folder / "suppliers" / supplier).glob("*.csv"):
            text = file.read_bytes().decode()
            rows = list(csv.reader(io.StringIO(text)))
            if not rows or "sku" not in rows[0]:
                continue
            at = rows[0].index("sku")
            kept = [row for row in rows if len(row) <= at or row[at] != sku]
            if len(kept) == len(rows):
                continue
            changed[file] = text
            out = io.StringIO()
            csv.writer(out, lineterminator="\n").writerows(kept)
            file.write_text(out.getvalue())
        estimate = self.priced() if changed else None
        for file, text in changed.items():
            file.write_text(text)
        return estimate


def cut_down(market, estimate):
    """Every market that lacks something of what was bought: its name and its estimate."""
    orders = [order["supplier"] for order in estimate["orders"] if not order["supplier"].startswith("stated/")]
    for supplier in orders:
        def exclude(made, supplier=supplier):
            made.setdefault("suppliers", {}).setdefault("exclude", []).append(supplier)
        yield f"without {supplier}", market.priced(exclude)
    made = json.loads(market.text)
    owned = made.get("owned", {})
    for name in list(owned)[:4]:
        yield f"without own {name}", market.priced(lambda made, name=name: made["owned"].pop(name))
    planned = {(plan["supplier"], plan["sku"]) for plan in estimate["cutting_plans"] + estimate["board_plans"]
               if plan.get("supplier") and plan.get("sku")}
    for supplier, sku in sorted(planned):
        yield f"without {sku} of {supplier}", market.without_row(supplier, sku)


compared = wrong = proven = dearer = 0
gaps = []
with tempfile.TemporaryDirectory() as folder:
    subprocess.run([sys.executable, jobs, folder, count, "7", catalogs], check=True)
    projects = sorted((catalogs / "projects").glob("*.aumbry.json")) + sorted(Path(folder, "projects").glob("*.json"))
    for number, project in enumerate(projects):
        market = Market(Path(folder, f"market-{number}"), project)
        base = market.priced()
        if not is_whole(base) or "purchase_not_bounded" in base:
            continue
        cost, bound = Decimal(base["purchase_cost"]), Decimal(base["purchase_bound"])
        gaps.append(float((cost - bound) / cost * 100) if cost else 0)
        proven += base["purchase_proven"]
        if bound > cost:
            wrong += 1
            print(f"{project.name}: its purchase costs {cost}, and nothing is said to cost less than {bound}")
        for name, other in cut_down(market, base):
            if not is_whole(other):
                continue
            compared += 1
            dearer += Decimal(other["purchase_cost"]) >= cost
            if Decimal(other["purchase_cost"]) < bound:
                wrong += 1
                print(f"{project.name} {name} costs {other['purchase_cost']}: less than {bound}, which nothing was to cost")
gaps.sort()
print(f"{len(gaps)} purchases, {proven} proven, half of them within {gaps[len(gaps) // 2]:.1f} %, all within {gaps[-1]:.1f} %; "
      f"{compared} with less on offer, {compared - dearer} of them cheaper within what was said, {wrong} wrong")
sys.exit(1 if wrong or compared < 2 * len(gaps) else 0)

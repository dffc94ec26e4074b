"""Reads the plan of work of both demonstrations with all alternatives, of every piece of the library, of the small
projects beside this file and of random jobs, and holds it to the rules of order_rules.py. Of the demonstrations also the
printed plan and the job pack.

usage: order_check.py AUMBRY PLUGINS CATALOGS COUNT
       COUNT random jobs
"""
import json
import os
import re
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from order_rules import Plan, read_project

here = Path(__file__).parent
aumbry, plugins, catalogs, count = sys.argv[1], sys.argv[2], Path(sys.argv[3]).resolve(), sys.argv[4]
environment = os.environ | {"AUMBRY_PLUGINS": plugins}


def run(*words):
    done = subprocess.run([aumbry, *map(str, words)], env=environment, capture_output=True, timeout=120)
    if done.returncode:
        raise RuntimeError(f"{' '.join(map(str, words))}: {done.stderr.decode()}")
    return done.stdout.decode()


def priced(project, alternative=None, effort="draft"):
    words = ["--alternative", alternative] if alternative else []
    return json.loads(run("price", project, "--json", "--catalogs", catalogs, "--effort", effort, *words))


def faults_of(project, alternative=None):
    plan = Plan(read_project(project, alternative), priced(project, alternative))
    return plan, plan.check()


def printed_plan_is_in_order(project):
    """`aumbry plan` prints its steps in the order in which they begin."""
    text = run("plan", project, "--effort", "draft")
    text = text[text.index("WORK, in order of start"):text.index("WHAT DECIDES")]
    begins = re.findall(r"\d (\d\d-\d\d \d\d:\d\d) \d\d-\d\d ", text)
    return len(begins), [] if begins == sorted(begins) else ["the printed plan is not in the order of its dates"]


def job_pack_is_in_order(project, folder):
    pdf = folder / "pack.pdf"
    run("jobpack", project, "--pdf", pdf, "--effort", "draft")
    text = subprocess.run(["pdftotext", "-layout", pdf, "-"], capture_output=True, check=True).stdout.decode()
    text = text[text.index("Steps in order"):text.index("Before you cut")]
    steps, coatings = text.split("Follow the tin")
    begins = re.findall(r"(\d{4}-\d\d-\d\d \d\d:\d\d) +\d{4}-\d\d-\d\d", steps)
    coats = re.findall(r"(\d{4}-\d\d-\d\d) +\d{4}-\d\d-\d\d", coatings)
    faults = [f"the {name} of the job pack are not in the order of their dates"
              for name, dates in (("steps", begins), ("coats", coats)) if dates != sorted(dates)]
    # Coats of flat parts were missing, and hire that had to be there by then counted as a coat.
    laid = sum(task.get("operation") == "coat" for task in priced(project)["schedule"]["tasks"])
    if len(coats) != laid:
        faults.append(f"the job pack has {len(coats)} coats of {laid}")
    return len(begins), faults


def papers_of(project, folder):
    said, steps = [], {}
    for name, check in (("plan", printed_plan_is_in_order), ("job pack", lambda p: job_pack_is_in_order(p, folder))):
        steps[name], faults = check(project)
        said += faults
    if not steps["plan"] or steps["plan"] != steps["job pack"]:
        said.append(f"the printed plan has {steps['plan']} steps and the job pack {steps['job pack']}")
    return said


def piece_of_the_library(piece, folder):
    """A job of one piece at its own sizes, in the unit that its turn brings."""
    number, name = piece
    inches = number % 2
    file = folder / f"piece-{name}.aumbry.json"
    file.write_text(json.dumps({
        "aumbry": 1, "title": name, "currency": "USD" if inches else "EUR", "length_unit": "in" if inches else "mm",
        "priced_on": "2027-02-10", "start": "2027-03-01", "people": {"helper": {"rate": "30.00"}},
        "suppliers": {"exclude": sorted(s["id"] for s in SUPPLIERS if s["currency"] != ("USD" if inches else "EUR"))},
        "pricing": {"rate": "46.00"}, "workshop": {"wall": "timber studs" if inches else "solid masonry", "rack": "6 m2"}}, indent=1))
    run("add", file, name, "--catalogs", catalogs)
    return file


SUPPLIERS = [{"id": file.parent.name, **json.loads(file.read_text())} for file in (catalogs / "suppliers").glob("*/supplier.json")]
PIECES = sorted(file.name.removesuffix(".piece.json") for file in (catalogs / "pieces").glob("*.piece.json"))


# What the small projects are there for.

def hung_after_it_is_fixed(plan):
    """A line that hangs the panel stands in the file before that of its fixing."""
    begins = {step.id: step for step in plan.steps}
    fix, hang = begins["hardware_kits/fix_anchors"], begins["hardware_kits/hang_panel_lift"]
    if fix.done > hang.begin:
        yield f"{hang} stands before {fix}"
    # Springs are all that is bought from their supplier: his only order was called his second.
    late = [order for order in plan.estimate["orders"] if "second_of" in order]
    if len(late) != 1 or "second order" in late[0]["name"]:
        yield f"the springs' order is {late}"


def coated_a_batch_after_the_other(plan):
    """The rack takes half: the second batch was coated before the first."""
    coats = [step.begin for step in plan.steps if step.operation == "coat"]
    if len(coats) != 8 or coats != sorted(coats):
        yield f"the coats begin at {coats}"


def quoted_tax(plan):
    """100.00 and 21 % that cannot be claimed back cost 121.00; 21 % charged on that are 25.41."""
    totals = plan.estimate["totals"]
    if totals["total"] != "146.41":
        yield f"the total is {totals['total']}, and it should be 146.41"


def tips_over(plan):
    """A case of 2150 mm that nothing holds was not warned of."""
    if not any(f["code"] == "tips-over" and f["severity"] == "warning" for f in plan.estimate["findings"]):
        yield "nothing is said of tipping"


def nobody_builds_it(plan):
    """That no step puts its parts together was not said: half the hours of a job were missing."""
    if "putting together 'Shelf unit'" not in plan.estimate["not_counted"]:
        yield f"not counted is {plan.estimate['not_counted']}"


EXPECTED = {"four-coats": coated_a_batch_after_the_other, "hang-order": hung_after_it_is_fixed, "quoted-tax": quoted_tax,
            "nobody-builds": nobody_builds_it, "tall-case": tips_over}


def told(name, faults):
    for fault in faults:
        print(f"{name}: {fault}")
    return not faults


def main():
    fine, plans = True, 0
    with ThreadPoolExecutor(2) as pool, tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        subprocess.run([sys.executable, here / "random_plans.py", folder, count, "1", catalogs], check=True)
        demos = sorted((catalogs / "projects").glob("*.aumbry.json"))
        asked = [(demo, alternative) for demo in demos for alternative in (None, *json.loads(demo.read_text())["alternatives"])]
        asked += [(file, None) for file in sorted((here / "projects").glob("*.aumbry.json"))]
        asked += [(file, None) for file in sorted((folder / "projects").glob("*.aumbry.json"))]
        asked += [(file, None) for file in pool.map(lambda piece: piece_of_the_library(piece, folder), enumerate(PIECES))]
        for (file, alternative), (plan, faults) in zip(asked, pool.map(lambda each: faults_of(*each), asked)):
            name = file.name.removesuffix(".aumbry.json")
            fine = told(f"{name} {alternative or ''}".strip(), [*faults, *EXPECTED.get(name, lambda plan: ())(plan)]) and fine
            plans += 1
        for demo in demos:
            fine = told(demo.name.removesuffix(".aumbry.json"), papers_of(demo, folder)) and fine
    print(f"{plans} plans read")
    return fine


if __name__ == "__main__":
    sys.exit(0 if main() else 1)

"""Writes random jobs out of the demonstrations: their lines and tasks in another order, some of them left out, other
hands, racks, days of the client and hours of the workshop. The order of work must not hang on the order of a file.

The same seed gives the same bytes.

usage: random_plans.py FOLDER COUNT SEED CATALOGS
       FOLDER/projects gets COUNT projects; links to the suppliers and reference tables of CATALOGS stand beside it,
       where the command looks for them
"""
import json
import random
import re
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))
from project_folder import ProjectFolder

NAMES = re.compile(r"[a-z_][a-z0-9_]*")


def shuffled(chance, section):
    names = list(section)
    chance.shuffle(names)
    return {name: section[name] for name in names}


def named_elsewhere(project, name):
    """Whether anything else says the name: a formula, a list of parts, a task."""
    for part in ("parameters", "lines", "tasks", "alternatives"):
        for key, value in project.get(part, {}).items():
            if (part, key) != ("lines", name) and name in NAMES.findall(json.dumps(value)):
                return True
    return False


def without_some_lines(chance, project):
    for name in chance.sample(list(project["lines"]), len(project["lines"]) // 3):
        if not named_elsewhere(project, name):
            del project["lines"][name]


def without_some_tasks(chance, project):
    for name in chance.sample(list(project["tasks"]), len(project["tasks"]) // 4):
        del project["tasks"][name]
    for task in project["tasks"].values():
        for key in ("before", "after"):
            if key in task:  # steps that nothing is left of are left out as well
                task[key] = [each for each in task[key] if "/" not in each and each in project["tasks"]]


def project(chance, demo):
    made = json.loads(demo)
    made.pop("alternatives")  # they name lines that may be gone
    without_some_lines(chance, made)
    without_some_tasks(chance, made)
    for section in ("lines", "tasks", "pieces"):
        made[section] = shuffled(chance, made[section])
    shop = made["workshop"]
    shop["rack"] = chance.choice(("1.5 m2", "4 m2", "6 m2", "20 m2"))
    shop["hours_a_day"] = chance.choice((5, 7.5, 8))
    shop["temperature"] = chance.choice((12, 18, 24))
    for line in made["lines"].values():
        if line["kind"] == "coating" and chance.random() < 0.5:
            line["coated"] = chance.choice(("flat", "assembled"))
    if chance.random() < 0.5:
        made["site"] = {"weekdays": chance.sample(("monday", "tuesday", "wednesday", "thursday", "friday"), 3)}
    else:
        made.pop("site", None)
    for name, person in made["people"].items():
        if name != "maker":
            person.pop("dates", None)
            person["hours_a_day"] = chance.choice((4, 8))
    if chance.random() < 0.3:
        made.pop("orders_from", None)
    return made


def main():
    folder = ProjectFolder("Writes random jobs out of the demonstrations.")
    chance = random.Random(folder.seed)
    demos = [file.read_text() for file in sorted((folder.catalogs / "projects").glob("*.aumbry.json"))]
    for number in range(1, folder.count + 1):
        folder.write(number, project(chance, demos[number % len(demos)]))


if __name__ == "__main__":
    main()

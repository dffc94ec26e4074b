"""Adds every piece of the library to projects in both systems of units, at three sizes each, and prices and cuts them.

usage: piece_check.py AUMBRY PLUGINS CATALOGS SCHEMAS

All pieces of one size stand in one project: a maker's week of orders. No fault, no problem, every check holds, nothing stays
unpriced, and the saw simulator, which shares no code with the planner, finds no part wrong.
"""
import json
import os
import subprocess
import sys
import tempfile
import unittest
from pathlib import Path

import jsonschema

AUMBRY, PLUGINS, CATALOGS, SCHEMAS = (Path(p).resolve() for p in sys.argv[1:5])
PIECES = {file.name.removesuffix(".piece.json"): file for file in sorted((CATALOGS / "pieces").glob("*.piece.json"))}
HOME = tempfile.mkdtemp()
ENVIRONMENT = {**os.environ, "AUMBRY_PLUGINS": str(PLUGINS), "HOME": HOME, "XDG_CONFIG_HOME": HOME, "XDG_DATA_HOME": HOME}

EUROS = [supplier.parent.name for supplier in (CATALOGS / "suppliers").glob("*/supplier.json")
         if json.loads(supplier.read_text())["currency"] == "EUR"]
DOLLARS = [supplier.parent.name for supplier in (CATALOGS / "suppliers").glob("*/supplier.json")
           if json.loads(supplier.read_text())["currency"] == "USD"]
PROJECTS = {
    "mm": {"aumbry": 1, "title": "Pieces", "currency": "EUR", "length_unit": "mm", "priced_on": "2027-02-10", "start": "2027-03-01",
           "suppliers": {"exclude": sorted(DOLLARS)}, "pricing": {"rate": "46.00", "tax_charged": 21},
           "people": {name: {"rate": "30.00"} for name in ("second", "third")},
           "workshop": {"kerf": "2.4 mm", "clean_up": "8 mm", "wall": "solid masonry"}, "x-note": [1.50e1, "stays"]},
    "in": {"aumbry": 1, "title": "Pieces", "currency": "USD", "length_unit": "in", "priced_on": "2027-02-10", "start": "2027-03-01",
           "suppliers": {"exclude": sorted(EUROS)}, "pricing": {"rate": "58.00", "tax_recoverable": False},
           "people": {name: {"rate": "35.00"} for name in ("second", "third")},
           "workshop": {"kerf": "1/8 in", "clean_up": "1/4 in", "wall": "timber studs"}, "x-note": [1.50e1, "stays"]},
}

# Small and large of each piece, in mm and in inches; its own sizes are the third. What must go together goes together.
SIZES = {
    "alcove-shelves": ({"width": (700, 27), "width_back": (692, 26.75), "depth": (200, 8), "shelves": 2},
                       {"width": (1420, 56), "width_back": (1440, 57), "depth": (380, 15), "shelves": 7}),
    "base-cabinet": ({"width": (400, 16), "doors": 1, "depth": (360, 14)}, {"width": (900, 36), "height": (900, 35.5)}),
    "bookcase-with-base": ({"width": (600, 24), "height": (1800, 71), "shelves": 3},
                           {"width": (920, 36), "height": (2380, 93), "base_height": (800, 31.5), "shelves": 5}),
    "chest-of-drawers": ({"width": (500, 20), "height": (620, 25), "drawers": 3}, {"width": (950, 37), "height": (1200, 47), "drawers": 6}),
    "desk-top": ({"length": (900, 36), "depth": (500, 20)}, {"length": (1600, 63), "depth": (780, 30), "grommets": 2}),
    "drawer-box": ({"opening": (300, 12), "front_width": (332, 13), "runner": ("350 mm", "14 in")},
                   {"opening": (860, 34), "front_width": (892, 35), "runner": ("500 mm", "20 in"), "drawers": 4}),
    "face-frame-cabinet": ({"width": (600, 24), "height": (700, 28), "shelves": 1}, {"width": (1000, 39), "height": (1900, 75), "shelves": 5}),
    "filler-strip": ({"height": (720, 28), "gap_below": (30, 1.25), "gap_above": (30, 1.25), "strips": 2},
                     {"height": (2400, 94), "gap_below": (90, 3.5), "gap_above": (110, 4.25)}),
    "floating-shelf": ({"length": (400, 16), "shelves": 3}, {"length": (1800, 71), "depth": (250, 10)}),
    "fold-up-bed": ({"mattress_thickness": (200, 10), "mattress_mass": ("24 kg", "62 lb"), "ceiling": (2250, 90)}, {"wall": (2400, 95), "ceiling": (2700, 106)}),
    "lift-up-bed": ({"box_height": (380, 15)}, {"mattress_width": (1600, 60), "mattress_length": (2000, 80), "mattress_mass": ("21 kg", "51 lb")}),
    "loft-bed": ({"lying_height": (1200, 47)},
                 {"mattress_width": (1200, 38), "mattress_length": (2000, 80), "lying_height": (1700, 67), "ceiling": (2750, 108)}),
    "open-bookcase": ({"width": (500, 20), "height": (900, 36), "shelves": 2}, {"width": (940, 37), "height": (2400, 94), "depth": (400, 16), "shelves": 6}),
    "plinth": ({"length": (600, 24), "depth": (300, 12)}, {"length": (2400, 94), "height": (150, 6)}),
    "radiator-cover": ({"width": (600, 24), "height": (600, 24)}, {"width": (1900, 75), "depth": (280, 11), "radiator_depth": (180, 7)}),
    "wardrobe": ({"width": (700, 27), "height": (1800, 71)}, {"width": (1150, 45), "height": (2380, 93), "depth": (650, 26)}),
    "window-bench": ({"length": (900, 36)}, {"length": (2200, 86), "bays": 4, "height": (460, 18)}),
}


def written(value, unit):
    if isinstance(value, tuple):
        value = value[unit == "in"]
        return value if isinstance(value, str) else f"{value} {unit}"
    return str(value)


def run(*arguments, status=0):
    done = subprocess.run([AUMBRY, *map(str, arguments)], capture_output=True, text=True, env=ENVIRONMENT, timeout=120)
    assert done.returncode == status, f"{arguments}: exit {done.returncode}\n{done.stdout}{done.stderr}"
    return done.stdout if status == 0 else done.stderr


class Library(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.TemporaryDirectory()
        cls.projects = {}
        for name in ("suppliers", "reference", "pieces"):
            Path(cls.folder.name, name).symlink_to(CATALOGS / name)
        Path(cls.folder.name, "jobs").mkdir()
        for unit, project in PROJECTS.items():
            for number in range(3):
                file = Path(cls.folder.name, "jobs", f"{unit}-{number}.aumbry.json")
                file.write_text(json.dumps(project, indent=2))
                for name in PIECES:
                    sizes = {} if number == 0 else SIZES[name][number - 1]
                    said = run("add", file, name, *(word for size, value in sizes.items() for word in ("--set", f"{size}={written(value, unit)}")))
                    assert "PROBLEM" not in said, said
                cls.projects[unit, number] = file

    @classmethod
    def tearDownClass(cls):
        cls.folder.cleanup()

    def test_there_are_sixteen_pieces_at_least_with_three_sizes_each(self):
        self.assertGreaterEqual(len(PIECES), 16)
        self.assertEqual(PIECES.keys(), SIZES.keys())
        for name, (small, large) in SIZES.items():
            self.assertNotEqual(small, large, name)

    def test_every_piece_is_priced_without_a_problem(self):
        for (unit, number), file in self.projects.items():
            estimate = json.loads(run("price", file, "--effort", "draft", "--json"))
            with self.subTest(unit=unit, number=number):
                self.assertEqual([f["text"] for f in estimate["findings"] if f["severity"] == "problem"], [])
                self.assertEqual([line["id"] for line in estimate["lines"] if line.get("not_priced")], [])
                self.assertEqual([text for text in estimate["not_included"] if not text.startswith("tax:")], [])
                self.assertEqual([f["text"] for f in estimate["findings"] if f["code"] == "shelf-sags"], [])
                costly = {part["id"] for part in estimate["by_piece"] if float(part["totals"]["goods"]) > 0 and float(part["totals"]["labour"]) > 0}
                self.assertEqual(costly & {name.replace("-", "_") for name in PIECES}, {name.replace("-", "_") for name in PIECES})
                # Springs are chosen by the mass of the mattress that is bought.
                self.assertEqual([f["text"] for f in estimate["findings"] if f["code"] == "mattress-mass-differs" and self.is_bought(estimate, f)], [])
                checks = [ref for ref in estimate["workings"] if ref.startswith("check.")]
                self.assertGreaterEqual(len(checks), len(PIECES))

    @staticmethod
    def is_bought(estimate, finding):
        """Whether a finding is about an offer that is bought."""
        return any(p["offer"] in finding["text"] for p in estimate["purchases"])

    def test_every_cut_list_gives_parts_of_their_size(self):
        simulator = Path(__file__).parent / "saw" / "saw_simulator.py"
        done = subprocess.run([sys.executable, simulator, AUMBRY, *self.projects.values(), "--effort", "draft", "--quiet"],
                              env={**ENVIRONMENT, "PYTHONDONTWRITEBYTECODE": "1"}, capture_output=True, text=True)
        self.assertEqual(done.returncode, 0, done.stdout + done.stderr)

    def test_files_keep_to_the_published_schema(self):
        schema = json.loads((SCHEMAS / "piece.schema.json").read_text())
        jsonschema.Draft7Validator.check_schema(schema)
        project = json.loads((SCHEMAS / "project.schema.json").read_text())
        for name, file in PIECES.items():
            with self.subTest(name):
                jsonschema.validate(json.loads(file.read_text()), schema)
        for file in self.projects.values():
            jsonschema.validate(json.loads(file.read_text()), project)
        with self.assertRaises(jsonschema.ValidationError):
            jsonschema.validate({"aumbry_piece": 1, "title": "t", "help": "h", "lines": {}, "sizes": {}}, schema)

    def test_the_check_of_catalogs_reads_them(self):
        done = subprocess.run([AUMBRY, "catalog", "check", CATALOGS], capture_output=True, text=True, env=ENVIRONMENT)
        self.assertIn(f", {len(PIECES)} pieces, 0 faults", done.stdout)


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1])

"""Looks at both demonstrations as a maker would before the saw is switched on: do widths add up, is anything wider than
where it goes, are pairs a pair, does what carries say what it carries, does the piece keep to its kit's sheet, can a
ruler set every size, is the work planned in the order of the trade and counted once?

usage: demo_check.py AUMBRY PLUGINS CATALOGS
"""
import csv
import json
import math
import os
import re
import subprocess
import sys
import unittest
from datetime import date, timedelta
from pathlib import Path

AUMBRY, PLUGINS, CATALOGS = (Path(p).resolve() for p in sys.argv[1:4])
INCH = 25.4
NOISE = 1e-6


class Demo(unittest.TestCase):
    name = ""
    step = 1.0  # mm: what a ruler there can set

    @classmethod
    def setUpClass(cls):
        if not cls.name:
            raise unittest.SkipTest("what both have in common")
        file = CATALOGS / "projects" / f"{cls.name}.aumbry.json"
        cls.project = json.loads(file.read_text())
        cls.estimates = {alternative: cls.priced(file, alternative)
                         for alternative in (None, *cls.project["alternatives"])}
        cls.estimate = cls.estimates[None]
        cls.lines = {line["id"]: line for line in cls.estimate["lines"]}
        cls.parts = {k: line for k, line in cls.lines.items() if line["kind"] in ("panel", "solid")}

    @staticmethod
    def priced(file, alternative):
        words = [str(AUMBRY), "price", str(file), "--json", "--effort", "draft"]
        done = subprocess.run(words + (["--alternative", alternative] if alternative else []), capture_output=True,
                              env=os.environ | {"AUMBRY_PLUGINS": str(PLUGINS)}, timeout=120)
        assert done.returncode == 0, done.stderr.decode()
        return json.loads(done.stdout)

    def size(self, part, axis="length"):
        return self.lines[part]["derived"][axis]

    def assertFits(self, wide, room, what):
        self.assertLessEqual(wide, room + NOISE, f"{what}: {wide:g} mm in {room:g} mm")

    def assertSame(self, one, other, what):
        self.assertAlmostEqual(one, other, delta=0.51 * self.step, msg=what)

    # Of every demonstration.

    def test_no_alternative_has_a_problem(self):
        for alternative, estimate in self.estimates.items():
            with self.subTest(alternative):
                self.assertEqual([f["text"] for f in estimate["findings"] if f["severity"] == "problem"], [])

    def test_every_size_can_be_set_with_a_ruler(self):
        for name, line in self.parts.items():
            for key in ("length", "width"):
                steps = line["derived"][key] / self.step
                self.assertAlmostEqual(steps, round(steps), delta=0.001, msg=f"{name}.{key}: {line['derived'][key]} mm")
            if "width_right" in line["fields"]:
                self.assertAlmostEqual(line["fields"]["width_right"] % self.step, 0, delta=0.001, msg=name)

    def test_no_size_is_written_in_the_other_unit(self):
        other = r"\d\s*(in|ft)\b|\d\s*[\"']" if self.project["length_unit"] == "mm" else r"\d\s*(mm|cm|m)\b"
        for name, value in self.project["parameters"].items():
            self.assertIsNone(re.search(other, str(value)), f"{name}: {value}")

    def test_what_is_scribed_or_tapered_at_one_end_has_a_hand(self):
        for name, line in self.parts.items():
            edges = {k for k, e in line["fields"].get("edges", {}).items() if e.get("treatment") == "scribed"}
            if line["count"] > 1 and len(edges & {"left", "right"}) == 1:
                self.assertEqual(line["fields"].get("hand"), "pair", f"{name}: {line['count']} alike, scribed {edges}")

    def test_left_and_right_are_mirror_images(self):
        for name, line in self.parts.items():
            twin = self.parts.get(name.replace("_left", "_right"))
            if not name.endswith("_left") or twin is None:
                continue
            def ends(of):
                return of["fields"]["width"], of["fields"].get("width_right", of["fields"]["width"])
            self.assertEqual(ends(line), ends(twin)[::-1], f"{name} and its twin: width at the left and the right end")
            self.assertEqual(self.size(name), twin["derived"]["length"], name)

    def test_what_shows_says_how_its_grain_runs(self):
        for name, line in self.parts.items():
            if line["kind"] == "panel" and line["fields"].get("faces", 0):
                self.assertNotEqual(line["fields"].get("grain"), "any", f"{name} shows, each as it happened to be cut")

    def test_what_carries_says_what_it_carries(self):
        """A store, 20 kg/m2 at least; a shelf, 20 kg a metre, for books (common practice)."""
        for name in self.carries:
            self.assertIn("load", self.lines[name]["fields"], name)
            self.assertGreater(self.lines[name]["derived"]["sag"], 0, name)
        sagging = [f["text"] for f in self.estimate["findings"] if re.search(r"\bsags?\b", f["text"])]
        self.assertEqual(sagging, [], "within the module's limit")

    def test_what_stands_high_is_fixed(self):
        """Higher than 600 mm, as EN 14749 looks at what a child can pull over (from memory)."""
        fixed = {line["piece"] for line in self.lines.values() if line["kind"] == "fixing"}
        for name in self.upright:
            if self.size(name) > 600:
                self.assertIn(self.lines[name]["piece"], fixed, f"{name} is {self.size(name):g} mm high")

    def test_work_is_counted_once(self):
        counted = {}  # by piece: kinds of work that the modules count
        for task in self.estimate["schedule"]["tasks"]:
            for piece in task.get("pieces", []):
                if "/" in task["id"] and task["minutes"] > 0:
                    counted.setdefault(piece, set()).add(task.get("operation", ""))
        words = {"scribe": r"\bscrib", "glue": r"\bglu", "screw": r"\bscrew", "coat": r"\b(varnish|oil|paint) ",
                 "edge": r"\b(band|edging)"}
        for name, task in self.project["tasks"].items():
            for operation in counted.get(task.get("piece"), ()):
                if operation in words:
                    self.assertIsNone(re.search(words[operation], task["title"].lower()),
                                      f"{name}, '{task['title']}': {operation} is counted by the program")

    def test_tasks_say_what_they_do(self):
        phases = {task["phase"] for task in self.project["tasks"].values()}
        self.assertLessEqual({"prepare", "machine", "sand", "assemble", "carry_in", "install", "complete"}, phases)

    def test_hire_and_permits_say_what_they_are_for(self):
        for name, line in self.project["lines"].items():
            if line["kind"] == "service":
                self.assertIn("phase", line, name)

    def test_the_first_week_is_worked(self):
        self.assertLess(self.project["orders_from"], self.project["start"])
        start = date.fromisoformat(self.project["start"])
        hours = self.project["workshop"]["hours_a_day"]
        worked = sum(t["minutes"] / 60 for t in self.estimate["schedule"]["tasks"]
                     if date.fromisoformat(t["start"]) < start + timedelta(days=7))
        self.assertGreater(worked, 0.7 * 5 * hours)

    def test_the_quote_can_be_accepted_before_orders_go_out(self):
        self.assertGreaterEqual(self.estimate["schedule"]["accept_by"], self.project["orders_from"])


class HarbourLoft(Demo):
    name = "harbour-loft"
    carries = ("bed_floor", "shelf_left", "shelf_right", "bench_top")
    upright = ("shelf_side", "shelf_wall_side", "bed_side")

    @classmethod
    def setUpClass(cls):
        super().setUpClass()
        cls.thick = cls.lines["bed_side"]["derived"]["thickness"]
        row = cls.project["lines"]["lift_kit"]["model"]
        kits = json.loads((CATALOGS / "reference" / "kits.json").read_text())["rows"]
        cls.kit = next(kit for kit in kits if kit["model"] == row)
        cls.plan = cls.lines["lift_kit"]["derived"]

    def test_bed_shelves_and_fillers_fill_the_alcove_and_no_more(self):
        room = self.project["parameters"]["alcove_back"]
        alcove = float(room.removesuffix("mm"))
        wide = self.size("bed_foot") + 2 * self.thick
        for side in ("left", "right"):
            wide += self.size(f"shelf_{side}") + 2 * self.thick
            fields = self.lines[f"filler_{side}"]["fields"]
            wide += max(fields["width"], fields["width_right"])
        # The alcove is a little wider at the front of the units than at its back, and the scribe takes up the rest.
        self.assertFits(wide, alcove + 8, "bed, shelf units and fillers")
        self.assertGreater(wide, alcove - 8, "a gap at the walls")
        self.assertSame(2 * self.size("headboard"), alcove, "the headboard from wall to wall")

    def test_a_shelf_goes_between_its_sides(self):
        for shelf in ("shelf_left", "shelf_right"):
            self.assertSame(self.size(shelf) + 2 * self.thick, self.size("shelf_back", "width"), shelf)
            self.assertNotIn("scribed", str(self.lines[shelf]["fields"]["edges"]), "a side stands between it and the wall")
            self.assertFits(self.lines[shelf]["fields"]["load"].get("span", 0), self.size(shelf), "span of " + shelf)

    def test_the_lid_lies_in_its_frame(self):
        for lid, frame in (("lid_rail", "frame_length"), ("lid_stop", "frame_width")):
            gap = (self.plan[frame] - self.size(lid)) / 2
            self.assertGreaterEqual(gap, 3, f"{lid} in {frame}")
            self.assertLessEqual(gap, 10, f"{lid} in {frame}")
        self.assertSame(self.size("lid_cross") + 2 * self.size("lid_rail", "width"), self.size("lid_stop"), "lid, across")

    def test_the_bed_keeps_to_the_sheet_of_its_kit(self):
        self.assertSame(self.size("bed_foot"), self.plan["frame_width"], "frame, width inside")
        self.assertSame(self.size("bed_side") - 2 * self.thick, self.plan["frame_length"], "frame, length inside")
        self.assertSame(self.size("bed_side", "width"), self.plan["frame_height"], "frame, height")
        self.assertSame(self.size("lid_rail"), self.plan["panel_length"], "lid, length")
        self.assertSame(self.size("lid_stop"), self.plan["panel_width"], "lid, width")

    def test_springs_sit_in_the_holes_of_the_kit(self):
        """Where the project states none the kit's own hold, and the sheet itself must agree with its plan."""
        own = {m["name"]: m for m in self.kit["mountings"]}
        plan = {s["name"]: s["size"] for s in self.kit["plan"]["sizes"]}
        bracket = {"7 7/8 in": 200.025}[plan["hinge line to frame bracket"]]
        stated = self.lines["lid_lift"]["fields"].get("mountings")
        for mounting in stated or [{"name": m, "fixed_x": float(own[m]["fixed_x"].removesuffix("mm"))} for m in own]:
            self.assertIn(mounting["name"], own, "holes that the kit's sheet does not know")
            self.assertAlmostEqual(mounting["fixed_x"], bracket, delta=0.5, msg=mounting["name"])
        self.assertIn("springs-chosen", [f["code"] for f in self.estimate["findings"]])

    def test_the_stop_holds_the_mattress_when_the_lid_is_open(self):
        moving = {m["line"]: m for m in self.lines["lid_lift"]["fields"]["moving"]}
        mattress = moving["guest_mattress"]["from_hinge"] - self.size("guest_mattress") / 2
        self.assertFits(moving["lid_stop"]["from_hinge"], mattress, "the stop stands at the end that is low when it is open")

    def test_the_mattress_swings_back_over_the_ledge(self):
        """Its upper corner at the head, turned about the hinge: the headboard stands farther back, the head end lower."""
        lift, mattress = self.lines["lid_lift"]["fields"], self.lines["guest_mattress"]
        middle = next(m for m in lift["moving"] if m["line"] == "guest_mattress")
        angle = math.radians(lift["end_angle"])
        along = middle["from_hinge"] - self.size("guest_mattress") / 2
        lower, upper = (middle["across"] + side * mattress["derived"]["thickness"] / 2 for side in (-1, 1))
        back = upper * math.sin(angle) - along * math.cos(angle)
        room = self.plan["pivot_setback"] + self.thick + self.size("head_ledge", "width")
        self.assertFits(back, room, "behind the hinge")
        low = lower * math.cos(angle) + along * math.sin(angle)
        self.assertFits(self.size("bed_head", "width") - self.plan["pivot_height"], low, "head end under the mattress")

    def test_the_mattress_weighs_what_the_bought_one_does(self):
        bought = next(p for p in self.estimate["purchases"] if "mattress/guest_mattress" in p["demands"])
        supplier, _, sku = bought["offer"].partition("/")
        with open(next((CATALOGS / "suppliers" / supplier).glob("*.csv"))) as file:
            mass = next(row["mass"] for row in csv.DictReader(file) if row["sku"] == sku)
        self.assertEqual(self.project["lines"]["guest_mattress"]["mass"], mass)

    def test_the_store_carries_what_stores_hold(self):
        load = self.lines["bed_floor"]["fields"]["load"]
        area = load["span"] * self.size("bed_floor", "width") * 1e-6
        self.assertGreaterEqual(load["mass"], 20 * area, "20 kg/m2 (common practice)")
        if load["span"] < self.size("bed_floor") - NOISE:
            self.assertIn("floor_bearer", self.lines, "what carries the middle of the floor")
        self.assertFits(sum(self.size("bed_floor", "width") for _ in range(2)), self.plan["frame_length"], "floor halves")


class OrchardMudroom(Demo):
    name = "orchard-mudroom"
    step = INCH / 32
    carries = ("locker_shelf",)
    upright = ("locker_side",)

    @classmethod
    def setUpClass(cls):
        super().setUpClass()
        cls.wall = (7 * 12 + 3.5) * INCH
        cls.scribe = INCH * 3 / 8
        cls.bays = cls.project["parameters"]["bays"]
        cls.thick = cls.lines["locker_side"]["derived"]["thickness"]
        cls.room = cls.wall - 2 * cls.scribe

    def test_the_face_frame_is_as_wide_as_the_lockers(self):
        wide = (self.lines["frame_stile"]["count"] * self.size("frame_stile", "width")
                + self.bays * self.size("frame_rail"))
        self.assertFits(wide, self.wall, "face frame")
        self.assertSame(wide, self.size("locker_top"), "face frame and lockers")
        self.assertSame((self.bays + 1) * self.thick + self.bays * self.size("locker_shelf"), self.room, "sides and shelves")

    def test_nothing_is_wider_than_its_bay(self):
        bay = (self.room - (self.bays + 1) * self.thick) / self.bays
        for part in ("locker_shelf", "hook_rail", "cleat"):
            self.assertFits(self.size(part), bay, part)
        self.assertFits(self.size("bench_part"), 16.5 * INCH - self.thick, "partition behind the bench front")
        self.assertFits(self.size("bench_end") + self.thick, 16.5 * INCH, "bench end and front")

    def test_lids_have_air_beside_them_and_room_to_move(self):
        lids = 2
        gaps = (self.room - lids * self.size("seat_board")) / (lids + 1)
        self.assertGreaterEqual(gaps, 2, "between lids and at the walls")
        boards = self.lines["seat_board"]["count"] / lids
        # White oak, 4 % of moisture, flat sawn: 0.00365 a per cent (Wood Handbook FPL-GTR-282, table 13-5), 6 mm on 16 in.
        self.assertFits(boards * self.size("seat_board", "width"), 16.5 * INCH - 16 * INCH * 4 * 0.00365 + 0.1, "seat, across")
        self.assertFits(self.size("seat_nosing"), self.size("seat_board"), "a nosing on each lid")

    def test_hinges_are_bought_by_the_pair(self):
        bought = next(p for p in self.estimate["purchases"] if "sundries/hinges" in p["demands"])
        self.assertIn("pair", bought["description"])
        self.assertEqual(bought["count"], 2, "a pair for each of two lids")

    def test_stages_are_paid_when_what_they_name_is_done(self):
        stage = self.project["quote"]["stages"][1]
        self.assertEqual(stage["title"], "when the pieces stand in the room")
        carried = next(t for t in self.estimate["schedule"]["tasks"] if t["id"] == "carry_in")
        self.assertGreaterEqual(stage["on"], carried["finish"])

    def test_what_takes_two_has_two(self):
        short = [f["text"] for f in self.estimate["findings"] if f["code"] == "too-few-hands"]
        self.assertEqual(short, [])
        self.assertTrue(any(task["worker"].count(",") for task in self.estimate["schedule"]["tasks"]))


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1], verbosity=1)

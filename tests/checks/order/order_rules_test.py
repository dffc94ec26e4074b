"""The rules of order_rules.py find what they are there to find: a small plan that is right, then broken in one place."""
import copy
import unittest

from order_rules import Plan

PROJECT = {
    "workshop": {"rack": "2 m2", "hours_a_day": 8, "holidays": ["2027-03-03"]},
    "people": {"mate": {"dates": ["2027-03-08"], "hours_a_day": 4}},
    "site": {"weekdays": ["monday", "tuesday"]},
    "pieces": {"bed": {}},
    "lines": {
        "side": {"kind": "panel", "piece": "bed"},
        "top": {"kind": "panel", "piece": "bed"},
        "varnish": {"kind": "coating", "piece": "bed", "parts": ["bed.*"]},
        "screws": {"kind": "fastener", "piece": "bed"},
        "glue": {"kind": "fastener", "piece": "bed"},
        "knob": {"kind": "item", "piece": "bed"},
        "anchors": {"kind": "fixing", "piece": "bed", "held": ["side"]},
        "lift": {"kind": "lift", "piece": "bed", "moving": [{"line": "top"}]},
        "permit": {"kind": "service", "piece": "bed", "phase": "carry_in"},
    },
    "tasks": {"set_up": {"piece": "bed", "phase": "carry_in"},
              "look": {"phase": "cut", "before": ["sheet_goods/cut"]}},
}


def step(name, phase, day, begins, minutes, lines=(), wait=0, worker="maker", finish=None, **more):
    hour, minute = map(int, begins.split(":"))
    return {"id": name, "title": name, "phase": phase, "start": f"2027-03-{day:02}", "start_minute": hour * 60 + minute,
            "minutes": minutes, "wait_minutes": wait, "lines": list(lines), "pieces": ["bed"], "worker": worker,
            "people": 1 + worker.count(","), "finish": f"2027-03-{finish or day:02}", "rack": 0, "critical": False,
            "slack_hours": 1, "slack_days": 0, "after": [], "needs": [], **more}


ESTIMATE = {
    "findings": [],
    "purchases": [{"supplier": "", "demands": ["sheet_goods/sheets"], "arrives": "2027-03-01", "lines": [{"line": "side"}, {"line": "top"}]},
                  {"supplier": "", "demands": ["finish/abrasive_320"], "arrives": "2027-03-02", "lines": [{"line": "varnish"}]},
                  {"supplier": "", "demands": ["sundries/permit"], "arrives": "2027-03-08", "lines": [{"line": "permit"}]}],
    "schedule": {"ready": "2027-03-08", "tasks": [
        step("look", "cut", 1, "08:00", 10, pieces=[]),
        step("sheet_goods/cut", "cut", 1, "08:10", 50, ["side", "top"], operation="cut", needs=["sheet_goods/sheets"]),
        step("sheet_goods/join", "join", 1, "09:00", 30, ["side"], operation="join"),
        step("sheet_goods/edge", "edge", 1, "09:30", 30, ["side", "top"], operation="edge"),
        step("finish/varnish_coat_1", "prefinish", 1, "15:00", 120, ["varnish"], wait=60, operation="coat", rack=1.5, finish=2),
        step("finish/varnish_coat_2", "prefinish", 2, "10:00", 60, ["varnish"], wait=120, operation="coat", rack=1.5),
        step("hardware_kits/join_glue", "assemble", 2, "13:00", 30, ["glue"], operation="glue"),
        step("hardware_kits/join_screws", "fasten", 2, "13:30", 30, ["screws"], operation="screw"),
        step("sundries/fit_knob", "fit", 2, "14:00", 10, ["knob"], operation="fit"),
        step("set_up", "carry_in", 8, "08:00", 60, worker="maker, mate"),
        step("hardware_kits/fix_anchors", "install", 8, "09:00", 30, ["anchors"], operation="fix"),
        step("hardware_kits/hang_lift", "hang", 8, "09:30", 30, ["lift"], operation="hang"),
        step("hardware_kits/springs_lift", "load", 8, "10:00", 30, ["lift"], operation="springs"),
    ]},
}


class Rules(unittest.TestCase):
    def setUp(self):
        self.project, self.estimate = copy.deepcopy(PROJECT), copy.deepcopy(ESTIMATE)
        self.steps = {s["id"].rpartition("/")[2]: s for s in self.estimate["schedule"]["tasks"]}

    def faults(self):
        return Plan(self.project, self.estimate).check()

    def caught(self, words):
        faults = self.faults()
        self.assertTrue(any(words in fault for fault in faults), f"{words!r} is in none of {faults}")

    def move(self, name, day, begins):
        hour, minute = map(int, begins.split(":"))
        self.steps[name].update(start=f"2027-03-{day:02}", start_minute=hour * 60 + minute, finish=f"2027-03-{day:02}")

    def test_a_plan_that_is_right_has_no_faults(self):
        self.assertEqual(self.faults(), [])

    def test_a_seam_after_the_edge(self):
        self.move("join", 1, "10:00")
        self.caught("an edge is banded over the seam")
        self.caught("both touch side, in join and in edge")

    def test_screws_before_the_glue(self):
        self.move("join_glue", 2, "14:10")
        self.caught("screws draw up what is glued")

    def test_a_phase_that_is_named_wrong_hides_nothing(self):
        """The phase of the step is that of the fault: what it does says otherwise."""
        self.steps["join_screws"]["phase"] = "machine"
        self.move("join_screws", 1, "11:00")
        self.caught("screws draw up what is glued")

    def test_a_coat_on_wet_varnish_or_a_knob_on_it(self):
        self.move("fit_knob", 2, "12:00")
        self.caught("hardware goes on when the finish is dry")

    def test_hanging_before_fixing_and_springs_before_both(self):
        self.move("hang_lift", 8, "08:00")
        self.caught("what moves is hung on what is fixed")
        self.move("springs_lift", 2, "15:00")
        self.caught("springs pull on what must be fixed")
        self.caught("springs are fitted to a panel that hangs")

    def test_two_places_at_once(self):
        self.move("fit_knob", 2, "13:40")
        self.caught("maker is at")

    def test_too_few_hands_that_nobody_mentions(self):
        self.steps["hang_lift"]["people"] = 2
        self.caught("is work for 2, 1 are there, and nothing says so")
        self.estimate["findings"].append({"code": "too-few-hands", "step": "hang_lift"})
        self.assertEqual(self.faults(), [])

    def test_a_helper_who_is_not_there_and_a_house_that_is_shut(self):
        self.move("set_up", 2, "15:00")
        self.caught("cannot work there")
        self.move("set_up", 8, "08:00")
        self.project["site"] = {"dates": ["2027-03-09"]}
        self.caught("cannot work there")

    def test_a_rack_that_carries_too_much(self):
        self.steps["varnish_coat_1"]["wait_minutes"] = 24 * 60
        self.caught("the rack of 2 m2 carries 3.00 m2")

    def test_goods_that_come_later(self):
        self.estimate["purchases"][0]["arrives"] = "2027-03-02"
        self.caught("begins before sheet_goods/sheets is in hand")
        self.estimate["purchases"][1]["arrives"] = "2027-03-04"
        self.caught("begins before finish/abrasive_320 is in hand")
        self.estimate["purchases"][2]["arrives"] = "2027-03-09"
        self.caught("begins before 'permit' is there")

    def test_goods_that_are_not_fetched_yet(self):
        self.estimate["purchases"][0]["supplier"] = "yard"
        self.estimate["schedule"]["tasks"].append(step("fetch/yard", "prepare", 1, "10:00", 60, ["side"]))
        self.caught("it brings sheet_goods/sheets")

    def test_a_stated_order(self):
        self.steps["look"]["minutes"] = 30
        self.caught("the project says so")
        self.steps["edge"]["after"] = ["finish/varnish_coat_1"]
        self.caught("it comes after it")

    def test_critical_with_slack(self):
        self.steps["set_up"].update(critical=True, slack_hours=0.05)
        self.caught("is critical and may begin 0.05 h later")

    def test_a_day_of_the_end_that_the_calendar_does_not_bear_out(self):
        self.move("fit_knob", 2, "15:30")
        self.steps["fit_knob"]["minutes"] = 60  # the third is a holiday
        self.caught("is said to be done on 2027-03-02, and takes until 2027-03-04")

    def test_a_job_that_is_ready_too_soon(self):
        self.estimate["schedule"]["ready"] = "2027-03-05"
        self.caught("and work goes on")


if __name__ == "__main__":
    unittest.main()

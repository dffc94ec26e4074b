"""Follows a job from order to close as its maker would, in another language: what is paid or cut stays, only the rest
is planned anew, and what is left over serves the next job.

usage: job_check.py AUMBRY PLUGINS CATALOGS SCHEMAS
"""
import csv
import json
import os
import shutil
import signal
import subprocess
import sys
import tempfile
import time
import unittest
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path

import jsonschema

AUMBRY, PLUGINS, CATALOGS, SCHEMAS = (Path(p).resolve() for p in sys.argv[1:5])


def added(amounts):
    return sum((Decimal(a) for a in amounts), Decimal(0))


class Job(unittest.TestCase):
    """A copy of a demo that may be written to. Many tests begin alike: what was priced or recorded once, of the same bytes, is not
    run again (same input, same bytes, which command_check.py holds it to)."""

    name = "harbour-loft"
    priced = {}    # by the bytes of the project
    recorded = {}  # by the bytes before and what was said: the bytes after and what was printed

    def setUp(self):
        self.folder = tempfile.TemporaryDirectory()
        self.addCleanup(self.folder.cleanup)
        home = Path(self.folder.name)
        for part in ("suppliers", "reference"):
            os.symlink(CATALOGS / part, home / part)
        (home / "projects").mkdir()
        self.project = home / "projects" / f"{self.name}.aumbry.json"
        shutil.copy(CATALOGS / "projects" / f"{self.name}.aumbry.json", self.project)

    def run_command(self, *arguments):
        return subprocess.run([str(AUMBRY), *map(str, arguments), "--plugins", str(PLUGINS), "--effort", "draft"],
                              capture_output=True, timeout=120)

    def good(self, *arguments):
        done = self.run_command(*arguments)
        self.assertEqual(done.returncode, 0, done.stderr.decode())
        return done.stdout

    def estimate(self):
        project = self.project.read_bytes()
        if project not in Job.priced:
            Job.priced[project] = self.good("price", self.project, "--json")
        return json.loads(Job.priced[project])

    def record(self, *arguments):
        step = (self.project.read_bytes(), *map(str, arguments))
        if step not in Job.recorded:
            printed = self.good("record", self.project, *arguments)
            Job.recorded[step] = self.project.read_bytes(), printed
        after, printed = Job.recorded[step]
        self.project.write_bytes(after)
        return printed

    def order_everything(self, state="ordered", on="2027-02-22"):
        for order in self.estimate()["orders"]:
            self.record("--supplier", order["supplier"], "--state", state, "--on", on)

    def change(self, edit):
        document = json.loads(self.project.read_text())
        edit(document)
        self.project.write_text(json.dumps(document))


class Changed(Job):
    def test_what_another_program_saves_meanwhile_is_not_lost(self):
        """record read the project a second time and wrote without looking: an edit saved in between was overwritten."""
        supplier = self.estimate()["orders"][0]["supplier"]
        words = [str(AUMBRY), "record", str(self.project), "--supplier", supplier, "--state", "ordered", "--plugins", str(PLUGINS)]
        recording = subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE)
        # Modules are loaded after the project is read: stopped then, it holds the text as it was.
        maps = Path(f"/proc/{recording.pid}/maps")
        until = time.monotonic() + 60
        while str(PLUGINS) not in maps.read_text() and time.monotonic() < until:
            time.sleep(0.001)
        recording.send_signal(signal.SIGSTOP)
        self.change(lambda document: document.update(note="edited meanwhile"))
        edited = self.project.read_bytes()
        recording.send_signal(signal.SIGCONT)
        out, errors = recording.communicate(timeout=120)
        self.assertEqual((recording.returncode, out), (1, b""))
        self.assertEqual(errors.decode(), f"{self.project}: the file was changed meanwhile by another program; "
                                          "nothing is written; do the same again\n")
        self.assertEqual(self.project.read_bytes(), edited)
        self.assertEqual(sorted(p.name for p in self.project.parent.iterdir()), [self.project.name])


def working_days_after(day, count):
    """The suppliers of the demonstration work from Monday to Friday."""
    day = date.fromisoformat(day)
    while count or day.weekday() > 4:
        day += timedelta(days=1)
        count -= day.weekday() < 5
    return day.isoformat()


class LateOrders(Job):
    """Springs are right once the finished panel is weighed."""

    def asked(self, wish):
        self.change(lambda document: document["workshop"].update(late_orders=wish))
        return self.estimate()

    def test_springs_are_ordered_once_the_panel_is_weighed(self):
        rest, waits = self.asked("never"), self.asked("always")
        tasks = {task["id"]: task for task in waits["schedule"]["tasks"]}
        weighed = tasks["hardware_kits/weigh_lid_lift"]
        second, = (order for order in waits["orders"] if "second_of" in order)
        self.assertEqual(second["after"], weighed["id"])
        self.assertEqual(second["goes_out"], weighed["finish"])
        self.assertGreaterEqual(second["order_by"], second["goes_out"])
        springs, = (p for p in waits["purchases"] if p["supplier"] == second["supplier"])
        self.assertEqual(springs["class"], "spring")
        # Its supplier's dispatch time and the row's lead time, in working days.
        supplier = json.loads((CATALOGS / "suppliers" / second["second_of"] / "supplier.json").read_text())
        listed = [row for file in (CATALOGS / "suppliers" / second["second_of"]).glob("*.csv")
                  for row in csv.DictReader(file.read_text().splitlines()) if row["sku"] == springs["sku"]]
        days = supplier.get("dispatch_days", 0) + int(listed[0]["lead_days"] or 0)
        self.assertEqual(springs["arrives"], working_days_after(second["goes_out"], days))
        self.assertGreaterEqual(tasks["hardware_kits/lift_kit_springs"]["start"], springs["arrives"])
        for order in waits["orders"]:
            goods = added(p["amount"] for p in waits["purchases"] if p["supplier"] == order["supplier"] and not p["service"])
            self.assertEqual(goods, Decimal(order["goods"]), order["supplier"])
        self.assertFalse(any("second_of" in order for order in rest["orders"]))

    def test_what_waiting_costs_is_said_either_way(self):
        rest, waits, chosen = self.asked("never"), self.asked("always"), self.asked_nothing()
        days = (date.fromisoformat(waits["schedule"]["ready"]) - date.fromisoformat(rest["schedule"]["ready"])).days
        kinds = ("goods", "services", "delivery")
        more = added(waits["totals"][k] for k in kinds) - added(rest["totals"][k] for k in kinds)
        for estimate, code in ((rest, "ordered-before-known"), (waits, "ordered-once-known"), (chosen, "ordered-before-known")):
            said, = (f for f in estimate["findings"] if f["code"] == code)
            self.assertIn(f"{days} days and EUR {more}", said["text"])
            self.assertEqual(said["step"], "hardware_kits/weigh_lid_lift")

    def asked_nothing(self):
        self.change(lambda document: document["workshop"].pop("late_orders"))
        return self.estimate()

    def test_a_weighed_panel_waits_for_nothing(self):
        self.change(lambda document: document["lines"]["lid_lift"].update(weighed_mass="33 kg"))
        estimate = self.asked("always")
        self.assertFalse(any("second_of" in order for order in estimate["orders"]))
        self.assertNotIn("hardware_kits/weigh_lid_lift", [task["id"] for task in estimate["schedule"]["tasks"]])

    def test_both_orders_are_recorded_and_nothing_is_ordered_twice(self):
        self.asked("always")
        before = self.estimate()
        self.order_everything()
        after = self.estimate()
        self.assertEqual(after["totals"]["total"], before["totals"]["total"])
        self.assertEqual(after["orders"], [])
        springs = [b for b in json.loads(self.project.read_text())["bought"].values() if b.get("class") == "spring"]
        self.assertEqual([b["supplier"] for b in springs], ["veerhaak-fittings"])


class Times(Job):
    """Hours by the maker's own file."""

    def hours(self, estimate, operation):
        return sum(o["hours"] for o in estimate["schedule"]["operations"] if o["operation"] == operation)

    def test_the_table_is_written_edited_and_read(self):
        before = self.estimate()
        table = self.project.parent / "mine.times.json"
        self.good("plan", self.project, "--times", table)
        times = json.loads(table.read_text())
        self.assertEqual(times["sheet_goods"]["minutes_a_part"], "3 min")
        self.change(lambda document: document.update(times=table.name))
        self.assertEqual(self.estimate()["totals"], before["totals"])
        times["sheet_goods"]["minutes_a_part"] = "6 min"
        table.write_text(json.dumps(times))
        Job.priced.clear()
        after = self.estimate()
        self.assertAlmostEqual(self.hours(after, "cut"), 2 * self.hours(before, "cut"))
        counted, = (t for t in after["schedule"]["times"] if (t["module"], t["setting"]) == ("sheet_goods", "minutes_a_part"))
        self.assertEqual((counted["minutes"], counted["usual"]), (6, 3))
        self.assertRegex(self.good("plan", self.project).decode(), r"sheet_goods: Time to cut a part +6 +3\n")
        # What the project states itself wins.
        self.change(lambda document: document["settings"]["sheet_goods"].update(minutes_a_part="3 min"))
        self.assertEqual(self.hours(self.estimate(), "cut"), self.hours(before, "cut"))

    def test_a_slip_in_it_is_said_of_that_file(self):
        table = self.project.parent / "mine.times.json"
        table.write_text('{ "aumbry_times": 1,\n  "sheet_goods": { "minutes_a_prat": "3 min" } }')
        self.change(lambda document: document.update(times=table.name))
        done = self.run_command("price", self.project)
        self.assertEqual((done.returncode, done.stdout), (1, b""))
        self.assertIn(f"{table}:2:", done.stderr.decode())
        self.assertIn("did you mean 'minutes_a_part'?", done.stderr.decode())


class Orders(Job):
    def test_ordering_as_estimated_changes_neither_the_total_nor_the_plans(self):
        before = self.estimate()
        self.order_everything()
        after = self.estimate()
        self.assertEqual(after["totals"], before["totals"])
        self.assertEqual(after["cutting_plans"], before["cutting_plans"])
        self.assertEqual(after["board_plans"], before["board_plans"])
        self.assertEqual(after["orders"], [])
        self.assertEqual({p["state"] for p in after["purchases"] if not p["owned"]}, {"ordered"})
        schema = json.loads((SCHEMAS / "project.schema.json").read_text())
        jsonschema.validate(json.loads(self.project.read_text()), schema)
        jsonschema.validate(after, json.loads((SCHEMAS / "estimate.schema.json").read_text()))

    def test_one_order_recorded_leaves_the_others_as_they_were(self):
        before = self.estimate()
        self.record("--supplier", "nordkade-panels", "--state", "ordered", "--on", "2027-02-22")
        after = self.estimate()
        self.assertEqual(after["totals"]["total"], before["totals"]["total"])
        # What is ordered changes which work is planned first, and with it by when the rest is wanted.
        def without_date(orders):
            return [{k: v for k, v in order.items() if k != "order_by"} for order in orders]
        self.assertEqual(without_date(o for o in before["orders"] if o["supplier"] != "nordkade-panels"),
                         without_date(after["orders"]))

    def test_what_the_supplier_asks_is_what_counts(self):
        before = self.estimate()
        order = next(o for o in before["orders"] if o["supplier"] == "nordkade-panels")
        asked = Decimal("400.00")
        estimated = added(order[k] for k in ("goods", "services", "cuts", "small_order"))
        self.assertTrue(order["collected"])  # fetching is the maker's own cost
        self.record("--supplier", "nordkade-panels", "--state", "ordered", "--amount", asked)
        after = self.estimate()
        costs = ("goods", "services", "delivery")
        self.assertEqual(added(after["totals"][k] for k in costs) - added(before["totals"][k] for k in costs),
                         asked - estimated)

    def test_a_later_promise_moves_what_waits_for_it(self):
        before = self.estimate()
        self.record("--supplier", "terwiel-timber", "--state", "ordered", "--arrives", "2027-04-20")
        after = self.estimate()
        self.assertGreater(after["schedule"]["ready"], before["schedule"]["ready"])
        self.assertGreater(after["schedule"]["ready"], "2027-04-20")

    def test_changed_parts_are_said_when_the_sheets_are_cut_and_planned_anew_when_not(self):
        before = self.estimate()
        self.order_everything("received")
        self.change(lambda d: d["lines"]["bed_side"].update(width="300 mm"))
        planned = self.estimate()
        found = [f for f in planned["findings"] if f["code"] == "bought-differs"]
        self.assertEqual([f["severity"] for f in found], ["caution"])
        self.assertIn("bed_side", found[0]["text"])
        bought = [p for p in planned["purchases"] if p["state"] == "received" and p.get("class") == "sheet"]
        self.assertEqual(sum(p["count"] for p in bought),
                         sum(p["count"] for p in before["purchases"] if p.get("class") == "sheet"))
        # The sheets at hand are cut into the new parts before any is bought.
        parts = sum(q["copies"] for plan in planned["cutting_plans"] for q in [plan]
                    if any(place["line"] == "bed_side" for place in plan["placements"])
                    and plan["offer"].startswith("owned/"))
        self.assertGreater(parts, 0)
        self.record("--supplier", "nordkade-panels", "--state", "cut")
        cut = self.estimate()
        self.assertEqual([f["severity"] for f in cut["findings"] if f["code"] == "bought-differs"], ["problem"])

    def test_plans_bought_stay_whoever_is_excluded_and_however_new_plans_would_turn_the_parts(self):
        before = self.estimate()
        self.order_everything("received")
        self.change(lambda d: d["suppliers"]["exclude"].append("nordkade-panels"))
        after = self.estimate()
        self.assertEqual([f["text"] for f in after["findings"] if f["code"].startswith("bought-")], [])
        self.assertEqual(after["totals"], before["totals"])
        self.assertEqual(after["orders"], [])

    def test_what_is_bought_for_a_plan_made_anew_is_kept_with_that_plan(self):
        self.order_everything("received")
        self.change(lambda d: d["lines"]["bed_side"].update(count=14, width="300 mm"))
        self.assertTrue(self.estimate()["orders"])
        self.order_everything("ordered", "2027-03-02")
        after = self.estimate()
        self.assertEqual(after["orders"], [])
        self.assertEqual([f["text"] for f in after["findings"] if f["code"].startswith("bought-")], [])

    def test_what_is_owned_may_be_called_as_something_bought(self):
        def rename(document):
            document["owned"]["bi18_2512_bb"] = document["owned"].pop("offcut_3")
        self.change(rename)
        before = self.estimate()
        self.record("--supplier", "nordkade-panels", "--state", "received")
        after = self.estimate()
        self.assertEqual(after["totals"], before["totals"])
        self.assertEqual(sum(p["owned"] for p in after["purchases"]), sum(p["owned"] for p in before["purchases"]))

    def test_what_has_come_is_what_was_ordered_and_nothing_else(self):
        self.record("--supplier", "nordkade-panels", "--state", "ordered")
        self.one_sheet_more()
        self.record("--supplier", "nordkade-panels", "--state", "received")
        bought = json.loads(self.project.read_text())["bought"]
        self.assertEqual({b["state"] for b in bought.values()}, {"received"})
        after = self.estimate()
        self.assertIn("nordkade-panels", {o["supplier"] for o in after["orders"]})

    def test_another_promise_takes_the_place_of_the_first(self):
        self.record("--supplier", "terwiel-timber", "--state", "ordered", "--arrives", "2027-03-10")
        self.record("--supplier", "terwiel-timber", "--state", "ordered", "--arrives", "2027-04-20")
        bought = json.loads(self.project.read_text())["bought"].values()
        self.assertEqual({b["arrives"] for b in bought if b["supplier"] == "terwiel-timber" and "arrives" in b},
                         {"2027-04-20"})

    def one_sheet_more(self):
        def add(document):
            document["materials"]["show"] = {"class": "sheet", "species": "birch", "grade": "S/BB", "thickness": "18 mm"}
            document["lines"]["show_side"] = {"kind": "panel", "piece": "bed", "material": "show", "count": 2,
                                              "length": "1800 mm", "width": "300 mm"}
        self.change(add)

    def test_sheets_ordered_already_are_in_no_further_order(self):
        self.record("--supplier", "nordkade-panels", "--state", "ordered")
        self.one_sheet_more()
        for extra in ((), ("--with", CATALOGS / "projects" / "harbour-loft.aumbry.json")):
            orders = json.loads(self.good("order", self.project, *extra, "--json"))["orders"]
            order = next(o for o in orders if o["supplier"] == "nordkade-panels")
            with self.subTest(extra):
                self.assertTrue(order["sheets_to_cut"])
                positions = {p["sku"]: p["count"] for p in order["positions"]}
                for sku in {s["sku"] for s in order["sheets_to_cut"]}:
                    self.assertLessEqual(sum(s["copies"] for s in order["sheets_to_cut"] if s["sku"] == sku),
                                         positions.get(sku, 0), sku)

    def test_goods_bought_do_when_nobody_offers_them_any_more(self):
        before = self.estimate()
        self.order_everything("received")
        self.change(lambda d: d.update(priced_on="2028-01-10"))  # every price has ended
        after = self.estimate()
        self.assertEqual(after["not_included"], [])
        for category in ("goods", "delivery", "labour"):
            self.assertEqual(after["totals"][category], before["totals"][category], category)

    def test_what_is_paid_stays_among_the_money_needed(self):
        def needed(estimate):
            # The client's money comes in; what goes out is the same, ordered or not.
            return added(row["amount"] for row in estimate["cash"] if Decimal(row["amount"]) > 0)
        before = needed(self.estimate())
        self.order_everything()
        self.assertEqual(needed(self.estimate()), before)

    def test_a_plan_changed_by_hand_is_said_or_does_without_in_every_command(self):
        self.record("--supplier", "nordkade-panels", "--state", "ordered")
        whole = self.project.read_text()
        for key in ("copies", "offcuts", "sheet", "blanks", "cuts", "placements", "offer"):
            def drop(document):
                for kept in document["as_bought"].values():
                    for plan in kept["way"]["plans"]:
                        plan.pop(key, None)
            self.project.write_text(whole)
            self.change(drop)
            for command in ("price", "order", "cut", "close", "quote"):
                done = self.run_command(command, self.project)
                with self.subTest(key, command=command):
                    self.assertIn(done.returncode, (0, 1), done.stderr.decode())
                    self.assertNotIn("json.exception", done.stderr.decode())

    def test_recording_what_nobody_ordered_is_refused_and_writes_nothing(self):
        bytes_before = self.project.read_bytes()
        for words, sentence in [
                (("--supplier", "nordkade-panel", "--state", "ordered"), "did you mean 'nordkade-panels'?"),
                (("--step", "sheet_goods/nothing", "--hours", "2 h"), "there is no step 'sheet_goods/nothing'"),
                (("--supplier", "nordkade-panels", "--state", "ordered", "--on", "2027-02-30"), "--on: there is no date 2027-02-30"),
                (("--supplier", "nordkade-panels", "--state", "ordered", "--amount=-5.00"), "the amount -5.00 is negative"),
                (("--step", "carry_in", "--hours", "3 m"), "found a length where a duration is expected"),
                (("--step", "carry_in", "--hours=-3 h"), "is too small"),
                (("--step", "carry_in", "--hours", "3"), "has no unit"),
                (("--step", "carry_in", "--hours", "3 h", "--who", "nobody"), "there is nobody called 'nobody'"),
                (("--supplier", "nordkade-panels", "--state", "ordered", "--amount", "a lot"), "a lot")]:
            done = self.run_command("record", self.project, *words)
            with self.subTest(words):
                self.assertEqual(done.returncode, 1)
                self.assertIn(sentence, done.stderr.decode())
                self.assertEqual(self.project.read_bytes(), bytes_before)


class Together(Job):
    """Two jobs bought for at once."""

    def setUp(self):
        super().setUp()
        self.other = self.project.parent / "neighbour.aumbry.json"
        document = json.loads(self.project.read_text())
        document["title"] = "Benches for the neighbour"
        document["alternatives"] = {}
        self.other.write_text(json.dumps(document))

    def test_the_cost_is_split_so_that_nobody_pays_more_than_alone(self):
        shared = json.loads(self.good("order", self.project, "--with", self.other, "--json"))
        alone = [Decimal(s["alone"]) for s in shared["shares"]]
        shares = [Decimal(s["share"]) for s in shared["shares"]]
        self.assertEqual(sum(shares), Decimal(shared["together"]))
        self.assertEqual(sum(alone), Decimal(shared["alone"]))
        self.assertLess(sum(shares), sum(alone))  # one delivery and one fetching instead of two
        for one, other in zip(shares, alone):
            self.assertLessEqual(one, other)
        # What is bought adds up to it; tax is claimed back in this job, own stock costs nothing, a trip is an hour's work.
        trips = sum(o["trips"] for o in shared["orders"] if o["collected"])
        self.assertEqual(added(o["net"] for o in shared["orders"]) + added(o["collecting"] for o in shared["orders"])
                         + trips * Decimal("46.00"), Decimal(shared["together"]))

    def test_together_is_bought_at_least_what_each_needs_alone(self):
        shared = json.loads(self.good("order", self.project, "--with", self.other, "--json"))
        words = [line for o in shared["orders"] for p in o["positions"] for line in p["lines"]]
        for title in ("Guest loft over the harbour office", "Benches for the neighbour"):
            self.assertTrue(any(w.endswith("for " + title) for w in words), title)
        self.assertEqual(sum(p["count"] for o in shared["orders"] for p in o["positions"]
                             if "mattress" in p["description"].lower()), 2)

    def test_projects_of_two_currencies_cannot_share(self):
        done = self.run_command("order", self.project, "--with", CATALOGS / "projects" / "orchard-mudroom.aumbry.json")
        self.assertEqual(done.returncode, 1)
        self.assertIn("the project is in USD, the first one in EUR", done.stderr.decode())


class Work(Job):
    def longest(self, estimate):
        return max((t for t in estimate["schedule"]["tasks"] if t["worker"] == "maker"), key=lambda t: t["minutes"])

    def test_hours_of_a_finished_step_take_the_place_of_those_planned(self):
        before = self.estimate()
        step = self.longest(before)
        self.record("--step", step["id"], "--hours", "10 h", "--done")
        after = self.estimate()
        task = next(t for t in after["schedule"]["tasks"] if t["id"] == step["id"])
        self.assertEqual((task["minutes"], task["worked_minutes"], task["done"]), (0, 600, True))
        hours = {e: next(h["hours"] for h in x["schedule"]["hours"] if h["worker"] == "maker")
                 for e, x in (("before", before), ("after", after))}
        self.assertAlmostEqual(hours["after"] - hours["before"], 10 - step["minutes"] / 60, delta=0.011)

    def test_part_of_a_step_worked_leaves_the_rest_to_do_at_the_same_cost(self):
        before = self.estimate()
        step = self.longest(before)
        self.record("--step", step["id"], "--hours", "30 min")
        after = self.estimate()
        task = next(t for t in after["schedule"]["tasks"] if t["id"] == step["id"])
        self.assertAlmostEqual(task["minutes"], step["minutes"] - 30, places=3)
        self.assertLessEqual(abs(Decimal(after["totals"]["labour"]) - Decimal(before["totals"]["labour"])),
                             Decimal("0.01"))


    def test_recorded_hours_cost_at_least_what_the_person_charges_a_day(self):
        before = self.estimate()["schedule"]
        self.assertEqual(next(h for h in before["hours"] if h["worker"] == "mate")["charged"], 16)  # "least": "8 h", two days
        for task in before["tasks"]:
            if "mate" in task["worker"] and task["id"] != "carry_in":
                self.record("--step", task["id"], "--hours", "1 h", "--on", "2027-03-17", "--done")
        self.record("--step", "carry_in", "--hours", "2 h", "--who", "mate", "--on", "2027-03-17", "--done")
        after = next(h for h in self.estimate()["schedule"]["hours"] if h["worker"] == "mate")
        self.assertEqual((after["hours"], after["charged"], Decimal(after["amount"])), (2, 8, 8 * Decimal("31.00")))


class Tasks(Job):
    """A job of nothing but three tasks, one after the other."""

    def setUp(self):
        super().setUp()
        self.project.write_text(json.dumps({
            "aumbry": 1, "title": "Three tasks", "currency": "EUR", "length_unit": "mm", "priced_on": "2027-02-01",
            "start": "2027-03-01", "pricing": {"rate": "40.00"},
            "tasks": {"first": {"title": "First", "hours": "16 h"},
                      "second": {"title": "Second", "hours": "2 h", "rate": "70.00", "after": ["first"]},
                      "third": {"title": "Third", "hours": "2 h", "after": ["second"]}}}))

    def test_what_is_done_still_passes_on_what_it_waited_for(self):
        before = {t["id"]: t for t in self.estimate()["schedule"]["tasks"]}
        self.record("--step", "second", "--hours", "2 h", "--done")
        after = {t["id"]: t for t in self.estimate()["schedule"]["tasks"]}
        self.assertEqual(after["third"]["start"], before["third"]["start"])
        self.assertGreaterEqual(after["third"]["start"], after["first"]["finish"])

    def test_hours_of_a_step_with_its_own_rate_are_recorded_at_that_rate(self):
        before = self.estimate()["totals"]["labour"]
        self.record("--step", "second", "--hours", "2 h", "--done")
        self.assertEqual(self.estimate()["totals"]["labour"], before)
        self.assertEqual(Decimal(before), 18 * 40 + 2 * 70)


class Closing(Job):
    name = "orchard-mudroom"

    def test_tax_follows_what_the_supplier_asks(self):
        order = next(o for o in self.estimate()["orders"] if o["supplier"] == "dockside-lumber")
        net = Decimal(order["total"]) - Decimal(order["tax"])
        self.record("--supplier", "dockside-lumber", "--state", "ordered", "--amount", 2 * net)

        def recorded():
            bought = [b for b in json.loads(self.project.read_text())["bought"].values()
                      if b["supplier"] == "dockside-lumber"]
            return added(b["amount"] for b in bought), added(b.get("tax", "0") for b in bought)
        self.assertEqual(recorded(), (2 * net, 2 * Decimal(order["tax"])))
        # The invoice comes and says otherwise.
        self.record("--supplier", "dockside-lumber", "--state", "received", "--amount", net)
        self.assertEqual(recorded(), (net, Decimal(order["tax"])))

    def test_leftovers_of_one_job_are_owned_by_the_next(self):
        first = self.estimate()
        self.order_everything("received", "2027-03-08")
        for order in first["orders"]:
            self.run_command("record", self.project, "--supplier", order["supplier"], "--state", "cut")
        stock = self.project.parent / "left.stock.json"
        account = json.loads(self.good("close", self.project, "--stock", stock, "--json"))
        self.assertEqual(added(r["planned"] for r in account["rows"]), Decimal(account["planned"]))
        self.assertEqual(account["planned"], account["actual"])
        left = json.loads(stock.read_text())["owned"]
        self.assertTrue(left)
        self.assertEqual(set(left), {each["id"] for each in account["left"]})
        # Area left and area cut never exceed the sheets bought.
        # The next job, the same room again, begins with what is left.
        second = self.project.parent / "next.aumbry.json"
        document = json.loads((CATALOGS / "projects" / f"{self.name}.aumbry.json").read_text())
        document["stock"] = ["left.stock.json"]
        second.write_text(json.dumps(document))
        estimate = json.loads(self.good("price", second, "--json"))
        used = {p["offer"].split("/", 1)[1] for p in estimate["purchases"] if p["owned"]}
        self.assertTrue(used & set(left), (used, set(left)))
        self.assertLess(Decimal(estimate["totals"]["goods"]), Decimal(first["totals"]["goods"]))
        again = self.run_command("close", self.project, "--stock", stock)
        self.assertEqual(again.returncode, 1)
        self.assertIn("is there already", again.stderr.decode())

    def test_actual_amounts_and_hours_stand_against_the_estimate(self):
        first = self.estimate()
        supplier = first["orders"][0]
        self.record("--supplier", supplier["supplier"], "--state", "received", "--amount", "500.00")
        account = json.loads(self.good("close", self.project, "--json"))
        invoice = added(supplier[k] for k in ("goods", "services", "cuts", "small_order"))
        if not supplier["collected"]:
            invoice += Decimal(supplier["delivery"])
        self.assertEqual(Decimal(account["difference"]), Decimal("500.00") - invoice)
        self.assertTrue(any("not bought" in sentence for sentence in account["open"]))

    def test_stock_files_at_fault_are_refused_with_a_sentence(self):
        stock = self.project.parent / "other.stock.json"
        self.change(lambda d: d.update(stock=["other.stock.json"]))
        owned = next(iter(json.loads(self.project.read_text()).get("owned", {})), None)
        cases = [(None, "there is no such file"),
                 ("{", "other.stock.json:1"),
                 ('{"aumbry": 1}', "this is no stock file"),
                 ('{"aumbry_stock": 2, "owned": {}}', "the stock file is of version 2, this program reads version 1"),
                 ('{"aumbry_stock": 1}', "the stock file owns nothing")]
        if owned:
            cases.append((json.dumps({"aumbry_stock": 1, "owned": {owned: {"class": "sheet"}}}), "is in the project too"))
        for text, sentence in cases:
            if text is not None:
                stock.write_text(text)
            done = self.run_command("price", self.project)
            with self.subTest(text):
                self.assertEqual(done.returncode, 1)
                self.assertIn(sentence, done.stderr.decode())


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1] + sys.argv[5:])

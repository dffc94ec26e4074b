"""A small job of its own with two price lists: what its maker reads when a name is wrong, a sheet is out of stock or a
coating goes over several pieces.

usage: alcove_check.py AUMBRY PLUGINS
"""
import json
import subprocess
import sys
import tempfile
import unittest
import zipfile
from decimal import Decimal
from pathlib import Path

AUMBRY, PLUGINS = (Path(p).resolve() for p in sys.argv[1:3])

TERMS = {"currency": "EUR", "tax_percent": "21", "delivery": {"flat": "35.00"}, "invented": True}
SHEETS = """sku,class,description,price,price_unit,species,grade,thickness,length,width,stock
K1,sheet,Birch BB/BB,84.50,each,birch,BB/BB,18 mm,2500 mm,1250 mm,12
K2,sheet,Birch BB/CP,66.25,each,birch,BB/CP,18 mm,2500 mm,1250 mm,8
K3,sheet,Birch CP/CP,58.00,each,birch,CP/CP,18 mm,2500 mm,1250 mm,0
"""
GOODS = """sku,class,description,price,price_unit,product,volume,product_class,spread_rate,recoat,cure,type
O1,coating,Hard oil 1 L,34.90,each,Molen hard oil,1 L,oil,14 m2/L,12 h,72 h,
S1,item,Lid stay,14.20,each,,,,,,,lid stay
"""
# The dealer's own list: headings, decimal commas, and two classes in one.
DEALER = """Prijslijst;;;
Art.nr;Omschrijving;Prijs;Eenheid
BERKEN;;;
K1;Berken multiplex BB/BB 18 mm 2500 x 1250;€ 84,50;plaat
K9;Berken kantenband 22 x 0,5 mm rol 50 m;€ 31,00;rol
"""
MAPPING = {
    "aumbry_mapping": 1, "list": "sheets.csv", "header_row": 2, "decimal": "comma", "row_needs": ["Prijs"],
    "columns": {"Art.nr": "sku", "Omschrijving": "description", "Prijs": "price", "Eenheid": "class"},
    "constants": {"price_unit": "each", "grain": "length"}, "remove": {"price": ["€"]},
    "units": {"thickness": "mm", "length": "mm", "width": "mm"},
    "words": {"species": {"Berken": "birch"}, "class": {"plaat": "sheet", "rol": "edging"}},
    "patterns": [{"column": "Omschrijving", "texts": ["{species} multiplex {grade} {thickness} mm {length} x {width}",
                                                      "{species} kantenband {width} x {thickness} mm rol {length}"]}]}


def job():
    return {
        "aumbry": 1, "title": "Alcoves", "currency": "EUR", "priced_on": "2027-02-10", "start": "2027-03-01",
        "pieces": {"left": {"title": "Left alcove"}, "right": {"title": "Right alcove"}},
        "materials": {"ply": {"class": "sheet", "species": "birch", "grade": "BB/BB", "thickness": "18 mm"}},
        "lines": {
            "left_shelf": {"kind": "panel", "piece": "left", "material": "ply", "count": 8, "length": "1000 mm",
                           "width": "300 mm", "faces": 2},
            "left_side": {"kind": "panel", "piece": "left", "material": "ply", "count": 2, "length": "2100 mm",
                          "width": "300 mm", "faces": 1},
            "right_side": {"kind": "panel", "piece": "right", "material": "ply", "count": 4, "length": "2100 mm",
                           "width": "300 mm", "faces": 1},
            "stay": {"kind": "item", "piece": "right", "type": "lid stay", "count": 1},
            "oil": {"kind": "coating", "piece": "left", "parts": ["left.*", "right.*"],
                    "coats": [{"product": "Molen hard oil", "coats": 2}]}},
        "tasks": {"fit_left": {"title": "Scribe and fit", "piece": "left", "hours": "3 h", "phase": "install"},
                  "fit_right": {"title": "Scribe and fit", "piece": "right", "hours": "3 h", "phase": "install"}}}


class Alcoves(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.home = Path(folder.name)
        for id, name, rows in (("kvist", "Kvist Panels", SHEETS), ("molen", "Molen Store", GOODS)):
            dealer = self.home / "suppliers" / id
            dealer.mkdir(parents=True)
            (dealer / "supplier.json").write_text(json.dumps({"name": name, **TERMS}))
            (dealer / "sheets.csv").write_text(rows)

    def run_command(self, *arguments):
        return subprocess.run([str(AUMBRY), *map(str, arguments), "--plugins", str(PLUGINS)],
                              capture_output=True, timeout=120)

    def written(self, change=lambda document: None):
        document = job()
        change(document)
        file = self.home / "alcoves.aumbry.json"
        file.write_text(json.dumps(document))
        return file

    def estimate(self, change=lambda document: None):
        done = self.run_command("price", self.written(change), "--json", "--effort", "draft")
        self.assertEqual(done.returncode, 0, done.stderr.decode())
        return json.loads(done.stdout)

    def said(self, change, code):
        return [f["text"] for f in self.estimate(change)["findings"] if f["code"] == code]

    def test_a_name_that_no_list_has_is_answered_with_the_nearest(self):
        self.assertEqual(self.said(lambda d: None, "name-not-listed"), [])
        self.assertEqual(self.said(lambda d: d["materials"]["ply"].update(species="brich"), "name-not-listed"),
                         ["No price list has species 'brich' of class sheet; did you mean 'birch'?"])
        self.assertEqual(self.said(lambda d: d["lines"]["stay"].update(type="lidstay"), "name-not-listed"),
                         ["No price list has type 'lidstay' of class item; did you mean 'lid stay'?"])
        self.assertEqual(
            self.said(lambda d: d["lines"]["oil"]["coats"][0].update(product="Molen hardoil"), "name-not-listed"),
            ["No price list has product 'Molen hardoil' of class coating; did you mean 'Molen hard oil'?"])

    def test_what_nobody_sells_is_named_as_its_maker_named_it(self):
        self.assertEqual(self.said(lambda d: d["lines"]["stay"].update(type="moon dust"), "demand-unmet"),
                         ["Nobody can fill 'moon dust': no supplier offers it. It is not in the total; find a supplier "
                          "or change the line."])

    def test_a_grade_out_of_stock_is_said_and_fails_nothing(self):
        def worst(document):
            document["materials"]["ply"]["grade"] = "CP/CP"
            for line in document["lines"].values():
                if line["kind"] == "panel":
                    line["faces"] = 0
        e = self.estimate(worst)
        self.assertEqual([f["text"] for f in e["findings"] if f["code"] == "sheet-out-of-stock"],
                         ["The sheet kvist/K3 (2500 x 1250 mm) is left out: its supplier has none in stock."])
        # A better grade serves: the cheapest of those that are there.
        self.assertEqual({p["sku"] for p in e["purchases"] if p["supplier"] == "kvist"}, {"K2"})

    def test_parts_that_show_one_face_come_from_the_cheaper_grade(self):
        better = self.estimate()
        cheaper = self.estimate(lambda d: d["materials"]["ply"].update(grade="BB/CP"))
        # Two faces of BB ask for BB/BB: eight shelves, one sheet. Six sides, two sheets, may be BB/CP.
        self.assertEqual({p["sku"]: p["count"] for p in cheaper["purchases"] if p["supplier"] == "kvist"},
                         {"K1": 1, "K2": 2})
        self.assertEqual(Decimal(better["totals"]["goods"]) - Decimal(cheaper["totals"]["goods"]),
                         2 * (Decimal("84.50") - Decimal("66.25")))

    def test_no_piece_is_fitted_before_its_parts_are_coated(self):
        tasks = {t["id"]: t for t in self.estimate()["schedule"]["tasks"]}
        dried = max(t["finish"] for id, t in tasks.items() if id.startswith("finish/"))
        for piece in ("left", "right"):
            self.assertGreaterEqual(tasks["fit_" + piece]["start"], dried)

    def test_steps_of_one_title_say_of_which_piece_they_are(self):
        titles = [t["title"] for t in self.estimate()["schedule"]["tasks"] if t["minutes"] > 0]
        self.assertEqual(len(titles), len(set(titles)), titles)
        self.assertIn("Scribe and fit: Left alcove", titles)

    def test_an_explanation_goes_two_levels_deep_and_names_what_lies_below(self):
        file = self.written()
        brief = self.run_command("explain", file, "total").stdout.decode().splitlines()
        deep = self.run_command("explain", file, "total", "--levels", "4").stdout.decode().splitlines()
        self.assertLess(len(brief), 60)
        self.assertLess(len(brief), len(deep))
        self.assertTrue(any("[explain " in line for line in brief))

    def test_a_list_of_two_classes_comes_in_with_constants_of_one(self):
        (self.home / "dealer.csv").write_text(DEALER)
        (self.home / "dealer.mapping.json").write_text(json.dumps(MAPPING))
        done = self.run_command("catalog", "import", self.home / "dealer.csv", "--mapping",
                                self.home / "dealer.mapping.json", "--into", self.home / "suppliers" / "kvist", "--json")
        self.assertEqual(done.returncode, 0, done.stdout.decode() + done.stderr.decode())
        rows = (self.home / "suppliers" / "kvist" / "sheets.csv").read_text().splitlines()
        cells = [dict(zip(rows[0].split(","), row.split(","))) for row in rows[1:]]
        self.assertEqual([(c["sku"], c["class"], c["grain"]) for c in cells],
                         [("K1", "sheet", "length"), ("K9", "edging", "")])

    def test_an_archive_without_a_sheet_is_refused_with_what_to_do(self):
        with zipfile.ZipFile(self.home / "dealer.xlsx", "w") as book:
            book.writestr("[Content_Types].xml", "<Types/>")
        (self.home / "dealer.mapping.json").write_text(json.dumps(MAPPING))
        done = self.run_command("catalog", "import", self.home / "dealer.xlsx", "--mapping",
                                self.home / "dealer.mapping.json", "--into", self.home / "suppliers" / "kvist")
        self.assertEqual(done.returncode, 1)
        self.assertIn("holds no spreadsheet that can be read; save it as XLSX or CSV", done.stderr.decode())

    def test_fields_of_a_kind_and_of_a_class_are_listed_with_what_they_mean(self):
        panel = self.run_command("fields", "panel").stdout.decode()
        for words in ("length_back", "span", "sag", "aumbry fields sheet"):  # field, nested field, derived value
            self.assertIn(words, panel)
        glue = self.run_command("fields", "glue").stdout.decode()
        self.assertIn("content", glue)
        self.assertIn("price_unit", glue)
        names = self.run_command("fields").stdout.decode()
        self.assertIn("panel", names)
        self.assertIn("edging", names)
        wrong = self.run_command("fields", "pannel")
        self.assertEqual(wrong.returncode, 1)
        self.assertIn("did you mean 'panel'?", wrong.stderr.decode())
        for line in (panel + glue + names).splitlines():
            self.assertLessEqual(len(line), 80, line)

    def test_a_slip_in_the_command_is_answered_with_the_nearest(self):
        done = subprocess.run([str(AUMBRY), "prise", "x"], capture_output=True, timeout=60)
        self.assertEqual(done.returncode, 2)
        self.assertEqual(done.stderr.decode(), "there is no command 'prise'; did you mean 'price'?\n")


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1] + sys.argv[3:])

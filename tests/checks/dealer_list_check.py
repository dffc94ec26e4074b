"""Dealers' lists that were read wrong without a word, or could not be read at all: each is right now, or refused with a
sentence. The lists are invented; what their rows mean is written by hand beside them.

usage: dealer_list_check.py AUMBRY PLUGINS SCHEMAS
"""
import csv
import json
import subprocess
import sys
import tempfile
import unittest
from pathlib import Path

import jsonschema
import openpyxl

AUMBRY, PLUGINS, SCHEMAS = (Path(p).resolve() for p in sys.argv[1:4])
TERMS = {"name": "Quay Timber", "invented": True, "currency": "EUR", "tax_percent": "21", "delivery": {"flat": "35.00"}, "length_unit": "mm"}
SIZES = {"aumbry_mapping": 1, "list": "boards.csv", "columns": {"No": "sku", "Price": "price"},
         "constants": {"class": "sheet", "species": "birch", "thickness": "18 mm", "price_unit": "each"},
         "patterns": [{"column": "Size", "texts": ["{thickness} x {length} x {width}", "{length} x {width}", "{length}x{width}"]}]}


class DealerLists(unittest.TestCase):
    def setUp(self):
        self.temporary = tempfile.TemporaryDirectory()
        self.folder = Path(self.temporary.name)
        self.supplier = self.folder / "suppliers" / "quay"
        self.supplier.mkdir(parents=True)
        (self.supplier / "supplier.json").write_text(json.dumps(TERMS))

    def tearDown(self):
        self.temporary.cleanup()

    def take(self, text, mapping, name="list.csv"):
        """The rows of the price list that is written, and the sentences of what is left out."""
        if text is not None:
            (self.folder / name).write_text(text)
        jsonschema.validate(mapping, json.loads((SCHEMAS / "mapping.schema.json").read_text()))
        (self.folder / "quay.mapping.json").write_text(json.dumps(mapping))
        done = subprocess.run([AUMBRY, "catalog", "import", name, "--mapping", "quay.mapping.json", "--into", "suppliers/quay", "--json",
                               "--plugins", PLUGINS], cwd=self.folder, capture_output=True, text=True, timeout=60)
        if not done.stdout:
            return [], [done.stderr.strip()]
        report = json.loads(done.stdout)
        self.assertEqual(done.returncode, 1 if report["faults"] else 0)
        written = list(csv.DictReader((self.supplier / "boards.csv").read_text().splitlines())) if report["rows"] else []
        checked = subprocess.run([AUMBRY, "catalog", "check", ".", "--plugins", PLUGINS], cwd=self.folder, capture_output=True, text=True,
                                 timeout=60)
        self.assertIn(" 0 faults", checked.stdout)
        return written, [f"{fault.get('row')}: {fault['wrong']}; {fault.get('right')}" for fault in report["faults"]]

    def sizes(self, size, **more):
        rows, faults = self.take(f"No,Size,Price\nA1,{size},80\n", SIZES | more)
        return [(row["length"], row["width"]) for row in rows], faults

    def test_a_unit_behind_the_last_size_holds_for_all(self):
        # It was taken as 250 mm x 125 cm.
        self.assertEqual(self.sizes("250 x 125 cm"), ([("250 cm", "125 cm")], []))
        self.assertEqual(self.sizes("250x125 cm")[0], [("250 cm", "125 cm")])
        self.assertEqual(self.sizes("250 × 125 cm")[0], [("250 cm", "125 cm")])
        self.assertEqual(self.sizes("2500 x 1250")[0], [("2500", "1250")])
        self.assertEqual(self.sizes("2500 mm x 125 cm")[0], [("2500 mm", "125 cm")])
        # Then 18 would be 18 cm thick: refused, not guessed.
        rows, faults = self.sizes("18 x 250 x 125 cm")
        self.assertEqual(rows, [])
        self.assertEqual(faults, ["2: 180 mm is too large; write at most 120 mm"])

    def test_thousands_and_decimals_are_not_mixed_up(self):
        # It was taken as 2.5 mm x 1.25 mm.
        rows, faults = self.sizes("2.500 x 1.250")
        self.assertEqual(rows, [])
        self.assertTrue(all("may be meant with decimals or with thousands set apart" in fault for fault in faults), faults)
        rows, faults = self.sizes("2.500 x 1.250", decimal="point")
        self.assertEqual((rows, faults), ([], [f"2: {size} mm is too small; write at least 20 mm" for size in ("2.5", "1.25")]))
        self.assertEqual(self.sizes("2.500 x 1.250", decimal="comma", grouping="."), ([("2500", "1250")], []))
        self.assertEqual(self.sizes("2.500 x 1.250 m", decimal="point"), ([("2.500 m", "1.250 m")], []))
        # Prices too: a thousand or one and a quarter.
        rows, faults = self.take("No,Size,Price\nA1,2500 x 1250,1.250\n", SIZES)
        self.assertEqual((rows, len(faults)), ([], 1))

    def test_prices_in_another_currency_are_refused_whatever_the_mapping_removes(self):
        mapping = SIZES | {"remove": {"price": ["£", "€", "$", "GBP"]}}
        for price, other in {"£79.50": "GBP", "$ 79.50": "USD", "79.50 GBP": "GBP"}.items():
            rows, faults = self.take(f"No,Size,Price\nA1,2500 x 1250,{price}\n", mapping)
            self.assertEqual(rows, [])
            self.assertEqual(faults, [f"2: '{price}' is in {other}, the supplier's currency is EUR; state the right currency in "
                                      "supplier.json, or convert the list"])
        self.assertEqual(len(self.take("No,Size,Price\nA1,2500 x 1250,€ 79.50\n", mapping)[0]), 1)
        # A heading says it for all rows.
        mapping = SIZES | {"columns": {"No": "sku", "Price GBP": "price"}}
        rows, faults = self.take("No,Size,Price GBP\nA1,2500 x 1250,79.50\n", mapping)
        self.assertEqual((rows, len(faults)), ([], 1))
        # The sign may come from the format of a cell.
        book = openpyxl.Workbook()
        for row in (["No", "Size", "Price"], ["A1", "2500 x 1250", 79.5], ["A2", "2500 x 1250", 79.5]):
            book.active.append(row)
        book.active["C2"].number_format = "[$£-809]#,##0.00"
        book.active["C3"].number_format = '[$€-413] #,##0.00'
        book.save(self.folder / "list.xlsx")
        rows, faults = self.take(None, SIZES | {"remove": {"price": ["£", "€"]}}, "list.xlsx")
        self.assertEqual([(row["sku"], row["price"]) for row in rows], [("A2", "79.5")])
        self.assertEqual(len(faults), 1)
        self.assertIn("is in GBP", faults[0])

    def test_what_nobody_sees_changes_nothing(self):
        # A no-break space behind the sign refused the row with a sentence that looked right.
        rows, faults = self.take("\u200bNo,Size\u00a0,Price\nA1\u200b,2500\u00a0x\u202f1250,€\u00a079.50\nA\u00ad2,2500 x 1250,\ufeff60\n",
                                 SIZES | {"remove": {"price": ["€"]}})
        self.assertEqual(faults, [])
        self.assertEqual([(row["sku"], row["length"], row["price"]) for row in rows], [("A1", "2500", "79.50"), ("A2", "2500", "60")])

    def test_the_order_to_a_spreadsheet_program_is_no_row(self):
        rows, faults = self.take("sep=;\nPrices of March;;\nNo;Size;Price\nA1;2500 x 1250;79.50\nA2;huge;60\n", SIZES | {"header_row": 2})
        self.assertEqual([row["sku"] for row in rows], ["A1"])
        self.assertEqual([fault[:2] for fault in faults], ["4:"])  # as the program counts

    def test_headings_flow_down_and_bring_constants(self):
        text = ("No,Text,Price\nPlywood,,\nBirch plywood BB/BB,,\nB18,18 mm 2500x1250,79.50\nB15,15 mm 2500x1250,68.00\n"
                "Poplar plywood B/BB,,\nP18,18 mm 2500x1250,61.00\nHardwoods,,\nO1,oak 27 mm,2150.00\nGlue,,\nG1,glue 5 kg,20.00\n"
                "Birch plywood S/BB,,\nS9,9 mm 2500x1250,52.00\n")
        mapping = {"aumbry_mapping": 1, "list": "boards.csv", "row_needs": ["Price"], "columns": {"No": "sku", "Text": "description", "Price": "price"},
                   "constants": {"price_unit": "each"}, "words": {"species": {"Birch": "birch", "Poplar": "poplar"}},
                   "patterns": [{"column": "Text", "texts": ["{thickness} {length}x{width}", "{species} {thickness}"]}],
                   "sections": {"column": "No", "texts": ["{species} plywood {grade}"],
                                "constants": {"Plywood": {"class": "sheet"}, "Hardwoods": {"class": "solid", "form": "rough", "price_unit": "m3"}}}}
        mapping["constants"]["class"] = "sheet"
        rows, faults = self.take(text, mapping)
        self.assertEqual([(row["sku"], row["class"], row["species"], row["grade"], row["price_unit"]) for row in rows],
                         [("B18", "sheet", "birch", "BB/BB", "each"), ("B15", "sheet", "birch", "BB/BB", "each"),
                          ("P18", "sheet", "poplar", "B/BB", "each"), ("O1", "solid", "oak", "", "m3"), ("S9", "sheet", "birch", "S/BB", "each")])
        # Rows below a heading that nobody knows are left out, and that is said.
        self.assertEqual(faults, ["10: 'Glue' is no heading that the mapping knows, so the rows below it are left out; add it to the sections of "
                                  "the mapping, with {} in constants where it says nothing"])

    def test_a_column_a_thickness_and_numbers_composed(self):
        text = "Item,Grade,12 mm,15 mm,18 mm,25 mm\nBirch,BB/BB,61.90,68.00,79.50,-\nPoplar,B/BB,,55.00,61.00,oops\n"
        mapping = {"aumbry_mapping": 1, "list": "boards.csv", "columns": {"Item": "species", "Grade": "grade"},
                   "constants": {"class": "sheet", "price_unit": "each", "length": "2500 mm", "width": "1250 mm"},
                   "words": {"species": {"Birch": "birch", "Poplar": "poplar"}, "price": {"-": ""}},
                   "spread": {"over": "thickness", "gives": "price", "columns": {f"{t} mm": f"{t} mm" for t in (12, 15, 18, 25)}},
                   "composed": {"sku": "{Item}-{thickness}", "description": "{Item} plywood {Grade}, {thickness}"}}
        rows, faults = self.take(text.replace(",oops", ","), mapping)
        self.assertEqual(faults, [])
        self.assertEqual([(row["sku"], row["species"], row["thickness"], row["price"]) for row in rows],
                         [("Birch-12 mm", "birch", "12 mm", "61.90"), ("Birch-15 mm", "birch", "15 mm", "68.00"),
                          ("Birch-18 mm", "birch", "18 mm", "79.50"), ("Poplar-15 mm", "poplar", "15 mm", "55.00"),
                          ("Poplar-18 mm", "poplar", "18 mm", "61.00")])
        self.assertEqual(rows[0]["description"], "Birch plywood BB/BB, 12 mm")
        rows, faults = self.take(text, mapping)
        self.assertEqual([row["sku"] for row in rows], [r for r in ("Birch-12 mm", "Birch-15 mm", "Birch-18 mm", "Poplar-15 mm", "Poplar-18 mm")])
        self.assertEqual(faults, ["3: 'oops' is no price; write the number alone, such as 12.50; it is taken in EUR, the supplier's currency"])
        # Without a composed number every column would be the same article.
        mapping["composed"] = {"sku": "{Item}"}
        rows, faults = self.take("Item,Grade,12 mm,15 mm,18 mm,25 mm\n\nBirch,BB/BB,61.90,68.00,,\n", mapping)
        self.assertEqual(len(rows), 1)
        self.assertEqual(len(faults), 1)
        self.assertTrue(faults[0].startswith("3: ") and "row 3" in faults[0], faults)
        # What is composed of is there.
        mapping["composed"] = {"sku": "{Itme}-{thickness}"}
        self.assertIn("list.csv has no column 'Itme'; is 'Item' meant?", self.take(text, mapping)[1][0])

    def test_merged_cells_and_formulas_without_a_result(self):
        book = openpyxl.Workbook()
        for row in (["Prices of March", None, None], ["No", "Size", "Price"], ["A1", "2500 x 1250", 79.5], ["A2", None, 60], ["A3", "2500 x 1250", "=60*1.1"],
                    ["A4", "2500 x 1250", 81]):
            book.active.append(row)
        book.active.merge_cells("A1:C1")
        book.active.merge_cells("B3:B4")
        book.save(self.folder / "list.xlsx")
        rows, faults = self.take(None, SIZES | {"header_row": 2}, "list.xlsx")
        self.assertEqual([row["sku"] for row in rows], ["A4"])
        self.assertEqual([fault.split(";")[0] for fault in faults],
                         ["3: the cells B3:B4 are merged, so that only the first of them says something",
                          "5: a formula of this row has no result in the file"])


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1])

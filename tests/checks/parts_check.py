"""Parts lists into projects and out again, written and read by other programs: openpyxl, and a spreadsheet made of its
bare XML (ECMA-376) here.

usage: parts_check.py AUMBRY PLUGINS CATALOGS SCHEMAS
"""
import csv
import io
import json
import shutil
import subprocess
import sys
import tempfile
import unittest
import zipfile
from pathlib import Path

import jsonschema
import openpyxl

AUMBRY, PLUGINS, CATALOGS, SCHEMAS = (Path(p).resolve() for p in sys.argv[1:5])

PROJECT = """{ "aumbry": 1, "title": "Kitchen", "currency": "EUR", "priced_on": "2027-02-10", "start": "2027-03-01",
  "parameters": { "inside": "900 mm - 2 * ply.thickness", "thick": "18 mm" },
  "materials": {
    "ply": { "class": "sheet", "title": "Birch plywood", "species": "birch", "grade": "BB/BB", "thickness": "thick" },
    "thin": { "class": "sheet", "title": "Birch plywood", "species": "birch", "grade": "BB/BB", "thickness": "6 mm" },
    "spruce": { "class": "solid", "species": "spruce" } },
  "lines": { }
}
"""
ROWS = [["name", "piece", "count", "length mm", "width mm", "thickness mm", "material", "edges", "grain"],
        ["Side", "Base cabinet", 2, 720, 560, 18, "Birch plywood", "front banded", "length"],
        ["Shelf", "Base cabinet", 3, 864, 540.5, 18, "Birch plywood", "front and left banded, back scribed", None],
        ["Back", "Base cabinet", 1, 720, 900, 6, "birch PLYWOOD", None, "any"],
        ["Rail", "Base cabinet", 2, 864, 70, 20, "spruce", None, None]]
# What those rows mean, written by hand.
LINES = {
    "side": {"kind": "panel", "piece": "base_cabinet", "title": "Side", "material": "ply", "from_list": "list", "count": 2,
             "length": "720 mm", "width": "560 mm", "grain": "length", "edges": "front banded"},
    "shelf": {"kind": "panel", "piece": "base_cabinet", "title": "Shelf", "material": "ply", "from_list": "list", "count": 3,
              "length": "864 mm", "width": "540.5 mm", "edges": "front and left banded, back scribed"},
    "back": {"kind": "panel", "piece": "base_cabinet", "title": "Back", "material": "thin", "from_list": "list", "count": 1,
             "length": "720 mm", "width": "900 mm", "grain": "any"},
    "rail": {"kind": "solid", "piece": "base_cabinet", "title": "Rail", "material": "spruce", "from_list": "list", "count": 2,
             "length": "864 mm", "width": "70 mm", "thickness": "20 mm"},
}
HEADER = "name,count,length mm,width mm,material\n"


def bare_xlsx(path, rows, merged=()):
    """The least that ECMA-376 asks for: no styles, no references of cells, a prefix for the namespace."""
    cells = []
    for row in rows:
        written = []
        for value in row:
            if value is None:
                written.append("<x:c/>")
            elif isinstance(value, (int, float)):
                written.append(f"<x:c><x:v>{value!r}</x:v></x:c>")
            else:
                written.append(f'<x:c t="inlineStr"><x:is><x:r><x:t>{value[:2]}</x:t></x:r><x:r><x:t xml:space="preserve">{value[2:]}'
                               "</x:t></x:r></x:is></x:c>")
        cells.append("<x:row>" + "".join(written) + "</x:row>")
    ranges = "".join(f'<x:mergeCell ref="{each}"/>' for each in merged)
    main = 'xmlns:x="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'
    relations = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_STORED) as archive:
        archive.writestr("xl/workbook.xml", f'<x:workbook {main} xmlns:r="{relations}"><x:sheets>'
                                            '<x:sheet name="Cut list" sheetId="1" r:id="rId7"/></x:sheets></x:workbook>')
        archive.writestr("xl/_rels/workbook.xml.rels",
                         '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
                         f'<Relationship Id="rId7" Type="{relations}/worksheet" Target="/xl/pages/one.xml"/></Relationships>')
        archive.writestr("xl/pages/one.xml", f'<x:worksheet {main}><x:sheetData>{"".join(cells)}</x:sheetData>'
                                             + (f"<x:mergeCells>{ranges}</x:mergeCells>" if ranges else "") + "</x:worksheet>")


class Parts(unittest.TestCase):
    def setUp(self):
        self.temporary = tempfile.TemporaryDirectory()
        self.folder = Path(self.temporary.name)
        self.project = self.folder / "kitchen.aumbry.json"
        self.project.write_text(PROJECT)

    def tearDown(self):
        self.temporary.cleanup()

    def run_command(self, *arguments, given=None):
        return subprocess.run([AUMBRY, *map(str, arguments), "--plugins", PLUGINS, "--catalogs", CATALOGS], cwd=self.folder,
                              capture_output=True, text=True, input=given, timeout=60)

    def take(self, *arguments, given=None, project=None, status=0):
        done = self.run_command("parts", project or self.project, "--in", *arguments, "--json", given=given)
        self.assertEqual(done.returncode, status, done.stdout + done.stderr)
        return json.loads(done.stdout)

    def refused(self, text, *arguments):
        """The sentences of the faults; the project stays as it was."""
        (self.folder / "list.csv").write_text(text)
        before = self.project.read_bytes()
        taken = self.take("list.csv", *arguments, status=1)
        self.assertEqual(self.project.read_bytes(), before)
        self.assertFalse(taken["written"])
        return [f"{each['row']} {each.get('column', '')}: {each['wrong']}; {each['right']}" for each in taken["faults"]]

    def lines(self, project=None):
        return json.loads((project or self.project).read_text())["lines"]

    def openpyxl_list(self, rows=ROWS, name="list.xlsx"):
        book = openpyxl.Workbook()
        for row in rows:
            book.active.append(row)
        book.save(self.folder / name)
        return book

    def csv_text(self, separator=","):
        text = io.StringIO()
        csv.writer(text, delimiter=separator).writerows(ROWS)
        return text.getvalue()

    # ---------------------------------------------------------------- in

    def test_one_list_from_four_writers_gives_the_same_lines(self):
        written = {}
        for name in ("openpyxl", "bare", "csv", "tabs"):
            project = self.folder / f"{name}.aumbry.json"
            project.write_text(PROJECT)
            if name == "openpyxl":
                self.openpyxl_list()
                taken = self.take("list.xlsx", project=project)
            elif name == "bare":
                bare_xlsx(self.folder / "list.xlsx", ROWS)
                taken = self.take("list.xlsx", project=project)
            elif name == "csv":
                (self.folder / "list.csv").write_text(self.csv_text())
                taken = self.take("list.csv", project=project)
            else:
                taken = self.take("-", "--list", "list", given=self.csv_text("\t"), project=project)
            self.assertEqual(taken["new"], ["side", "shelf", "back", "rail"], name)
            self.assertEqual(taken["pieces"], ["base_cabinet"])
            self.assertEqual(self.lines(project), LINES, name)
            written[name] = project.read_bytes()
        self.assertEqual(len(set(written.values())), 1)
        made = json.loads(written["csv"])
        self.assertEqual(made["pieces"], {"base_cabinet": {"title": "Base cabinet"}})
        jsonschema.validate(made, json.loads((SCHEMAS / "project.schema.json").read_text()))
        # Other bytes stay: the text without what was added is the text before.
        self.assertTrue(written["csv"].decode().startswith(PROJECT[:PROJECT.index('"lines"')]))
        priced = self.run_command("price", self.folder / "csv.aumbry.json")
        self.assertEqual(priced.returncode, 0, priced.stderr)

    def test_a_list_of_another_shape_through_a_mapping(self):
        book = openpyxl.Workbook()
        book.active.title = "Notes"
        book.active.sheet_state = "hidden"
        sheet = book.create_sheet("Onderdelen")
        for row in (["Keuken, onderdelen"], [], ["Onderdeel", "Stuks", "Lengte", "Breedte (cm)", "Plaat", "Kanten", "Opm."],
                    ["Onderkast"], ["Zijwand", "2 st.", 720, 56, "berk 18", "v", "x"],
                    ["Legplank", "3 st.", "864,5", "54,0", "berk 18", "v", None]):
            sheet.append(row)
        sheet["C5"].number_format = '0" mm"'
        book.save(self.folder / "keuken.xlsx")
        mapping = {"aumbry_parts": 1, "header_row": 3, "decimal": "comma", "row_needs": ["Stuks"],
                   "columns": {"Onderdeel": "name", "Stuks": "count", "Lengte": "length", "Breedte (cm)": "width", "Plaat": "material",
                               "Kanten": "edges"},
                   "units": {"length": "mm"}, "constants": {"piece": "Onderkast", "grain": "length"},
                   "words": {"material": {"berk 18": "ply"}, "edges": {"v": "front banded"}}, "remove": {"count": ["st."]}}
        (self.folder / "keuken.parts.json").write_text(json.dumps(mapping))
        jsonschema.validate(mapping, json.loads((SCHEMAS / "parts_mapping.schema.json").read_text()))
        taken = self.take("keuken.xlsx", "--mapping", "keuken.parts.json")
        self.assertEqual(taken["passed_over"], [4])
        lines = self.lines()
        self.assertEqual([lines["zijwand"][key] for key in ("count", "length", "width", "material", "edges")],
                         [2, "720 mm", "56 cm", "ply", "front banded"])
        self.assertEqual([lines["legplank"][key] for key in ("count", "length", "width")], [3, "864.5 mm", "54.0 cm"])

    def test_taken_in_again_it_changes_what_the_list_changed_and_keeps_what_the_maker_added(self):
        self.openpyxl_list()
        self.take("list.xlsx")
        text = self.project.read_text()
        # The maker writes a formula that comes to the same, a load, and a note.
        text = text.replace('"length": "864 mm",\n      "width": "540.5 mm"', '"length": "inside",  "load": { "mass": "20 kg" },\n      "width": "540.5 mm"')
        text = text.replace('"title": "Side"', '"title": "Side", "note": "best face out"')
        self.project.write_text(text)
        again = self.take("list.xlsx")
        self.assertEqual((again["changed"], again["unchanged"], again["new"], again["gone"]), ([], 4, [], []))
        self.assertEqual(self.project.read_text(), text)
        changed = [list(row) for row in ROWS]
        changed[1][3] = 730  # the sides are longer
        changed[1][7] = "all banded"
        changed[3][2] = 2
        changed[4] = ["Foot", "Base cabinet", 4, 100, 60, 60, "spruce", None, None]
        self.openpyxl_list(changed)
        looked = self.take("list.xlsx", "--dry-run")
        self.assertEqual(self.project.read_text(), text)
        taken = self.take("list.xlsx")
        self.assertEqual(taken["changed"], looked["changed"])
        self.assertEqual([(c["line"], c["field"], c["before"], c["after"]) for c in taken["changed"]],
                         [("side", "length", "720 mm", "730 mm"), ("side", "edges", "front banded", "all banded"), ("back", "count", "1", "2")])
        self.assertEqual((taken["new"], taken["gone"], taken["unchanged"]), (["foot"], ["rail"], 1))
        lines = self.lines()
        self.assertEqual(lines["side"]["note"], "best face out")
        self.assertEqual(lines["shelf"]["length"], "inside")
        self.assertEqual(lines["shelf"]["load"], {"mass": "20 kg"})
        self.assertIn("rail", lines)  # until it is dropped
        dropped = self.run_command("parts", self.project, "--in", "list.xlsx", "--drop-gone")
        self.assertIn("no longer in the list: rail; taken out", dropped.stdout)
        self.assertNotIn("rail", self.lines())
        # Lines of other lists and of the maker are none of its business.
        (self.folder / "other.csv").write_text("name,length mm,width mm,material,thickness mm\nSide,500,300,ply,18\n")
        other = self.take("other.csv")
        self.assertEqual((other["new"], other["gone"]), (["side_2"], []))

    def test_a_line_that_others_name_is_not_dropped(self):
        self.openpyxl_list()
        self.take("list.xlsx")
        self.project.write_text(self.project.read_text().replace('"864 mm",\n      "width": "540.5 mm"', '"rail.length",\n      "width": "540.5 mm"'))
        before = self.project.read_bytes()
        self.openpyxl_list(ROWS[:-1])
        done = self.run_command("parts", self.project, "--in", "list.xlsx", "--drop-gone")
        self.assertEqual(done.returncode, 1)
        self.assertIn("rail", done.stderr)
        self.assertEqual(self.project.read_bytes(), before)

    # ---------------------------------------------------------------- out

    def test_out_and_in_again_changes_nothing(self):
        for name in ("harbour-loft", "orchard-mudroom"):
            project = self.folder / f"{name}.aumbry.json"
            shutil.copy(CATALOGS / "projects" / project.name, project)
            document = json.loads(project.read_text())
            estimate = json.loads(self.run_command("price", project, "--json", "--effort", "draft").stdout)
            for ending in (".csv", ".xlsx"):
                file = self.folder / (name + ending)
                done = self.run_command("parts", project, "--out", file)
                self.assertEqual(done.returncode, 0, done.stderr)
                if ending == ".csv":
                    rows = list(csv.DictReader(file.read_text().splitlines()))
                else:
                    sheet = openpyxl.load_workbook(file).active
                    cells = list(sheet.iter_rows(values_only=True))
                    rows = [dict(zip(cells[0], row)) for row in cells[1:]]
                made_of_wood = [k for k, v in document["lines"].items() if v["kind"] in ("panel", "solid")]
                self.assertEqual([row["id"] for row in rows], made_of_wood)
                unit, factor = ("mm", 1.0) if document.get("length_unit", "mm") == "mm" else ("in", 25.4)
                lines = {line["id"]: line for line in estimate["lines"]}
                for row in rows:
                    fields = lines[row["id"]]["fields"]
                    self.assertAlmostEqual(float(row[f"length {unit}"]) * factor, fields["length"], delta=0.001)
                    self.assertEqual(int(row["count"]), lines[row["id"]]["count"])
                    self.assertEqual(row["material"], document["lines"][row["id"]]["material"])
                before = project.read_bytes()
                taken = self.take(file, project=project)
                self.assertEqual((taken["changed"], taken["new"], taken["unchanged"]), ([], [], len(rows)))
                self.assertEqual(project.read_bytes(), before)
            # And from the clipboard: the same rows with tabs.
            text = io.StringIO()
            csv.writer(text, delimiter="\t").writerows(csv.reader((self.folder / (name + ".csv")).read_text().splitlines()))
            self.assertEqual(self.take("-", given=text.getvalue(), project=project)["changed"], [])
        # Same input, same bytes.
        first = (self.folder / "harbour-loft.xlsx").read_bytes()
        self.run_command("parts", self.folder / "harbour-loft.aumbry.json", "--out", "again.xlsx")
        self.assertEqual((self.folder / "again.xlsx").read_bytes(), first)

    # ---------------------------------------------------------------- bad input

    def test_bad_rows_are_told_by_row_and_column(self):
        for rows, wrong in {
            "Side,two,720,560,ply\n": "2 count: ",
            "Side,1,720 x 560,560,ply\n": "2 length mm: ",
            "Side,1,720 kg,560,ply\n": "2 length mm: found a mass where a length is expected",
            "Side,1,\"720,5\",560,ply\n": "2 length mm: '720,5' has a comma where the decimal sign is a point",
            "Side,1,2.500,560,ply\n": "2 length mm: '2.500' may be meant with decimals or with thousands set apart",
            "Side,1,720,560,oak\n": "2 material: the project has no material 'oak'; it has ply (18 mm), thin (6 mm), spruce",
            "Side,1,720,560,Birch plywood\n": "2 material: several materials of the project are meant: ply, thin",
            ",1,720,560,ply\n": "2 name: the row has no name",
            "Side,1,,560,ply\n": "2 length mm: the part has no length",
            "Side,1,720,560,ply\nTotal,1,720,,\n": "3 name: this row adds others up and is no part; leave it out of the list",
            "Side,0,720,560,ply\n": "2 count: 0 is too small",
            "Side,1,720,560\n": "2 : 4 fields where the header has 5",
        }.items():
            faults = self.refused(HEADER + rows)
            self.assertEqual(len(faults), 1, faults)
            self.assertIn(wrong, faults[0])
        # All faults of a list come at once.
        self.assertEqual(len(self.refused(HEADER + "Side,two,720,560,ply\nSide,1,720,560,oak\n,1,1,1,ply\n")), 3)

    def test_sizes_have_units_and_thicknesses_agree(self):
        self.assertIn("2 length: '720' has no unit; write it into the heading, as 'length mm', or say --unit mm",
                      self.refused("name,length,width,material\nSide,720,560 mm,ply\n"))
        (self.folder / "list.csv").write_text("name,length,width,material\nSide,28 3/8,560 mm,ply\n")
        self.take("list.csv", "--unit", "in")
        self.assertEqual(self.lines()["side"]["length"], "28 3/8 in")
        self.project.write_text(PROJECT)
        self.assertIn("the material 'ply' is 18 mm thick, not 19 mm",
                      self.refused("name,length mm,width mm,thickness mm,material\nSide,720,560,19,ply\n")[0])

    def test_merged_cells_formulas_and_sums_of_a_spreadsheet(self):
        bare_xlsx(self.folder / "list.xlsx", ROWS[:4], merged=["G2:G3"])
        taken = self.take("list.xlsx", status=1)
        self.assertEqual([(f["row"], f["column"]) for f in taken["faults"]], [(2, "material")])
        self.assertIn("the cells G2:G3 are merged", taken["faults"][0]["wrong"])
        # Titles may be merged: they are above the list.
        book = openpyxl.Workbook()
        for row in ROWS:
            book.active.append(row)
        book.active.append(["In all", None, "=SUM(C2:C5)", None, None, None, None, None, None])
        book.active["D2"] = "=700+20"
        book.save(self.folder / "list.xlsx")
        taken = self.take("list.xlsx", status=1)
        self.assertEqual([(f["row"], f["code"]) for f in taken["faults"]], [(2, "no-result"), (6, "total-row")])
        self.assertEqual(self.project.read_text(), PROJECT)

    def test_files_that_are_no_list(self):
        (self.folder / "list.xlsx").write_bytes(b"PK\x03\x04 nothing of the kind")
        (self.folder / "empty.csv").write_text("")
        (self.folder / "words.csv").write_text("Onderdeel;Stuks\nZijwand;2\n")
        with zipfile.ZipFile(self.folder / "book.odt", "w") as archive:
            archive.writestr("content.xml", "<a/>")
        bare_xlsx(self.folder / "bomb.xlsx", ROWS)
        with zipfile.ZipFile(self.folder / "bomb.xlsx", "a", zipfile.ZIP_DEFLATED) as archive:
            archive.writestr("xl/sharedStrings.xml", b" " * (70 << 20))
        for name, sentence in {"list.xlsx": "list.xlsx: the archive cannot be read; save it as XLSX or CSV",
                               "book.odt": "book.odt: the archive holds no spreadsheet that can be read; save it as XLSX or CSV",
                               "bomb.xlsx": "bomb.xlsx: its part xl/sharedStrings.xml is too large; save the list alone",
                               "empty.csv": "empty.csv: the table is empty; begin it with a header row",
                               "words.csv": "words.csv: it has no column 'name'; give it that heading, or say in a mapping (--mapping) which "
                                            "column it is; its columns are Onderdeel, Stuks",
                               "none.csv": "none.csv: there is no such file"}.items():
            done = self.run_command("parts", self.project, "--in", name)
            self.assertEqual((done.returncode, done.stdout), (1, ""), name)
            self.assertTrue(done.stderr.startswith(sentence), done.stderr)
        self.assertEqual(self.run_command("parts", self.project, "--out", "list.txt").stderr,
                         "--out list.txt: its ending does not say what to write; name it .csv or .xlsx\n")


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1])

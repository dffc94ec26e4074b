"""Reads papers back with other programs and compares them with the estimate: PDF by pdftotext (Poppler), spreadsheets
by openpyxl, drawings by an XML parser.

usage: paper_check.py AUMBRY PLUGINS CATALOGS
"""
import functools
import json
import os
import re
import stat
import subprocess
import sys
import tempfile
import unittest
import xml.etree.ElementTree as XML
from collections import Counter
from decimal import Decimal
from pathlib import Path

import openpyxl

AUMBRY, PLUGINS, CATALOGS = (Path(p).resolve() for p in sys.argv[1:4])
PROJECTS = [CATALOGS / "projects" / f"{name}.aumbry.json" for name in ("harbour-loft", "orchard-mudroom")]
SVG = "{http://www.w3.org/2000/svg}"


def run(*arguments):
    return subprocess.run([str(AUMBRY), *map(str, arguments), "--plugins", str(PLUGINS), "--effort", "draft"],
                          capture_output=True, timeout=120)


def good(*arguments):
    done = run(*arguments)
    assert done.returncode == 0, done.stderr.decode()
    return done.stdout


@functools.cache
def document(name, project):
    """Of a demo, which no test changes: run once."""
    return json.loads(good(name, project, "--json"))


def words_of(pdf):
    """The text of a PDF, every run of spaces and line ends one space."""
    text = subprocess.run(["pdftotext", "-layout", pdf, "-"], capture_output=True, check=True).stdout.decode()
    return " ".join(text.split())


class Word:
    """A word on a page as pdftotext finds it, mm from the upper left corner. Its box is as high as the face's tallest
    letters; what ink covers is about the middle two thirds."""

    def __init__(self, node):
        x0, y0, x1, y1 = (float(node.get(k)) * 25.4 / 72 for k in ("xMin", "yMin", "xMax", "yMax"))
        self.text = node.text or ""
        self.turned = len(self.text) > 1 and y1 - y0 > (x1 - x0) * 1.2
        spare = (x1 - x0 if self.turned else y1 - y0) * 0.17
        self.x0, self.x1 = (x0 + spare, x1 - spare) if self.turned else (x0, x1)
        self.y0, self.y1 = (y0, y1) if self.turned else (y0 + spare, y1 - spare)

    def meets(self, other):
        return (min(self.x1, other.x1) - max(self.x0, other.x0) > 0.25
                and min(self.y1, other.y1) - max(self.y0, other.y0) > 0.25)


def pages_of(pdf):
    """Of every page its width and height in mm and its words."""
    html = subprocess.run(["pdftotext", "-bbox", pdf, "-"], capture_output=True, check=True).stdout
    pages = []
    for page in XML.fromstring(html).iter("{http://www.w3.org/1999/xhtml}page"):
        size = tuple(float(page.get(k)) * 25.4 / 72 for k in ("width", "height"))
        pages.append((*size, [Word(w) for w in page.iter("{http://www.w3.org/1999/xhtml}word")]))
    return pages


def collisions(words):
    """Pairs of words that lie on one another."""
    words = sorted(words, key=lambda w: w.x0)
    found = []
    for i, word in enumerate(words):
        for other in words[i + 1:]:
            if other.x0 > word.x1:
                break
            if word.meets(other):
                found.append((word.text, other.text))
    return found


def grouped(amount):
    whole, point, rest = amount.partition(".")
    return f"{int(whole):,}".replace(",", " ") + point + rest


class Papers(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.folder = Path(folder.name)

    def test_cutting_plans_on_paper_are_those_of_the_estimate(self):
        for project in PROJECTS:
            e = document("price", project)
            pdf = self.folder / "cut.pdf"
            good("cut", project, "--pdf", pdf)
            text = words_of(pdf)
            titles = {line["id"]: line["title"] for line in e["lines"]}
            for plan in e["cutting_plans"]:
                for place in plan["placements"]:
                    with self.subTest(project.stem, line=place["line"]):
                        self.assertIn(" ".join(titles[place["line"]].split()[:2]), text)
            for number in range(1, len(e["cutting_plans"]) + 1):
                self.assertIn(f"S{number}", text)
            for number in range(1, len(e["board_plans"]) + 1):
                self.assertIn(f"B{number}", text)
            if project.stem.startswith("harbour"):  # sizes in mm to a tenth, as pdftotext gives them back
                for plan in e["cutting_plans"]:
                    for place in plan["placements"]:
                        size = (f"{place['length']:g} x {place['width']:g}", f"{place['width']:g} x {place['length']:g}")
                        self.assertTrue(size[0] in text or size[1] in text, size)

    def test_a_sheet_is_one_page_with_all_that_belongs_to_it(self):
        for project in PROJECTS:
            e = document("price", project)
            pdf = self.folder / "cut.pdf"
            good("cut", project, "--pdf", pdf)
            pages = pages_of(pdf)
            for number, plan in enumerate(e["cutting_plans"], 1):
                own = [words for _, _, words in pages if words[0].text == f"S{number}"]
                with self.subTest(project.stem, sheet=number):
                    self.assertEqual(len(own), 1)
                    texts = Counter(word.text for word in own[0])
                    for cut in range(1, len(plan["cuts"]) + 1):  # on the drawing and in the list
                        self.assertGreaterEqual(texts[str(cut)], 2, cut)
                    self.assertIn("Parts", texts)

    def test_all_cuts_are_numbered_on_the_drawing_and_pieces_have_letters_of_their_own(self):
        for project in PROJECTS:
            e = document("price", project)
            folder = self.folder / project.stem
            good("cut", project, "--svg", folder)
            for plan, file in zip(e["cutting_plans"], sorted(folder.glob("sheet-*.svg"))):
                nodes = list(XML.parse(file).getroot())
                marked = {role: [nodes[i + 1].text for i, node in enumerate(nodes) if node.get("class") == role]
                          for role in ("cut-number", "letter")}
                with self.subTest(project.stem, file=file.name):
                    self.assertEqual(sorted(map(int, marked["cut-number"])), list(range(1, len(plan["cuts"]) + 1)))
                    self.assertEqual(len(set(marked["letter"])), len(marked["letter"]))
                    self.assertTrue(marked["letter"] or not plan["cuts"])

    def test_text_stands_on_the_page_and_not_on_other_text(self):
        for project in PROJECTS:
            pack = self.folder / "job-pack.pdf"
            cut = self.folder / "cut.pdf"
            good("jobpack", project, "--pdf", pack)
            good("cut", project, "--pdf", cut)
            good("order", project, "--pdf", self.folder / project.stem)
            for pdf in (pack, cut, *sorted((self.folder / project.stem).glob("*.pdf"))):
                for number, (width, height, words) in enumerate(pages_of(pdf), 1):
                    with self.subTest(project.stem, file=pdf.name, page=number):
                        for word in words:  # 4.2 mm: what common printers leave free
                            self.assertTrue(word.x0 >= 4.2 and word.y0 >= 4.2 and word.x1 <= width - 4.2
                                            and word.y1 <= height - 4.2, word.text)
                        self.assertEqual(collisions(words), [])

    def test_labels_keep_clear_of_the_edges_of_sheets_and_of_one_another(self):
        # Columns, rows, width and height of a label in mm, as such sheets are sold.
        sheets = {"a4-2x4": (2, 4, 99.1, 67.7), "a4-2x7": (2, 7, 99.1, 38.1), "a4-3x7": (3, 7, 63.5, 38.1),
                  "a4-3x8": (3, 8, 70, 36), "letter-2x3": (2, 3, 101.6, 84.7), "letter-2x5": (2, 5, 101.6, 50.8),
                  "letter-2x7": (2, 7, 101.6, 33.9), "letter-3x10": (3, 10, 66.7, 25.4), "single": (1, 1, 100, 62)}
        for project in PROJECTS:
            e = document("price", project)
            labels = sum(p["copies"] * (len(p["placements"]) + sum(o.get("keep", False) for o in p["offcuts"]))
                         for p in e["cutting_plans"])
            for name, (across, down, wide, high) in sheets.items():
                pdf = self.folder / f"{name}.pdf"
                good("labels", project, "--pdf", pdf, "--sheet", name)
                pages = pages_of(pdf)
                free = 2 if name == "single" else 4.2
                with self.subTest(project.stem, sheet=name):
                    self.assertGreaterEqual(len(pages) * across * down, labels)
                    for width, height, words in pages:
                        self.assertEqual(collisions(words), [])
                        for word in words:
                            self.assertTrue(word.x0 >= free and word.y0 >= free and word.x1 <= width - free
                                            and word.y1 <= height - free, word.text)
                        for word in words:  # within the row that it begins in
                            top = (height - down * high) / 2
                            row = int((word.y0 - top) / high)
                            self.assertLessEqual(word.y1, top + (row + 1) * high + 0.6, word.text)

    def test_labels_on_a_sheet_of_ones_own_or_a_sentence_why_not(self):
        pdf = self.folder / "own.pdf"
        good("labels", PROJECTS[0], "--pdf", pdf, "--paper", "Letter", "--across", 2, "--down", 4, "--width", "4 in",
             "--height", "2 1/2 in", "--left", "1/4 in", "--top", "1/2 in", "--gap-x", "0 in")
        self.assertAlmostEqual(pages_of(pdf)[0][0], 215.9, delta=0.1)
        for words, told in ((("--sheet", "a4-9x9"), "choose one of"), (("--width", "200 mm"), "do not fit the paper"),
                            (("--height", "10 mm"), "smaller than 30 x 15 mm"), (("--left", "2 kg"), "length")):
            done = run("labels", PROJECTS[0], "--pdf", pdf, *words)
            self.assertEqual(done.returncode, 1, words)
            self.assertIn(told, " ".join(done.stderr.decode().split()))

    def test_an_offcut_that_is_kept_has_its_label(self):
        for project in PROJECTS:
            e = document("price", project)
            pdf = self.folder / "labels.pdf"
            good("labels", project, "--pdf", pdf)
            kept = sum(p["copies"] * sum(o.get("keep", False) for o in p["offcuts"]) for p in e["cutting_plans"])
            self.assertEqual(words_of(pdf).split().count("Offcut"), kept)

    def test_a_job_in_inches_shows_nothing_metric(self):
        project = next(p for p in PROJECTS if p.stem.startswith("orchard"))
        metric = re.compile(r"[0-9] ?(mm|cm|m|m2|m3|kg|g|L|ml|N|litres?)(?![A-Za-z0-9/])")
        texts = {verb: good(verb, project).decode() for verb in ("price", "cut", "plan", "order", "quote", "compare")}
        texts["price --full"] = good("price", project, "--full").decode()
        for verb in ("cut", "labels", "jobpack", "quote"):
            good(verb, project, "--pdf", self.folder / "paper.pdf")
            texts[verb + " --pdf"] = words_of(self.folder / "paper.pdf")
        for name, text in texts.items():
            with self.subTest(name):
                self.assertEqual([text[max(0, m.start() - 40):m.end()] for m in metric.finditer(text)], [])
                # A rule is read to 1/32; finer only what is thinner than 1/4 in.
                self.assertEqual(re.findall(r"[0-9]+ [0-9]+/64", text), [])

    def test_every_part_has_its_label(self):
        for project in PROJECTS:
            e = document("price", project)
            pdf = self.folder / "labels.pdf"
            good("labels", project, "--pdf", pdf)
            raw = subprocess.run(["pdftotext", pdf, "-"], capture_output=True, check=True).stdout.decode()
            from_sheets = sum(line.rstrip().split(", from ")[-1].startswith("S")
                              for line in raw.splitlines() if ", from " in line)
            with self.subTest(project.stem):
                self.assertEqual(from_sheets,
                                 sum(p["copies"] * len(p["placements"]) for p in e["cutting_plans"]))

    def test_drawings_are_to_scale(self):
        for project in PROJECTS:
            e = document("price", project)
            folder = self.folder / project.stem
            good("cut", project, "--svg", folder)
            files = sorted(folder.glob("sheet-*.svg"))
            self.assertEqual(len(files), len(e["cutting_plans"]))
            for plan, file in zip(e["cutting_plans"], files):
                root = XML.parse(file).getroot()
                boxes = {role: [tuple(float(r.get(k)) for k in ("x", "y", "width", "height"))
                                for r in root.iter(SVG + "rect") if r.get("class") == role]
                         for role in ("sheet", "part")}
                x, y, width, height = boxes["sheet"][0]
                scale = width / plan["sheet"]["length"]
                with self.subTest(project.stem, file=file.name):
                    self.assertAlmostEqual(height, plan["sheet"]["width"] * scale, delta=0.01)
                    wanted = Counter((round(x + p["x"] * scale, 1), round(y + p["y"] * scale, 1))
                                     for p in plan["placements"])
                    drawn = Counter((round(b[0], 1), round(b[1], 1)) for b in boxes["part"])
                    self.assertEqual(len(boxes["part"]), len(plan["placements"]))
                    self.assertLessEqual(sum((wanted - drawn).values()), len(plan["placements"]) // 10 + 1)
                    area = sum(b[2] * b[3] for b in boxes["part"]) / scale ** 2
                    self.assertAlmostEqual(area / sum(p["length"] * p["width"] for p in plan["placements"]), 1,
                                           delta=0.003)

    def test_orders_as_pdf_name_every_position_and_the_total(self):
        for project in PROJECTS:
            folder = self.folder / project.stem
            good("order", project, "--pdf", folder)
            for order in document("order", project)["orders"]:
                file = next(f for f in folder.glob("*.pdf") if order["name"] in words_of(f)
                            and f.name != "to-collect.pdf")
                text = words_of(file)
                with self.subTest(project.stem, supplier=order["supplier"]):
                    self.assertIn(f"Total, {document('price', project)['currency']} {grouped(order['total'])}", text)
                    for position in order["positions"]:
                        self.assertIn(grouped(position["amount"]), text)
                        if position.get("sku"):
                            self.assertIn(position["sku"], text)
                    for sheet in order["sheets_to_cut"]:
                        self.assertIn(f"{sheet['copies']} x {sheet['sku']}", text)

    def test_spreadsheets_open_elsewhere_and_add_up_to_the_order(self):
        for project in PROJECTS:
            folder = self.folder / project.stem
            good("order", project, "--xlsx", folder)
            totals = sorted(Decimal(o["total"]) for o in document("order", project)["orders"])
            read = []
            for file in folder.glob("*.xlsx"):
                sheet = openpyxl.load_workbook(file).active
                rows = [row for row in sheet.iter_rows(values_only=True)]
                head = next(i for i, row in enumerate(rows) if row[0] == "position")
                last = next(i for i, row in enumerate(rows) if row[2] == "Total")
                amounts = [Decimal(str(row[7])).quantize(Decimal("0.01")) for row in rows[head + 1:last]]
                self.assertEqual(rows[last][7], f"=SUM(H{head + 2}:H{last})")
                shown = openpyxl.load_workbook(file, data_only=True).active.cell(last + 1, 8).value
                self.assertEqual(sum(amounts), Decimal(str(shown)).quantize(Decimal("0.01")))
                read.append(sum(amounts))
            self.assertEqual(sorted(read), totals)

    def test_amounts_of_a_spreadsheet_have_the_decimals_of_their_currency(self):
        # ISO 4217: the yen has no minor unit.
        project = self.folder / "yen.aumbry.json"
        project.write_text(json.dumps({
            "aumbry": 1, "title": "Yen", "currency": "JPY", "length_unit": "mm", "priced_on": "2027-02-01",
            "start": "2027-03-01",
            "lines": {"hooks": {"kind": "item", "count": 3, "price": "340", "quoted_by": "Somebody"}}}))
        good("order", project, "--xlsx", self.folder / "yen", "--catalogs", CATALOGS)
        sheet = openpyxl.load_workbook(next((self.folder / "yen").glob("*.xlsx"))).active
        formats = {cell.number_format for row in sheet.iter_rows() for cell in row if cell.column == 8 and cell.value}
        self.assertIn("#,##0", formats)
        self.assertFalse([f for f in formats if "." in f])

    def test_a_pipe_is_written_to_and_stays(self):
        pipe = self.folder / "pipe"
        os.mkfifo(pipe)
        reader = subprocess.Popen(["cat", str(pipe)], stdout=subprocess.PIPE)
        done = run("plan", PROJECTS[0], "--ics", pipe)
        if not stat.S_ISFIFO(pipe.lstat().st_mode):
            reader.kill()
        text = reader.communicate(timeout=60)[0]
        self.assertEqual(done.returncode, 0, done.stderr.decode())
        self.assertTrue(stat.S_ISFIFO(pipe.lstat().st_mode))
        self.assertTrue(text.startswith(b"BEGIN:VCALENDAR"))

    def test_quote_on_paper_shows_prices_and_no_supplier(self):
        for project in PROJECTS:
            quote = document("quote", project)
            pdf = self.folder / "quote.pdf"
            good("quote", project, "--pdf", pdf)
            text = words_of(pdf)
            with self.subTest(project.stem):
                for part in quote["parts"]:
                    self.assertIn(grouped(part["price"]), text)
                self.assertIn(grouped(quote["total"]), text)
                for stage in quote["stages"]:
                    self.assertIn(grouped(stage["amount"]), text)
                for order in document("price", project)["orders"]:
                    self.assertNotIn(order["name"], text)

    def test_the_job_pack_holds_steps_coatings_plans_labels_and_warnings(self):
        for project in PROJECTS:
            e = document("price", project)
            pdf = self.folder / "job-pack.pdf"
            good("jobpack", project, "--pdf", pdf)
            text = words_of(pdf)
            with self.subTest(project.stem):
                for heading in ("Safety", "Watch out", "Steps in order", "Coatings", "Before you cut", "In the workshop, in order"):
                    self.assertIn(heading, text)
                for finding in e["findings"]:
                    if finding["severity"] != "note":
                        self.assertIn(" ".join(finding["text"].split()[:4]), text)

    def test_same_input_gives_the_same_papers(self):
        for project in PROJECTS:
            for name, ending in (("cut", "pdf"), ("labels", "pdf"), ("quote", "pdf"), ("jobpack", "pdf")):
                files = [self.folder / f"{name}-{i}.{ending}" for i in (1, 2)]
                for file in files:
                    good(name, project, "--pdf", file)
                self.assertEqual(files[0].read_bytes(), files[1].read_bytes(), name)
            folders = [self.folder / f"{project.stem}-{i}" for i in (1, 2)]
            for folder in folders:
                good("order", project, "--xlsx", folder, "--csv", folder, "--pdf", folder)
            for file in folders[0].iterdir():
                self.assertEqual(file.read_bytes(), (folders[1] / file.name).read_bytes(), file.name)

    def test_a_place_that_cannot_be_written_is_said_in_one_sentence(self):
        blocked = self.folder / "file"
        blocked.write_text("here")
        for words in (("cut", PROJECTS[0], "--pdf", blocked / "cut.pdf"), ("cut", PROJECTS[0], "--svg", blocked),
                      ("order", PROJECTS[0], "--pdf", blocked / "orders")):
            done = run(*words)
            with self.subTest(words):
                self.assertEqual(done.returncode, 1)
                self.assertEqual(len([l for l in done.stderr.decode().splitlines() if str(blocked) in l]), 1)
                self.assertEqual(blocked.read_text(), "here")


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1] + sys.argv[4:])

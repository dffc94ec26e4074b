"""Makes projects as a new maker does, on a terminal and by options: what is asked, what is kept, what is refused.

usage: new_check.py AUMBRY PLUGINS CATALOGS
"""
import json
import os
import pty
import select
import subprocess
import sys
import tempfile
import time
import unittest
from decimal import Decimal
from pathlib import Path

AUMBRY, PLUGINS, CATALOGS = (Path(p).resolve() for p in sys.argv[1:4])
DATES = ("--priced-on", "2027-02-10", "--start", "2027-03-01")


class New(unittest.TestCase):
    def setUp(self):
        self.folder = tempfile.TemporaryDirectory()
        self.home = Path(self.folder.name)
        self.environment = {k: v for k, v in os.environ.items() if not k.startswith("XDG_")} | {"HOME": str(self.home)}

    def tearDown(self):
        self.folder.cleanup()

    def run_command(self, *arguments):
        return subprocess.run([AUMBRY, *map(str, arguments)], cwd=self.home, env=self.environment, capture_output=True, text=True,
                              stdin=subprocess.DEVNULL, timeout=60)

    def on_a_terminal(self, answers, *arguments):
        """Answers each question as it is asked; returns (exit status, the questions, all that was printed)."""
        child, terminal = pty.fork()
        if child == 0:
            os.chdir(self.home)
            os.execve(AUMBRY, ["aumbry", *map(str, arguments)], self.environment | {"NO_COLOR": "1"})
        printed, answered, questions = "", 0, []
        waiting = list(answers)
        end = time.monotonic() + 60
        while time.monotonic() < end:
            ready, _, _ = select.select([terminal], [], [], 0.2)
            if ready:
                try:
                    part = os.read(terminal, 4096).decode()
                except OSError:  # Linux: the other side is gone
                    break
                if not part:
                    break
                printed += part
            last = printed.rsplit("\n", 1)[-1]
            if last.endswith(": ") and len(printed) > answered:
                questions.append(last)
                os.write(terminal, (waiting.pop(0) + "\n").encode())
                answered = len(printed) + 1
        return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]), questions, printed.replace("\r\n", "\n")

    def project(self, name="job.aumbry.json"):
        return json.loads((self.home / name).read_text())

    def test_ten_questions_the_first_time_and_two_the_next(self):
        answers = ["EUR", "", "fourty", "46.00", "31.00", "21", "2.4 mm", "1900 mm x 1050 mm", str(CATALOGS), "solid masonry", "plinth"]
        status, questions, printed = self.on_a_terminal(answers, "new", "job.aumbry.json", *DATES)
        self.assertEqual(status, 0, printed)
        self.assertEqual(len(questions), 11, printed)  # ten, of which one was answered by no amount
        self.assertIn("'fourty' is not a decimal number; write digits", printed)
        made = self.project()
        self.assertEqual(made["currency"], "EUR")
        self.assertEqual(made["length_unit"], "mm")
        self.assertEqual(made["pricing"], {"rate": "46.00", "tax_charged": 21})
        self.assertEqual(made["people"]["helper"]["rate"], "31.00")
        self.assertEqual(made["workshop"], {"kerf": "2.4 mm", "wall": "solid masonry"})
        self.assertEqual(made["vehicle"], {"length": "1900 mm", "width": "1050 mm"})
        self.assertIn("plinth_front", made["lines"])
        # Suppliers who sell in dollars would be left out with a caution each time.
        self.assertIn("orchard-hardware", made["suppliers"]["exclude"])
        self.assertNotIn("sluis-tools", made["suppliers"]["exclude"])
        kept = json.loads((self.home / ".config/aumbry/maker.json").read_text())
        self.assertEqual(kept["rate"], "46.00")
        self.assertNotIn("wall", kept)
        self.assertEqual(kept["catalogs"], [str(CATALOGS)])

        status, questions, printed = self.on_a_terminal(["", ""], "new", "next.aumbry.json", *DATES)
        self.assertEqual((status, len(questions)), (0, 2), printed)
        self.assertEqual(self.project("next.aumbry.json")["vehicle"], made["vehicle"])
        self.assertEqual(self.project("next.aumbry.json")["title"], "next")
        # The kept catalogs serve also where none stand above the project.
        estimate = self.run_command("price", "job.aumbry.json", "--effort", "draft", "--json", "--plugins", PLUGINS)
        self.assertEqual(estimate.returncode, 0, estimate.stderr)
        self.assertEqual([f["text"] for f in json.loads(estimate.stdout)["findings"] if f["severity"] == "problem"], [])

    def test_a_room_of_four_pieces_in_at_most_twelve_commands(self):
        """From nothing to orders: what a maker types for a wardrobe, a window bench and a fold-up bed beside a bookcase."""
        commands = [("new", "room.aumbry.json", "--yes", "--currency", "EUR", "--rate", "46.00", "--helper", "31.00", "--tax", "21", "--wall", "solid masonry",
                     "--vehicle", "2500 mm x 1400 mm", "--catalogs", CATALOGS, *DATES)]
        pieces = ("wardrobe", "window-bench", "fold-up-bed", "open-bookcase")
        commands += [("add", "room.aumbry.json", piece) for piece in pieces]
        commands += [(verb, "room.aumbry.json") for verb in ("price", "plan")]
        commands += [("cut", "room.aumbry.json", "--pdf", "cut.pdf"), ("order", "room.aumbry.json", "--pdf", "orders"),
                     ("quote", "room.aumbry.json", "--pdf", "quote.pdf"), ("jobpack", "room.aumbry.json", "--pdf", "job.pdf")]
        self.assertLessEqual(len(commands), 12)
        for command in commands:
            done = self.run_command(*command)
            self.assertEqual(done.returncode, 0, f"{command}: {done.stdout}{done.stderr}")
        for paper in ("cut.pdf", "quote.pdf", "job.pdf", "orders/to-collect.pdf"):
            self.assertEqual((self.home / paper).read_bytes()[:5], b"%PDF-")
        e = json.loads(self.run_command("price", "room.aumbry.json", "--json").stdout)
        self.assertEqual([piece["id"] for piece in e["by_piece"] if piece["id"]], [piece.replace("-", "_") for piece in pieces])
        # Each piece costs wood and work, and all of it adds up.
        for piece in e["by_piece"]:
            if piece["id"]:
                self.assertGreater(Decimal(piece["totals"]["goods"]), 100, piece)
                self.assertGreater(Decimal(piece["totals"]["labour"]), 100, piece)
        total = Decimal(e["totals"]["total"])
        self.assertEqual(sum(Decimal(piece["totals"]["total"]) for piece in e["by_piece"]), total)
        self.assertEqual(sum(Decimal(value) for key, value in e["totals"].items() if key != "total"), total)
        self.assertIn(f"{total:,}".replace(",", " "), self.run_command("price", "room.aumbry.json").stdout)
        self.assertTrue(not any(line.get("not_priced") for line in e["lines"]), e["lines"])

    def test_options_and_yes_ask_nothing(self):
        done = self.run_command("new", "job.aumbry.json", "--yes", "--currency", "USD", "--rate", "58.00", "--catalogs", CATALOGS, *DATES)
        self.assertEqual(done.returncode, 0, done.stderr)
        made = self.project()
        self.assertEqual((made["length_unit"], made["workshop"]["kerf"]), ("in", "1/8 in"))
        self.assertIn("What the wall is made of is not known", done.stdout)
        self.assertIn("aumbry add job.aumbry.json PIECE", done.stdout)
        # Every section is there in its usual order, to be filled.
        self.assertEqual(list(made)[-6:], ["parameters", "materials", "pieces", "lines", "tasks", "checks"])

    def test_four_pieces_are_work_for_one_helper(self):
        """Whoever screws a wardrobe to the wall was counted as lifting it, and a panel as hung with its mattress: three people.
        25 kg a person, HSE INDG143."""
        def problems(pieces, *options):
            file = self.home / f"{len(pieces)}{len(options)}.aumbry.json"
            (self.home / ".config/aumbry/maker.json").unlink(missing_ok=True)
            made = self.run_command("new", file, "--yes", "--currency", "EUR", "--unit", "mm", "--wall", "solid masonry",
                                    "--catalogs", CATALOGS, *DATES, *options)
            self.assertEqual(made.returncode, 0, made.stderr)
            for piece in pieces:
                self.assertEqual(self.run_command("add", file, piece).returncode, 0)
            priced = self.run_command("price", file, "--json", "--effort", "draft")
            self.assertEqual(priced.returncode, 0, priced.stderr)
            return [f["text"] for f in json.loads(priced.stdout)["findings"] if f["severity"] == "problem"]

        four = ("wardrobe", "window-bench", "fold-up-bed", "open-bookcase")
        self.assertEqual(problems(four, "--rate", "46.00", "--helper", "30.00"), [])
        # Alone it cannot be done, and that is said; what one can do alone is done alone.
        alone = problems(four)
        self.assertTrue(alone)
        self.assertFalse([text for text in alone if "find the structure and fix" in text])
        self.assertEqual(problems(("floating-shelf", "drawer-box")), [])

    def test_times_of_ones_own_are_named_in_every_new_project(self):
        (self.home / "mine.json").write_text('{ "aumbry_times": 1, "sheet_goods": { "minutes_a_part": "5 min" } }')
        for name, options in (("first", ("--times", "mine.json", "--currency", "EUR")), ("second", ())):
            made = self.run_command("new", f"{name}.aumbry.json", "--yes", "--catalogs", CATALOGS, *DATES, *options)
            self.assertEqual(made.returncode, 0, made.stderr)
            self.assertEqual(self.project(f"{name}.aumbry.json")["times"], "mine.json")

    def test_what_cannot_be_is_said_and_nothing_is_written(self):
        def refused(*options):
            done = self.run_command("new", "job.aumbry.json", "--yes", "--catalogs", CATALOGS, *(DATES if "--start" not in options else DATES[:2]), *options)
            self.assertEqual((done.returncode, done.stdout), (1, ""), done.stderr)
            self.assertFalse((self.home / "job.aumbry.json").exists())
            self.assertFalse((self.home / ".config").exists())
            return done.stderr

        self.assertIn("--kerf: found a mass where a length is expected", refused("--kerf", "2 kg"))
        self.assertIn("--vehicle: '1900 mm' is no length and width; write it as '1900 mm x 1050 mm'", refused("--vehicle", "1900 mm"))
        self.assertIn("--currency: ", refused("--currency", "EUROS"))
        self.assertIn("--wall: ", refused("--wall", "cheese"))
        self.assertIn("--start: ", refused("--start", "2027-02-30"))
        self.assertIn("--rate: ", refused("--rate", "4,50"))
        self.assertIn("--unit: unknown length unit 'cm'; write mm or in", refused("--unit", "cm"))
        self.assertIn("the library has no piece 'plint'; did you mean 'plinth'?", refused("--piece", "plint"))
        (self.home / "job.aumbry.json").write_text("mine")
        done = self.run_command("new", "job.aumbry.json", "--yes")
        self.assertEqual(done.returncode, 1)
        self.assertIn("there is such a file already", done.stderr)
        self.assertEqual((self.home / "job.aumbry.json").read_text(), "mine")
        done = self.run_command("new", "other.aumbry.json")
        self.assertEqual(done.returncode, 1)
        self.assertIn("nobody is there to answer questions; give --yes", done.stderr)


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1])

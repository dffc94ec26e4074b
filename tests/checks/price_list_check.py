"""Price lists that other programs wrote: Python's codecs and iconv encode them, Python's csv module reads what is written.

usage: price_list_check.py AUMBRY PLUGINS
"""
import csv
import json
import resource
import signal
import subprocess
import sys
import tempfile
from pathlib import Path

aumbry, plugins = (Path(p).resolve() for p in sys.argv[1:3])

# Letters of Latin-1; with Windows-1252 also what it puts where Latin-1 has control characters.
LATIN = ["Sperrholz für Möbel, ½ Tafel", "Contreplaqué \"hêtre\"", "Tríplex de chopo ñ, 18 mm ±0,3", "Bøgefinér åben Æ Ø"]
WINDOWS = LATIN + ["Birch – “select”, 18 mm", "Œuvre € 5, š ž"]
ANY = WINDOWS + ["Sklejka brzozowa Łódź ąęćż", "Φανέρα 3/4″", "白樺合板 18 mm"]

TERMS = {"name": "Quay Timber", "invented": True, "currency": "EUR", "tax_percent": "21", "delivery": {"flat": "35.00"}, "length_unit": "mm"}
MAPPING = {
    "aumbry_mapping": 1,
    "list": "plywood.csv",
    "header_row": 2,
    "decimal": "comma",
    "columns": {"Nr": "sku", "Text": "description", "Preis": "price", "Dicke": "thickness", "Länge": "length", "Breite": "width"},
    "constants": {"class": "sheet", "species": "birch", "price_unit": "each"},
}


def run(status, *words):
    done = subprocess.run([str(aumbry), *map(str, words), "--plugins", str(plugins)], capture_output=True, text=True, timeout=60)
    assert done.returncode == status, f"{words}: exit status {done.returncode}\n{done.stdout}\n{done.stderr}"
    return done.stdout


def by_python(file, text, encoding):
    file.write_bytes(text.encode(encoding))


def by_iconv(file, text, encoding):
    done = subprocess.run(["iconv", "-f", "UTF-8", "-t", encoding], input=text.encode(), capture_output=True, timeout=60)
    assert done.returncode == 0, done.stderr
    file.write_bytes(done.stdout)


def spreadsheet(texts, separator, line_end):
    class Dialect(csv.excel):
        delimiter = separator
        lineterminator = line_end

    rows = [["Preisliste März", "", "", "", "", ""], ["Nr", "Text", "Preis", "Dicke", "Länge", "Breite"]]
    rows += [[f"N{n}", text, f"{60 + n},5", "18", "2500", "1250"] for n, text in enumerate(texts)]
    out = []
    csv.writer(type("Sink", (), {"write": lambda self, line: out.append(line)})(), Dialect).writerows(rows)
    return "".join(out)


def is_read_right(folder, write, encoding, texts, separator, line_end, latin1):
    where = f"{write.__name__} {encoding} {separator!r} {line_end!r}"
    supplier = folder / "suppliers" / "quay"
    supplier.mkdir(parents=True)
    (supplier / "supplier.json").write_text(json.dumps(TERMS))
    (folder / "quay.mapping.json").write_text(json.dumps(MAPPING))
    write(folder / "list.csv", spreadsheet(texts, separator, line_end), encoding)
    report = json.loads(run(0, "catalog", "import", folder / "list.csv", "--mapping", folder / "quay.mapping.json", "--into", supplier, "--json"))
    assert report["rows"] == len(texts), f"{where}: {report}"
    assert any("Latin-1" in note for note in report["notes"]) == latin1, f"{where}: {report['notes']}"
    with open(supplier / "plywood.csv", encoding="utf-8", newline="") as file:
        written = list(csv.DictReader(file))
    assert [row["description"] for row in written] == texts, f"{where}: {written}"
    assert [row["price"] for row in written] == [f"{60 + n}.5" for n in range(len(texts))], where

    # A list in that encoding may also lie in the supplier's folder as it is.
    own = "sku;class;description;price;species;thickness;length;width".replace(";", separator) + line_end
    for n, text in enumerate(texts):
        cell = '"' + text.replace('"', '""') + '"'
        own += separator.join([f"M{n}", "sheet", cell, "60.50", "birch", "18 mm", "2500 mm", "1250 mm"]) + line_end
    (supplier / "plywood.csv").unlink()
    write(supplier / "own.csv", own, encoding)
    check = json.loads(run(0, "catalog", "check", folder, "--json"))
    assert check["faults"] == [], f"{where}: {check['faults']}"
    assert check["suppliers"][0]["skus"] == len(texts), where
    assert any("Latin-1" in note for note in check["notes"]) == latin1, where


cases = [
    (by_python, "iso-8859-1", LATIN, True),
    (by_python, "cp1252", WINDOWS, True),
    (by_python, "utf-8", ANY, False),
    (by_python, "utf-8-sig", ANY, False),
    (by_iconv, "ISO-8859-1", LATIN, True),
    (by_iconv, "WINDOWS-1252", WINDOWS, True),
    (by_iconv, "UTF-8", ANY, False),
]
for write, encoding, texts, latin1 in cases:
    for separator, line_end in ((",", "\r\n"), (";", "\n"), ("\t", "\r")):
        with tempfile.TemporaryDirectory() as name:
            is_read_right(Path(name), write, encoding, texts, separator, line_end, latin1)
    print("passed:", write.__name__, encoding)

# UTF-16 is refused with a sentence, by both programs' hand.
for write, encoding in ((by_python, "utf-16"), (by_iconv, "UTF-16LE")):
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "suppliers/quay").mkdir(parents=True)
        (folder / "suppliers/quay/supplier.json").write_text(json.dumps(TERMS))
        write(folder / "suppliers/quay/own.csv", "sku,class,price\r\nA,sheet,1\r\n", encoding)
        printed = run(1, "catalog", "check", folder)
        assert "own.csv: the text is UTF-16; save it as CSV in UTF-8" in printed, printed
    print("passed:", write.__name__, encoding, "is refused")


def with_full_disk(*words):
    """No file may grow beyond 100 bytes: writing fails half-way, as on a full disk."""
    def fill():
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (100, 100))
    return subprocess.run([str(aumbry), *map(str, words), "--plugins", str(plugins)], capture_output=True, text=True, timeout=60,
                          preexec_fn=fill)


for first in (True, False):
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        supplier = folder / "suppliers" / "quay"
        supplier.mkdir(parents=True)
        (supplier / "supplier.json").write_text(json.dumps(TERMS))
        (folder / "quay.mapping.json").write_text(json.dumps(MAPPING))
        words = ("catalog", "import", folder / "list.csv", "--mapping", folder / "quay.mapping.json", "--into", supplier)
        if not first:
            by_python(folder / "list.csv", spreadsheet(LATIN, ";", "\n"), "utf-8")
            run(0, *words)
        by_python(folder / "list.csv", spreadsheet(ANY, ";", "\n"), "utf-8")
        before = {file.name: file.read_bytes() for file in supplier.iterdir()}
        done = with_full_disk(*words)
        assert done.returncode == 1, done
        last = done.stderr.splitlines()[-1]
        assert last == f"{supplier / 'plywood.csv'}: writing failed: File too large; what was in the file is still there", done.stderr
        assert {file.name: file.read_bytes() for file in supplier.iterdir()} == before, "the full disk left or took something"
        # With room again it goes through: no mark of the broken import is left.
        run(0, *words)
        assert len((supplier / "plywood.csv").read_text().splitlines()) == len(ANY) + 1
    print("passed: a full disk,", "no list before" if first else "a list before")

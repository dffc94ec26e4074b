"""Runs the README's examples: its project is priced from its supplier, its commands and schemas exist.

usage: readme_check.py README AUMBRY PLUGINS SCHEMAS
"""
import json
import re
import subprocess
import sys
import tempfile
from pathlib import Path

readme, aumbry, plugins, schemas = (Path(p).resolve() for p in sys.argv[1:5])
text = readme.read_text()


def fences(language):
    found = re.findall(rf"^( *)```{language}\n(.*?)^ *```", text, re.M | re.S)
    assert found, f"the README has no {language} example"
    return [re.sub(rf"^{indent}", "", body, flags=re.M) for indent, body in found]


def run(*words):
    return subprocess.run([str(aumbry), *map(str, words)], capture_output=True, text=True, timeout=60)


project, supplier = fences("json")[:2]
price_list = fences("csv")[0]
with tempfile.TemporaryDirectory() as folder:
    dealer = Path(folder) / "suppliers" / "my-dealer"
    dealer.mkdir(parents=True)
    (dealer / "supplier.json").write_text(supplier)
    (dealer / "list.csv").write_text(price_list)
    file = Path(folder) / "bookcase.aumbry.json"
    file.write_text(project)

    check = run("catalog", "check", folder, "--plugins", plugins)
    assert check.returncode == 0, check.stdout + check.stderr
    priced = run("price", file, "--json", "--plugins", plugins)
    assert priced.returncode == 0, priced.stderr
    estimate = json.loads(priced.stdout)
    assert any(p["supplier"] == "my-dealer" and p["count"] > 0 for p in estimate["purchases"]), "nothing is bought from the dealer"
    assert not any(line.get("not_priced") for line in estimate["lines"])
    compared = run("compare", file, "--plugins", plugins)
    assert compared.returncode == 0 and "Poplar" in compared.stdout, compared.stderr

for command in re.findall(r"^    aumbry (\w+(?: (?:list|check|import))?)", text, re.M):
    shown = run(*command.split(), "--help")
    assert shown.returncode == 0, command
for name in re.findall(r"`sdk/schemas/([\w.]+)`", text):
    assert (schemas / name).is_file(), name
print("1 passed, 0 failed")

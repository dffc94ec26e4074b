"""Runs the README's examples as they are written: the project, the three ways to extend, commands and schemas.

usage: readme_check.py README AUMBRY BUILD_FOLDER SOURCE_FOLDER

The folder of each example holds what the README says stands there; the lines of its `sh` blocks are run one by one.
"""
import json
import os
import re
import subprocess
import sys
import tempfile
from decimal import Decimal
from pathlib import Path

readme, aumbry, build, source = (Path(p).resolve() for p in sys.argv[1:5])
text = readme.read_text()
plugins = build / "lib" / "aumbry" / "plugins"


def blocks(part):
    """The code blocks of a part of the README: (language, text), in order."""
    return re.findall(r"^```(\w+)\n(.*?)^```", part, re.M | re.S)


def section(title):
    found = re.search(rf"^#+ {re.escape(title)}\n(.*?)(?=^#+ |\Z)", text, re.M | re.S)
    assert found, f"the README has no section '{title}'"
    return found.group(1)


def only(found, language):
    of_language = [body for kind, body in found if kind == language]
    assert of_language, f"no {language} block"
    return of_language


def named(part, pattern):
    """A file name that the README says in a part of it."""
    found = re.search(rf"`({pattern})`", part)
    assert found, f"the README names no {pattern}"
    return found.group(1)


def write(folder, name, body):
    file = folder / name
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text(body)
    return file


def run(folder, line, status=0, home=None):
    """A line of a `sh` block, with the command in reach."""
    own = {name: value for name, value in os.environ.items() if not name.startswith("XDG_")}
    variables = dict(own, PATH=f"{aumbry.parent}{os.pathsep}{os.environ['PATH']}", HOME=str(home or folder))
    done = subprocess.run(["sh", "-c", line], cwd=folder, env=variables, capture_output=True, text=True, timeout=900)
    assert done.returncode == status, f"{line}\nexit status {done.returncode}\n{done.stdout}\n{done.stderr}"
    return done.stdout


def bought(folder, line, supplier):
    """What an estimate buys from a supplier: sku -> price. The line is an `aumbry price` of the README."""
    estimate = json.loads(run(folder, line + " --json"))
    assert not any(one.get("not_priced") for one in estimate["lines"]), "a line is not priced"
    return {
        item["sku"]: Decimal(item["listed_price"])
        for item in estimate["purchases"]
        if item["supplier"] == supplier and item["count"] > 0
    }


def lines_of(block):
    return [line for line in block.splitlines() if line]


def from_nothing_to_a_bookcase(folder):
    """Five commands, each printing what the README shows after it; what they write is there."""
    steps = blocks(section("From nothing to a bookcase"))
    commands = []
    for (kind, line), (next_kind, shown) in zip(steps, [*steps[1:], ("", "")]):
        if kind != "sh":
            continue
        (command,) = lines_of(line)
        commands.append(command)
        printed = run(folder, command)
        if next_kind == "text":
            assert printed == shown, f"{command}\nprints\n{printed}\nand the README shows\n{shown}"
    assert len(commands) == 5, commands
    estimate = json.loads(run(folder, "aumbry price study.aumbry.json --json"))
    assert not [f["text"] for f in estimate["findings"] if f["severity"] == "problem"]
    assert (folder / "cut.pdf").read_bytes().startswith(b"%PDF")
    ordered = {one["supplier"] for one in estimate["orders"]}
    assert len(list((folder / "orders").glob("*.pdf"))) >= len(ordered)


def drop_in_a_supplier(folder):
    write(folder, "bookcase.aumbry.json", only(blocks(section("A project")), "json")[0])
    part = section("Drop in a supplier")
    found = blocks(part)
    write(folder, named(part, r"suppliers/[\w-]+/supplier\.json"), only(found, "json")[0])
    write(folder, named(part, r"suppliers/[\w-]+/[\w-]+\.csv"), only(found, "csv")[0])
    check, price = lines_of(only(found, "sh")[0])
    assert ", 0 faults" in run(folder, check)
    assert bought(folder, price, "quay-timber") == {"B18": Decimal("79.50")}, "the dealer's price is not the one reckoned with"
    compared = run(folder, "aumbry compare bookcase.aumbry.json")
    assert "Poplar" in compared, compared


def take_in_a_parts_list(folder):
    found = blocks(section("A parts list"))
    (command,) = lines_of(only(found, "sh")[0])
    write(folder, re.search(r"--in (\S+)", command).group(1), only(found, "csv")[0])
    assert run(folder, command) == only(found, "text")[0], "the dry run prints something else than the README shows"
    project = (folder / "bookcase.aumbry.json").read_text()
    run(folder, command.removesuffix(" --dry-run"))
    assert '"drawer_front"' in (folder / "bookcase.aumbry.json").read_text()
    assert bought(folder, "aumbry price bookcase.aumbry.json", "quay-timber"), "the parts are not priced"
    (folder / "bookcase.aumbry.json").write_text(project)


def import_a_list(folder):
    part = section("Import a dealer's list")
    found = blocks(part)
    write(folder, named(part, r"[\w-]+\.csv"), only(found, "csv")[0])
    write(folder, named(part, r"[\w-]+\.mapping\.json"), only(found, "json")[0])
    dry, real, price = lines_of(only(found, "sh")[0])
    list_before = (folder / "suppliers/quay-timber/plywood.csv").read_bytes()
    assert run(folder, dry, status=1) == only(found, "text")[0], "the dry run prints something else than the README shows"
    assert (folder / "suppliers/quay-timber/plywood.csv").read_bytes() == list_before, "a dry run has written"
    run(folder, real, status=1)  # a row was refused, the others are written
    assert bought(folder, price, "quay-timber") == {"B18": Decimal("83.50")}, "the imported price is not the one reckoned with"
    assert ", 0 faults" in run(folder, "aumbry catalog check .")


def write_a_module(folder):
    """In a folder that looks like Aumbry's source after a build."""
    (folder / "build").mkdir()
    (folder / "build/release").symlink_to(build)
    (folder / "tests").symlink_to(source / "tests")
    part = section("Write a module")
    found = blocks(part)
    build_and_check, price = only(found, "sh")
    for line in lines_of(build_and_check):
        printed = run(folder, line)
    assert "glazing" in printed, printed
    write(folder, named(part, r"[\w-]+\.aumbry\.json"), only(found, "json")[0])
    glass = named(part, r"suppliers/[\w-]+/[\w-]+\.csv")
    write(folder, glass, only(found, "csv")[0])
    terms = only(blocks(section("Drop in a supplier")), "json")[0]
    write(folder, str(Path(glass).parent / "supplier.json"), terms)
    (line,) = lines_of(price)
    assert bought(folder, line, "quay-glass") == {"T8": Decimal("94.00"), "E1": Decimal("4.20")}
    # Without the module the same project says so, and keeps going.
    unpriced = json.loads(run(folder, "aumbry price shelf.aumbry.json --json"))
    assert any(one.get("not_priced") for one in unpriced["lines"])


def commands_and_schemas_exist(folder):
    for words in sorted(set(re.findall(r"^    aumbry (\w+(?: (?:list|check|import))?)", text, re.M))):
        run(folder, f"aumbry {words} --help")
    for name in re.findall(r"`(sdk/schemas/[\w.]+|tests/outside/\w+|sdk/include/[\w./]+)`", text):
        assert (source / name).exists(), name


with tempfile.TemporaryDirectory() as one, tempfile.TemporaryDirectory() as another, tempfile.TemporaryDirectory() as nothing:
    examples = [
        (from_nothing_to_a_bookcase, nothing),
        (drop_in_a_supplier, one),
        (take_in_a_parts_list, one),
        (import_a_list, one),
        (write_a_module, another),
        (commands_and_schemas_exist, one),
    ]
    for example, folder in examples:
        example(Path(folder))
        print("passed:", example.__name__)

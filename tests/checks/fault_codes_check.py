"""Compares the register of fault codes with the codes that the sources use: none may be missing, none may be there for nothing.

usage: fault_codes_check.py SOURCE_FOLDER

Every text of the form "two-words" in the rooms below is a fault's code unless the sources say otherwise: codes of
findings follow their severity, names of conformance checks stand in sdk/src/modules/check, what is drawn in sdk/print has
classes (there a code is what `fail` is given), and a few words are listed here.
"""
import re
import sys
from pathlib import Path

source = Path(sys.argv[1])
REGISTER = "sdk/include/aumbry/fault_codes.hpp"
ROOMS = ("sdk/include", "sdk/src", "sdk/views", "sdk/print", "sdk/cli", "gui")
CODE = r"[a-z][a-z0-9]*(?:-[a-z0-9]+)+"
# Neither codes of faults nor of findings.
OTHER_WORDS = {
    "aumbry-gui": "the program",
    "clean-up": "a word of a sentence",
    "year-month-day": "an order of dates", "day-month-year": "an order of dates", "month-day-year": "an order of dates",
}
# Sources whose codes are all of findings.
OF_FINDINGS = {"sdk/src/line/procure/refusal.cpp"}
FINDING = re.compile(r'(?:Severity::\w+,|\b(?:caution|problem_finding)\(|finding\.code [!=]=)\s*$')
# A code of one word could not be told from any other text.
ONE_WORD = re.compile(r'\b(?:fail|faults?_?\.add|refuse|row_fault)\(\s*"([a-z0-9]+)"\s*,\s*(?:\{|pointer|"/)')


def without_comments(text):
    return re.sub(r"//[^\n]*", "", text)


registered = re.findall(rf'\{{"({CODE})", "[^"]+"\}}', (source / REGISTER).read_text())
faults = [f"{code} stands twice in {REGISTER}" for code in sorted(set(registered)) if registered.count(code) > 1]
used = {}
for room in ROOMS:
    for file in sorted((source / room).rglob("*.[ch]pp")):
        name = file.relative_to(source).as_posix()
        if name == REGISTER or name in OF_FINDINGS or name.startswith("sdk/src/modules/check/"):
            continue
        text = without_comments(file.read_text())
        for found in re.finditer(rf'"({CODE})"', text):
            before = text[max(0, found.start() - 120):found.start()]
            if not FINDING.search(before) and (room != "sdk/print" or re.search(r"\bfail\(\s*$", before)):
                used.setdefault(found.group(1), name)
        faults += [f"{name}: the code '{word}' is of one word" for word in ONE_WORD.findall(text)]
if len(used) < 100:
    sys.exit(f"only {len(used)} codes were found in the sources: the check reads them no more")
faults += [f"{name}: '{code}' is not in {REGISTER}" for code, name in used.items() if code not in registered and code not in OTHER_WORDS]
faults += [f"{REGISTER}: '{code}' is used nowhere" for code in registered if code not in used]
print(*faults, sep="\n", end="\n" if faults else "")
sys.exit(1 if faults else 0)

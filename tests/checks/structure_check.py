"""Reads the includes and the lengths of the tree's sources and fails where the house leans the wrong way.

usage: structure_check.py SOURCE_FOLDER [--list]

The rooms stand in one line, each leaning only on those above it (DEVELOPERS.md); a file of another room that is included
from further up is an arrow against the line. A public header belongs to the room of the source that implements it. What the
tree still does against a rule is listed below by name: an entry that is no longer needed is a fault too, so the lists shrink.
--list prints every breach, listed or not.
"""
import re
import sys
from pathlib import Path

root = Path(sys.argv[1]).resolve()

# From top to bottom; rooms of one entry do not know each other.
rooms = [
    ["values"],
    ["documents"],
    ["modules"],
    ["catalog"],
    ["line/resolve"],
    ["line/recorded"],
    ["line/take_off"],
    ["line/procure"],
    ["line/follow"],
    ["line/schedule"],
    ["line/estimate"],
    ["line"],  # the whole line: the only room that knows all stages
    ["session"],
    ["studies"],
    ["papers"],
    ["print"],
    ["views"],
    ["cli", "schemas", "gui"],
]
floor = {room: number for number, names in enumerate(rooms) for room in names}

# Public headers without a source of their own name.
header_rooms = {
    "dimension.hpp": "values",
    "measure.hpp": "values",
    "stop.hpp": "values",
    "fault_codes.hpp": "values",
    "absent_module.hpp": "modules",
    "catalog_import.hpp": "catalog",  # import.cpp
    "people.hpp": "documents",  # what sections of the project are read into
    "pricing_terms.hpp": "documents",
    "resolved_project.hpp": "line/resolve",  # resolve.cpp
    "supply.hpp": "catalog",  # terms of suppliers and offers
    "options.hpp": "line/procure",
    "purchase.hpp": "line/procure",
    "estimate_costs.hpp": "line/estimate",
    "estimate_work.hpp": "line/estimate",
    "line.hpp": "line",  # run.cpp
}

# (file, what it includes): arrows against the line that still stand.
arrows_against = set()

most_lines_of_file = 500
most_lines_of_function = 80
long_files = set()
long_functions = set()  # (file, name)

# Functions that are lists of records, a line a field: (file, name).
descriptions = set()

# (file, word): a module or a kind of line that the core still names.
named_in_core = set()
# The same words where they are no module and no kind: (file, word), and what they are.
other_meaning = {
    ("sdk/src/documents/contract_members.hpp", "finish"): "a phase of work",
    ("sdk/src/documents/contract_plans.cpp", "lift"): "a type of plan",
    ("sdk/src/modules/plan_check.cpp", "lift"): "a type of plan",
    ("sdk/src/documents/contract_members.hpp", "service"): "what is charged for",
    ("sdk/src/documents/project_fields.cpp", "service"): "what is charged for",
    ("sdk/src/line/estimate/document.cpp", "finish"): "the day of the finish",
    ("sdk/src/line/estimate/document.cpp", "service"): "that a purchase is one",
    ("sdk/src/line/estimate/purchases.cpp", "service"): "what is charged for",
    ("sdk/src/papers/job_record.cpp", "service"): "what is charged for",
    ("sdk/src/papers/order.cpp", "service"): "that a position is one",
    ("sdk/src/values/plain_id.hpp", "item"): "an id for what has no name",
}


def sources(*folders):
    for folder in folders:
        for path in sorted((root / folder).rglob("*")):
            if path.suffix in (".cpp", ".hpp", ".h"):
                yield path.relative_to(root).as_posix()


texts = {
    name: (root / name).read_text()
    for name in sources("sdk", "gui", "plugins")
    if not name.startswith("sdk/cmake/")  # of the build, not of the house
}
by_stem = {}
for name in texts:
    if name.startswith("sdk/src/") and name.endswith(".cpp"):
        by_stem.setdefault(Path(name).stem, []).append(name)


def room_of(name):
    """The room of a source; a plugin's is 'plugins/<module>'."""
    parts = name.split("/")
    if parts[0] == "plugins":
        return "/".join(parts[:2])
    if parts[0] == "gui":
        return "gui"
    if parts[1] == "include":
        return room_of_header("/".join(parts[3:]))
    if parts[1] != "src":
        return parts[1]
    room = parts[2]
    return f"line/{parts[3]}" if room == "line" and len(parts) > 4 else room


def room_of_header(header):
    if header in header_rooms:
        return header_rooms[header]
    if "/" in header:  # a folder of headers belongs where the header that gathers them does
        return room_of_header(header.split("/")[0] + ".hpp")
    homes = {room_of(source) for source in by_stem.get(Path(header).stem, [])}
    return homes.pop() if len(homes) == 1 else None


def included(name):
    """What a file includes by a name in quotes, as a path within the tree, with the line."""
    for number, line in enumerate(texts[name].splitlines(), 1):
        found = re.match(r'\s*#\s*include\s+["<]([^">]+)[">]', line)
        if not found:
            continue
        what = found.group(1)
        places = [f"sdk/include/{what}", f"sdk/src/{what}", f"sdk/{what}", f"gui/{what}", f"plugins/{what}",
                  f"{Path(name).parent.as_posix()}/{what}"]
        for place in places:
            if place in texts:
                yield number, what, place
                break
        else:
            if '"' in line:
                yield number, what, None


faults = []


def allowed(exceptions, used, key):
    if key in exceptions:
        used.add(key)
        return "--list" not in sys.argv
    return False


# Public headers have a room.
for name in texts:
    if name.startswith("sdk/include/aumbry/") and room_of(name) not in floor:
        faults.append(f"{name}: no source of one room bears its name; say in header_rooms where it belongs")
for header in header_rooms:
    if f"sdk/include/aumbry/{header}" not in texts:
        faults.append(f"header_rooms: there is no {header} any more; strike it out")
    elif Path(header).stem in by_stem:
        faults.append(f"header_rooms: {by_stem[Path(header).stem][0]} says where {header} belongs; strike it out")

# Arrows.
used_arrows = set()
public_of_plugins = {f"sdk/include/aumbry/{header}" for header in re.findall(
    r"include/aumbry/(\S+)", (root / "sdk/CMakeLists.txt").read_text().split("add_library(aumbry_estimator")[0])}
assert len(public_of_plugins) > 10, "the headers of aumbry::plugin are read from sdk/CMakeLists.txt"
for name in texts:
    here = room_of(name)
    for line, what, target in included(name):
        if target is None:
            faults.append(f"{name}:{line}: there is no file '{what}' in the tree; includes are written from a room's folder")
            continue
        there = room_of(target)
        if here.startswith("plugins/"):
            if there != here and target not in public_of_plugins:
                faults.append(f"{name}:{line}: a module links aumbry::plugin alone and may not include '{what}'")
        elif there.startswith("plugins/"):
            faults.append(f"{name}:{line}: nothing but a module itself may include '{what}'")
        elif here not in floor:
            faults.append(f"{name}: the room '{here}' is not in the line of rooms")
        elif there in floor and there != here and floor[there] >= floor[here]:
            if not allowed(arrows_against, used_arrows, (name, what)):
                faults.append(f"{name}:{line}: '{here}' may not lean on '{there}', which comes after it ('{what}')")
for name, what in sorted(arrows_against - used_arrows):
    faults.append(f"arrows_against: {name} no longer includes '{what}' against the line; strike it out")

# A module links aumbry::plugin alone.
for path in sorted((root / "plugins").rglob("CMakeLists.txt")):
    if re.search(r"aumbry(_|::)estimator", path.read_text()):
        faults.append(f"{path.relative_to(root)}: a module may not link aumbry::estimator")


def bare(text):
    """The text without comments and without what stands in quotes, line by line as it was."""
    pattern = re.compile(
        r'//[^\n]*|/\*.*?\*/|R"([^\s()\\]{0,16})\(.*?\)\1"|"(?:\\.|[^"\\\n])*"|\'(?:\\.|[^\'\\\n])+\'(?!\w)|^[ \t]*#(?:[^\n\\]|\\.|\\\n)*',
        re.S | re.M)
    return pattern.sub(lambda found: re.sub(r"[^\n]", "", found.group(0)) or " ", text)


def functions(text):
    """(name, first line, last line) of every function; a lambda belongs to the function it stands in."""
    text = bare(text)
    scopes = []  # of each open brace: what it belongs to
    header_from = 0
    inside = None  # how deep the function stands, its name and first line
    for found in re.finditer(r"[{};]|\b(?:public|private|protected)\s*:", text):
        sign, position = found.group(0), found.start()
        if sign == "{":
            header = text[header_from:position]
            holds = re.search(r"\b(namespace|class|struct|union|enum|extern)\b[^()=]*$", header) is not None
            callable_ = not holds and "(" in header and "=" not in header.split("(")[0]
            if inside is None and callable_ and not header[-1].isspace():
                scopes.append("initialiser")  # of a member, before the body of a constructor
                continue
            if inside is None and callable_:
                start = text.count("\n", 0, header_from + len(header) - len(header.lstrip())) + 1
                named = re.search(r"([~\w:]+|operator\W+)\s*\(", header)
                inside = (len(scopes), named.group(1).split("::")[-1] if named else "?", start)
            scopes.append("scope")
        elif sign == "}":
            if not scopes:
                raise ValueError("braces do not match")
            if scopes.pop() == "initialiser":
                continue
            if inside is not None and inside[0] == len(scopes):
                yield inside[1], inside[2], text.count("\n", 0, position) + 1
                inside = None
        header_from = found.end()
    if scopes:
        raise ValueError("braces do not match")


# The counting itself, on a text whose functions are known.
assert list(functions("""namespace a {
struct B {
    int c = 3; // {
    B() : c{1},
          d(2) {
        e();
    }
};
const std::array<int, 2> table{{1, 2}};
const char* text = "{ (";
template <class T>
auto f(T x) {
    if (x) {
        g([&](int y) { return '}'; });
    }
}
#define H(x) { (
} // namespace a
""")) == [("B", 4, 7), ("f", 11, 16)], "functions are not found as they should be"

# Lengths.
used_files, used_functions, used_descriptions = set(), set(), set()
counted = 0
for name in texts:
    if not name.startswith(("sdk/src/", "gui/")):
        continue
    lines = texts[name].count("\n")
    if lines > most_lines_of_file and not allowed(long_files, used_files, name):
        faults.append(f"{name}: {lines} lines; no file has more than {most_lines_of_file}")
    for function, first, last in functions(texts[name]):
        counted += 1
        if last - first + 1 <= most_lines_of_function or allowed(descriptions, used_descriptions, (name, function)):
            continue
        if not allowed(long_functions, used_functions, (name, function)):
            faults.append(f"{name}:{first}: '{function}' has {last - first + 1} lines; "
                          f"no function has more than {most_lines_of_function}")
assert counted > 1000, f"only {counted} functions were found"
for name in sorted(long_files - used_files):
    faults.append(f"long_files: {name} is no longer too long; strike it out")
for name, function in sorted(long_functions - used_functions):
    faults.append(f"long_functions: '{function}' of {name} is no longer too long; strike it out")
for name, function in sorted(descriptions - used_descriptions):
    faults.append(f"descriptions: '{function}' of {name} is not too long; strike it out")

# The core knows no module and no kind of line by name.
modules = sorted(path.name for path in (root / "plugins").iterdir() if path.is_dir())
kinds = sorted(kind for name in texts if name.startswith("plugins/")
               for kind in re.findall(r'^\s+\w+\.kind = "(\w+)";', texts[name], re.M))
assert len(modules) > 5 and len(kinds) > 9, "modules are the folders of plugins, kinds are assigned in their sources"
used_names, used_meanings = set(), set()
for name in texts:
    if not name.startswith("sdk/src/"):
        continue
    for number, line in enumerate(texts[name].splitlines(), 1):
        for word in re.findall(r'"(\w+)["/]', line):
            if word not in modules + kinds or allowed(other_meaning, used_meanings, (name, word)):
                continue
            if not allowed(named_in_core, used_names, (name, word)):
                faults.append(f"{name}:{number}: names '{word}', which is a module's or one of its kinds")
for name, word in sorted(named_in_core - used_names):
    faults.append(f"named_in_core: {name} no longer names '{word}'; strike it out")
for name, word in sorted(other_meaning.keys() - used_meanings):
    faults.append(f"other_meaning: {name} no longer says '{word}'; strike it out")

for fault in faults:
    print(fault)
print(f"{len(texts)} files, {counted} functions, {len(modules)} modules, {len(kinds)} kinds: {len(faults)} faults; still excepted: "
      f"{len(arrows_against)} arrows, {len(long_files)} files, {len(long_functions)} functions, {len(named_in_core)} names")
sys.exit(1 if faults else 0)

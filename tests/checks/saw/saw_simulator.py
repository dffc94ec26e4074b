"""Plays the saw: cuts every sheet of an estimate as its plan says and looks at what lies on the bench afterwards.

A plan may look right on paper and still give wrong parts: a blade takes less than was reckoned, a dealer cuts a
millimetre beside the line, a part is what the cuts before it happened to leave. So this program takes nothing from the
planner but the list of cuts. It works out by itself which pieces they give, who made each edge, and which sizes were
set at the fence rather than left over. Then it cuts again with blades and dealers that are a little off.

usage: saw_simulator.py AUMBRY PROJECT... [--effort draft|normal|thorough] [--quiet]
"""
import argparse
import itertools
import json
import re
import subprocess
import sys
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import NamedTuple

AXES = ("length", "width")
TOLERANCE = 0.05  # mm: what nobody can measure on a sawn part
KERF_CHANGE = 0.2  # mm: another blade of the same kind, or the same one sharpened
ROUNDING = 1e-6  # mm: far below anything sawn, far above the noise of floating point
WRITTEN = 1e-4  # mm: to which places on boards are written
WHOLE = {"millimetre": 1.0, "eighth of an inch": 3.175}  # what a dealer reads off his scale
WHOLE_WITHIN = 0.001


class Fence(NamedTuple):
    """How a size was set: who cut, which edge lay against the fence, and how far off his cut may be."""

    by: str
    against: str
    accuracy: float


@dataclass(frozen=True)
class Span:
    """A piece along one axis. `near` and `far` say who made the two edges; no fence: the size is left over."""

    start: float
    size: float
    near: str
    far: str
    fence: Fence | None


@dataclass
class Result:
    """What the saw made: every piece by its blank's number, those that are left, and the cuts that went wrong."""

    pieces: dict[int, dict[str, Span]]
    left: set[int]
    faults: dict[int, str] = field(default_factory=dict)


def other(axis):
    return AXES[1 - AXES.index(axis)]


def mm(number):
    return f"{round(number, 3):.10g}"


def called(placement):
    return f"Part {placement['line']} (blank {placement['blank']})"


def divided(span, position, kerf, cut):
    """What lies before the cut, and what lies beyond it; none where nothing is left."""
    if position >= span.size - ROUNDING:
        return span, None  # the blade runs through the air: the far edge stays as it was
    fence = Fence(cut["by"], span.near, cut.get("accuracy", 0))
    first = replace(span, size=position, far=cut["by"], fence=fence)
    rest = span.size - position - kerf
    if rest <= ROUNDING:
        return first, None
    return first, Span(span.start + position + kerf, rest, cut["by"], span.far, None)


def simulate(plan, kerf_of=lambda cut: cut["kerf"], position_of=lambda cut: cut["position"]):
    """Makes the cuts of a plan; kerf_of and position_of play a saw whose cuts differ from what the plan says."""
    delivered = Fence("factory", "factory", 0)
    sheet = {axis: Span(0, plan["sheet"][axis], "factory", "factory", delivered) for axis in AXES}
    result = Result({0: sheet}, {0})
    for number, cut in enumerate(plan["cuts"]):
        if cut["blank"] not in result.left:
            result.faults[number] = f"Cut {number} uses blank {cut['blank']}, which does not exist then."
            continue
        axis, position, kerf = cut["direction"], position_of(cut), kerf_of(cut)
        whole = result.pieces[cut["blank"]]
        size = whole[axis].size
        if position < 0 or (position == 0 and "first" in cut) or position >= size - ROUNDING:
            result.faults[number] = (f"Cut {number} at {mm(position)} mm lies outside blank {cut['blank']}, "
                                     f"which is {mm(size)} mm there.")
        elif "second" in cut and position + kerf >= size - ROUNDING:
            result.faults[number] = (f"Cut {number} at {mm(position)} mm leaves nothing for blank {cut['second']}: "
                                     f"blank {cut['blank']} is {mm(size)} mm there, the kerf {mm(kerf)} mm.")
        result.left.remove(cut["blank"])
        for name, span in zip(("first", "second"), divided(whole[axis], position, kerf, cut)):
            if name not in cut or span is None:
                continue
            if cut[name] in result.pieces:
                result.faults[number] = f"Cut {number} makes blank {cut[name]}, which was made before."
                continue
            result.pieces[cut[name]] = whole | {axis: span}
            result.left.add(cut[name])
    return result


# What a plan must hold before it can be played at all.
NEEDED = ("sheet", "copies", "clean_up", "blanks", "cuts", "placements")
NEEDED_OF_A_CUT = ("blank", "direction", "position", "kerf", "by", "kind")
NEEDED_OF_A_PLACEMENT = ("line", "x", "y", "length", "width", "blank")


def missing(plan):
    """A sentence for everything the plan does not say."""
    found = []

    def need(what, item, names):
        absent = [name for name in names if name not in item]
        if absent:
            found.append(f"{what} does not say its {', '.join(absent)}.")

    need("The plan", plan, NEEDED)
    for number, cut in enumerate(plan.get("cuts", [])):
        # Only a dealer's inaccuracy is played: the workshop's is its fence, and a fence stays where it is set.
        need(f"Cut {number}", cut, NEEDED_OF_A_CUT + (("accuracy",) if cut.get("by") == "dealer" else ()))
    for number, placement in enumerate(plan.get("placements", [])):
        need(f"Placement {number}", placement, NEEDED_OF_A_PLACEMENT)
    return found


def good_makers(plan, placement):
    """Who may have made a part's edges, and the edges that its sizes were measured from."""
    good = {"workshop"}
    if plan["clean_up"] == 0:
        good.add("factory")
    if placement.get("dealer_edge_will_do", False):
        good.add("dealer")
    return good


def origins(plan):
    """The blank that each blank was cut from."""
    return {cut[name]: cut["blank"] for cut in plan["cuts"] for name in ("first", "second") if name in cut}


def line_of_descent(blank, parents):
    """The blank and all that it was cut from. A plan that runs in circles is faulty, but must not hang the check."""
    found = []
    while blank is not None and blank not in found:
        found.append(blank)
        blank = parents.get(blank)
    return found


def blanks_with_parts(plan):
    """All blanks that are a part or are cut into one."""
    parents = origins(plan)
    return {blank for placement in plan["placements"] for blank in line_of_descent(placement["blank"], parents)}


def blank_faults(plan, result):
    """Pieces that are not where or what the plan's blanks say."""
    found = []
    for number, blank in enumerate(plan["blanks"]):
        piece = result.pieces.get(number)
        if piece is None:
            found.append(f"Blank {number} is listed, but no cut makes it.")
            continue
        length, width = piece["length"], piece["width"]
        made = (length.start, width.start, length.size, width.size)
        said = (blank["x"], blank["y"], blank["length"], blank["width"])
        if any(abs(one - another) > TOLERANCE for one, another in zip(made, said)):
            text = [f"{mm(long)} x {mm(wide)} at {mm(x)}, {mm(y)}" for x, y, long, wide in (made, said)]
            found.append(f"Blank {number} comes out {text[0]}; the plan says {text[1]}.")
    found += [f"Blank {number} is cut, but not listed."
              for number in sorted(result.pieces) if number >= len(plan["blanks"])]
    return found


def part_faults(plan, result):
    """Parts that are not there, lie elsewhere, are left over along an axis, or kept an edge they must not have."""
    found = []
    for placement in plan["placements"]:
        name = called(placement)
        piece = result.pieces.get(placement["blank"])
        if piece is None:
            found.append(f"{name} is not there: no cut makes its blank.")
            continue
        if placement["blank"] not in result.left:
            found.append(f"{name} is cut further.")
        if any(abs(piece[axis].start - placement[key]) > TOLERANCE for axis, key in zip(AXES, ("x", "y"))):
            found.append(f"{name} comes from {mm(piece['length'].start)}, {mm(piece['width'].start)}; "
                         f"the plan says {mm(placement['x'])}, {mm(placement['y'])}.")
        good = good_makers(plan, placement)
        for axis in AXES:
            span = piece[axis]
            if span.fence is None:
                found.append(f"{name} is left over along its {axis}: no fence sets it.")
            elif not {span.fence.by, span.fence.against} <= good:
                found.append(f"{name} is not set along its {axis}: the {span.fence.by} cut it "
                             f"from an edge of the {span.fence.against}.")
            for side in ("near", "far"):
                maker = getattr(span, side)
                if maker not in good:
                    found.append(f"{name} keeps an edge of the {maker} at the {side} end of its {axis}.")
    return found


def kind_faults(plan, result):
    """Cuts that are not of the kind that the plan calls them."""
    found = []
    for number, cut in enumerate(plan["cuts"]):
        kind, whole = cut["kind"], result.pieces.get(cut["blank"])
        if kind not in ("trim", "rip", "crosscut"):
            found.append(f"Cut {number} is called a {kind}, which is no kind of cut.")
        elif kind == "trim":
            if "first" in cut or "second" not in cut:
                found.append(f"Cut {number} is called a trim, but a trim keeps what lies beyond it and nothing else.")
        elif "first" not in cut:
            found.append(f"Cut {number} is called a {kind}, but cuts nothing off.")
        elif whole is not None:
            across, along = whole[other(cut["direction"])].size, cut["position"]
            if (across < along - TOLERANCE) if kind == "rip" else (across > along + TOLERANCE):
                found.append(f"Cut {number} is called a {kind}, but runs {mm(across)} mm past a piece "
                             f"that is {mm(along)} mm the other way.")
    return found


def order_faults(plan):
    """Workshop cuts before a dealer's: the sheet is not in the workshop yet."""
    makers = [cut["by"] for cut in plan["cuts"]]
    last = max((number for number, by in enumerate(makers) if by == "dealer"), default=0)
    return [f"Cut {number} is the workshop's, but the dealer still makes cut {last}."
            for number, by in enumerate(makers[:last]) if by != "dealer"]


def is_whole(position):
    return any(abs(position - round(position / step) * step) <= WHOLE_WITHIN for step in WHOLE.values())


def position_faults(plan):
    """Dealer's cuts at positions that no dealer reads off his scale. One at a size that a part keeps as it leaves the
    dealer is asked of him all the same."""
    parents, found = origins(plan), []
    for number, cut in enumerate(plan["cuts"]):
        if cut["by"] != "dealer" or is_whole(cut["position"]):
            continue
        if not any(placement.get("dealer_edge_will_do", False)
                   and abs(placement[cut["direction"]] - cut["position"]) <= TOLERANCE
                   and cut.get("first") in line_of_descent(placement["blank"], parents)
                   for placement in plan["placements"]):
            found.append(f"Cut {number}, the dealer's, at {mm(cut['position'])} mm is neither a whole "
                         f"{' nor a whole '.join(WHOLE)}.")
    return found


def purpose_faults(plan):
    """Workshop cuts that no part needs. A dealer's may be needed to carry the sheet."""
    useful = blanks_with_parts(plan)
    return [f"Cut {number} serves no part: neither of its pieces holds one."
            for number, cut in enumerate(plan["cuts"])
            if cut["by"] != "dealer" and not {cut.get("first"), cut.get("second")} & useful]


def layout_faults(plan):
    """Parts drawn over one another or beyond the sheet."""
    def bounds(placement):
        return {axis: (placement[key], placement[key] + placement[axis]) for axis, key in zip(AXES, ("x", "y"))}

    found = []
    for placement in plan["placements"]:
        if any(low < -TOLERANCE or high > plan["sheet"][axis] + TOLERANCE
               for axis, (low, high) in bounds(placement).items()):
            found.append(f"{called(placement)} lies outside the sheet.")
    for one, another in itertools.combinations(plan["placements"], 2):
        first, second = bounds(one), bounds(another)
        if all(min(first[axis][1], second[axis][1]) - max(first[axis][0], second[axis][0]) > TOLERANCE
               for axis in AXES):
            found.append(f"{called(one)} and {called(another)} overlap.")
    return found


class Saws(NamedTuple):
    """How far the workshop's blade and the dealer's cuts are off: mm, and a multiple of his stated accuracy."""

    kerf_change: float
    dealer_shift: int

    def play(self, plan):
        def kerf_of(cut):
            return cut["kerf"] + (self.kerf_change if cut["by"] == "workshop" else 0)

        def position_of(cut):
            return cut["position"] + (self.dealer_shift * cut["accuracy"] if cut["by"] == "dealer" else 0)

        return simulate(plan, kerf_of, position_of)

    def text(self):
        if self == EXACT:
            return "with the saws as planned"
        blade = f"the blade takes {mm(abs(self.kerf_change))} mm {'more' if self.kerf_change > 0 else 'less'}"
        dealer = {-1: " and the dealer cuts short", 0: "", 1: " and the dealer cuts long"}
        return f"when {blade}{dealer[self.dealer_shift]}"


EXACT = Saws(0, 0)


def inaccurate_saws(plan):
    """All directions together in which the saws of a plan may be off."""
    shifts = (-1, 1) if any(cut["by"] == "dealer" for cut in plan["cuts"]) else (0,)
    return [Saws(*off) for off in itertools.product((-KERF_CHANGE, KERF_CHANGE), shifts)]


def error_of(piece, placement, axis, saws):
    """How far a part is off, beyond what its dealer may be off where his cut is good enough for it."""
    span = piece[axis]
    error = span.size - placement[axis]
    dealt = placement.get("dealer_edge_will_do", False) and span.fence is not None and span.fence.by == "dealer"
    allowed = abs(saws.dealer_shift) * span.fence.accuracy if dealt else 0
    return error if abs(error) > allowed + TOLERANCE else 0


def parts_off(plan):
    """The parts that come out off their sawn size with any of the saws: sentences by the number of the placement."""
    found = {}
    runs = [(saws, saws.play(plan)) for saws in (EXACT, *inaccurate_saws(plan))]
    for number, placement in enumerate(plan["placements"]):
        for axis in AXES:
            errors = [(error_of(run.pieces[placement["blank"]], placement, axis, saws), saws)
                      for saws, run in runs if placement["blank"] in run.pieces]
            worst = max(errors, key=lambda item: abs(item[0]), default=(0, EXACT))
            # A part that is off as planned is off for that reason; else the worst of the other saws tells most.
            error, saws = errors[0] if errors and errors[0][0] else worst
            if error:
                found.setdefault(number, []).append(
                    f"{called(placement)} comes out {mm(placement[axis] + error)} mm along its {axis} instead of "
                    f"{mm(placement[axis])} mm {saws.text()}.")
    return found


def inaccuracy_faults(plan, result):
    """Cuts that go well as planned and fail with another saw, because a piece became too small for them."""
    found = {}
    for saws in inaccurate_saws(plan):
        for number, sentence in saws.play(plan).faults.items():
            if number not in result.faults:
                found.setdefault(number, f"{sentence[:-1]} {saws.text()}.")
    return [found[number] for number in sorted(found)]


def faults(plan):
    """Everything that is wrong with a plan, a sentence each."""
    found = missing(plan)
    if found:
        return found
    result = EXACT.play(plan)
    return [*result.faults.values(), *order_faults(plan), *kind_faults(plan, result), *position_faults(plan),
            *purpose_faults(plan), *layout_faults(plan), *blank_faults(plan, result), *part_faults(plan, result),
            *itertools.chain.from_iterable(parts_off(plan).values()), *inaccuracy_faults(plan, result)]


def lies_in(vehicle, length, width):
    """Whether a flat thing lies in the vehicle: on any two of its sides, its height among them where that is told."""
    return any(length <= one + ROUNDING and width <= other + ROUNDING
               for one, other in itertools.permutations(vehicle, 2))


def vehicle_text(vehicle):
    return " x ".join(map(mm, vehicle))


def vehicle_faults(plan, *vehicle):
    """Blanks with parts that do not lie in the vehicle when the dealer hands them over."""
    found = []
    handed_over = simulate(plan | {"cuts": [cut for cut in plan["cuts"] if cut["by"] == "dealer"]})
    for blank in sorted(handed_over.left & blanks_with_parts(plan)):
        length, width = (handed_over.pieces[blank][axis].size for axis in AXES)
        if not lies_in(vehicle, length, width):
            found.append(f"Blank {blank}, {mm(length)} x {mm(width)} as it is handed over, does not lie "
                         f"in the vehicle, {vehicle_text(vehicle)}.")
    return found


def board_faults(plan, *vehicle):
    """Pieces of a board that do not lie in the vehicle when the dealer has crosscut it, and parts that he cuts into."""
    found, start = [], 0.0
    cuts = plan.get("dealer_cuts", [])
    parts = [(piece["position"], piece["length"]) for piece in plan.get("pieces", [])]
    parts += [(part["x"], part["length"]) for part in plan.get("placements", [])]
    for cut in cuts + [{"position": plan["board"]["length"], "kerf": 0}]:
        if not lies_in(vehicle, cut["position"] - start, plan["board"]["width"]):
            found.append(f"The piece of {mm(cut['position'] - start)} from {mm(start)} on does not lie in the vehicle, "
                         f"{vehicle_text(vehicle)}.")
        start = cut["position"] + cut["kerf"]
    for cut in cuts:
        found += [f"The dealer's cut at {mm(cut['position'])} goes through the part from {mm(begin)} on."
                  for begin, length in parts
                  if begin < cut["position"] + cut["kerf"] - ROUNDING and cut["position"] < begin + length - ROUNDING]
    return found


def stick_faults(plan):
    """Parts of a board that overlap, stand nearer than a saw cut takes, or lie in its ends; narrow boards are cut to
    length alone, of wide ones strips are ripped."""
    board, kerf, trim = plan["board"], plan["kerf"], plan["end_trim"]
    found = []
    rectangles = [(piece["line"], piece["position"], piece.get("y", 0.0), piece["length"], board["width"])
                  for piece in plan.get("pieces", [])]
    rectangles += [(part["line"], part["x"], part["y"], part["length"], part["width"])
                   for part in plan.get("placements", [])]
    for line, x, y, length, width in rectangles:
        if x < trim - ROUNDING or x + length > board["length"] - trim + ROUNDING:
            found.append(f"{line} lies from {mm(x)} to {mm(x + length)} of a board of {mm(board['length'])} whose ends "
                         f"lose {mm(trim)}.")
        if y < -ROUNDING or y + width > board["width"] + ROUNDING:
            found.append(f"{line} lies from {mm(y)} to {mm(y + width)} across a board of {mm(board['width'])}.")
    for one, other in itertools.combinations(rectangles, 2):
        beside = max(one[1], other[1]) - min(one[1] + one[3], other[1] + other[3])
        above = max(one[2], other[2]) - min(one[2] + one[4], other[2] + other[4])
        if max(beside, above) < kerf - 2 * WRITTEN:
            found.append(f"{one[0]} and {other[0]} stand {mm(max(beside, above))} apart, less than the {mm(kerf)} of a "
                         f"saw cut.")
    return found


def stick_counts(estimate):
    """Lines of wood of which more or fewer parts are cut than wanted, and parts that are shorter than theirs."""
    found, cut = [], {}
    lengths = {line["id"]: line["fields"].get("length", 0) for line in estimate.get("lines", []) if line["kind"] == "solid"}
    for plan in estimate.get("board_plans", []):
        for part in plan.get("pieces", []) + plan.get("placements", []):
            cut[part["line"]] = cut.get(part["line"], 0) + plan["copies"]
            if part["length"] < lengths.get(part["line"], 0) - ROUNDING:
                found.append(f"  {part['line']} is cut {mm(part['length'])} long, less than {mm(lengths[part['line']])}.")
    for line in estimate.get("lines", []):
        if line["id"] in lengths and not line.get("not_priced") and line["id"] in cut and cut[line["id"]] != line["count"]:
            found.append(f"  {line['id']}: {cut[line['id']]} are cut of {line['count']}.")
    return found


class Settings(NamedTuple):
    """Of the workshop's fence: how often it is set, and how many different settings there are."""

    changes: int
    distinct: int


def settings(plan):
    """How often the workshop sets its fence. Setting it for the first cut counts; sheets cut alike share a setting."""
    own = [cut for cut in plan["cuts"] if cut["by"] == "workshop"]
    set_to = [(round(cut["position"], 3), cut["direction"]) for cut in own]
    return Settings(changes=len(list(itertools.groupby(set_to))),
                    distinct=len({(cut["kind"], round(cut["position"], 3)) for cut in own}))


UNITS = {"mm": 1, "cm": 10, "m": 1000, "in": 25.4, '"': 25.4, "ft": 304.8, "'": 304.8}
TERM = re.compile(r"""\s*(?:(\d+(?:\.\d+)?)(?:\s+(\d+)/(\d+))?|(\d+)/(\d+))\s*(mm|cm|m|in|ft|"|')""")


def length_in_mm(text):
    """A length such as 2100 mm or 8 ft 1 1/2 in; none where it is a formula, which only the project can reckon."""
    total, end = 0.0, 0
    while end < len(text.rstrip()):
        term = TERM.match(text, end)
        if term is None:
            return None
        whole, above, below, above_alone, below_alone, unit = term.groups()
        number = float(whole or 0) + int(above or above_alone or 0) / int(below or below_alone or 1)
        total, end = total + number * UNITS[unit], term.end()
    return total or None


def vehicle_of(project):
    """Length and width of what the vehicle carries, and its height where that is told; none where sheets come by
    delivery or the size is not told."""
    if project.get("settings", {}).get("sheet_goods", {}).get("carriage") == "delivered":
        return None
    size = [length_in_mm(str(project.get("vehicle", {}).get(axis, ""))) for axis in AXES]
    height = length_in_mm(str(project.get("vehicle", {}).get("height", "")))
    return None if None in size else size + [height] * (height is not None)


def sheet_plans(estimate):
    return [plan for plan in estimate["cutting_plans"] + estimate["further_plans"] if "sheet" in plan or "cuts" in plan]


def check(name, estimate, vehicle):
    """The line of a project and the faults of all its plans."""
    # What cannot be fetched at all is a problem that the estimate names.
    told = any(finding["code"] == "sheet-needs-delivery" and finding["severity"] == "problem"
               for finding in estimate.get("findings", []))
    fetched_from = set() if told else {order["supplier"] for order in estimate["orders"] if order["collected"]}
    parts = sheets = off = cuts = changes = 0
    found = []
    for number, plan in enumerate(sheet_plans(estimate)):
        wrong = faults(plan)
        if not missing(plan):
            copies = plan["copies"]
            parts += copies * len(plan["placements"])
            sheets += copies
            off += copies * len(parts_off(plan))
            cuts += copies * len(plan["cuts"])
            changes += settings(plan).changes
            # What is delivered or lies in the workshop already needs no vehicle.
            if vehicle and plan["supplier"] in fetched_from:
                wrong += vehicle_faults(plan, *vehicle)
        found += [f"  sheet plan {number}, {plan.get('offer', 'no offer')}: {sentence}" for sentence in wrong]
    found += stick_counts(estimate)
    for number, plan in enumerate(estimate.get("board_plans", [])):
        found += [f"  board plan {number}, {plan['offer']}: {sentence}" for sentence in stick_faults(plan)]
        if vehicle and plan["supplier"] in fetched_from:
            found += [f"  board plan {number}, {plan['offer']}: {sentence}" for sentence in board_faults(plan, *vehicle)]
    return f"{name}: {parts} parts on {sheets} sheets, {off} off; {cuts} cuts, {changes} settings", found


def main():
    arguments = argparse.ArgumentParser(description="Cuts the sheets of estimates as planned, checks what comes out.")
    arguments.add_argument("aumbry", help="the command")
    arguments.add_argument("projects", nargs="+", help="project files, *.aumbry.json")
    arguments.add_argument("--effort", default="normal", help="how long plans are sought")
    arguments.add_argument("--quiet", action="store_true", help="nothing about projects without fault")
    asked = arguments.parse_args()
    failed = False
    for path in map(Path, asked.projects):
        name = path.name.removesuffix(".aumbry.json")
        words = [asked.aumbry, "price", str(path), "--json", "--effort", asked.effort]
        done = subprocess.run(words, capture_output=True)
        if done.returncode != 0:
            line, found = f"{name}: no estimate", [f"  {done.stderr.decode().strip()}"]
        else:
            line, found = check(name, json.loads(done.stdout), vehicle_of(json.loads(path.read_text())))
        failed = failed or bool(found)
        if found or not asked.quiet:
            print(line, *found, sep="\n")
    sys.exit(1 if failed else 0)


if __name__ == "__main__":
    main()

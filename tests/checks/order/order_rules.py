"""What a maker may ask of a plan of work, reckoned from the project and the dates alone: what a step touches, when it is
really done by the calendars of those who do it, and whether anything begins before what it needs. Shares no code with
the estimator.
"""
import json
import math
from datetime import date, timedelta

PHASES = ("prepare", "cut", "join", "edge", "machine", "sand", "prefinish", "assemble", "fasten", "finish", "fit",
          "carry_in", "scribe", "install", "hang", "load", "complete")
CARRIED_IN = PHASES.index("carry_in")
WEEK = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
DAY = 1440
DAY_BEGINS = 8 * 60
# Texts that only look like the name of a line.
PLAIN_TEXTS = {"kind", "piece", "title", "note", "material", "type", "product", "model", "sku", "match", "name", "size"}


def merged(target, patch):
    """RFC 7396."""
    if not isinstance(patch, dict):
        return patch
    result = dict(target) if isinstance(target, dict) else {}
    for key, value in patch.items():
        if value is None:
            result.pop(key, None)
        else:
            result[key] = merged(result.get(key), value)
    return result


def texts(value):
    """Every text in a value, without those under keys that name no line."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, list):
        for each in value:
            yield from texts(each)
    elif isinstance(value, dict):
        for key, each in value.items():
            if key not in PLAIN_TEXTS:
                yield from texts(each)


class Hours:
    """Minutes since the epoch in which somebody, or several together, can work."""

    def __init__(self, *of_day):
        self.of_day = of_day  # each: of a date, the minutes of that day (begin, end), or None

    def on(self, day):
        spans = [each(day) for each in self.of_day]
        if any(span is None for span in spans):
            return None
        begin, end = max(s[0] for s in spans), min(s[1] for s in spans)
        return (begin, end) if begin < end else None

    def works_at(self, moment):
        day, minute = date.fromordinal(moment // DAY), moment % DAY
        span = self.on(day)
        return span is not None and span[0] <= minute < span[1]

    def done(self, moment, minutes):
        """When work that begins at a moment is done; that it cannot begin then is said elsewhere."""
        if minutes == 0:
            return moment
        day = moment // DAY
        for _ in range(4000):
            span = self.on(date.fromordinal(day))
            if span is not None:
                begin = max(span[0], moment - day * DAY)
                if begin < span[1]:
                    if minutes <= span[1] - begin:
                        return day * DAY + begin + minutes
                    minutes -= span[1] - begin
            day += 1
        return moment


def stated_days(stated):
    days = set()
    for entry in stated:
        first, _, last = entry.partition("/")
        day, last = date.fromisoformat(first), date.fromisoformat(last or first)
        while day <= last:
            days.add(day)
            day += timedelta(days=1)
    return days


def hours_of_people(project):
    """By id: the minutes of a day, of the maker, of everybody else, and of the client's house as `site`."""
    shop = project.get("workshop", {})
    holidays = stated_days(shop.get("holidays", []))
    week = shop.get("weekdays", WEEK[:5])

    def of(weekdays, hours, off, only):
        def on(day):
            if only and day not in only:
                return None
            if not only and (WEEK[day.weekday()] not in weekdays or day in off):
                return None
            return DAY_BEGINS, DAY_BEGINS + round(hours * 60)
        return on

    people = {"maker": of(week, shop.get("hours_a_day", 8), holidays, set())}
    for name, person in project.get("people", {}).items():
        if name == "maker" and not {"weekdays", "hours_a_day", "dates"} & set(person):
            continue
        people[name] = of(person.get("weekdays", week), person.get("hours_a_day", shop.get("hours_a_day", 8)), holidays,
                          stated_days(person.get("dates", [])))
    site = project.get("site", {})
    if site:
        only = stated_days(site.get("dates", []))
        people["site"] = lambda day: (0, DAY) if (not only or day in only) and (
            WEEK[day.weekday()] in site.get("weekdays", WEEK)) else None
    return people


class Step:
    def __init__(self, task, people):
        self.task = task
        self.id = task["id"]
        self.phase = PHASES.index(task["phase"])
        self.lines = task.get("lines", [])
        self.pieces = task.get("pieces", [])
        self.operation = task.get("operation", "")
        self.workers = task["worker"].split(", ")
        # Half minutes are rounded up.
        self.minutes, self.wait = (math.floor(task[k] + 0.5) for k in ("minutes", "wait_minutes"))
        self.begin = date.fromisoformat(task["start"]).toordinal() * DAY + task["start_minute"]
        bounds = [people[w] for w in self.workers]
        if self.phase >= CARRIED_IN and "site" in people:
            bounds.append(people["site"])
        self.hours = Hours(*bounds)
        self.worked = self.hours.done(self.begin, self.minutes)
        self.done = self.worked + self.wait

    def __str__(self):
        return f"'{self.task['title']}' ({self.id}, {self.task['start']} {self.begin % DAY // 60:02}:{self.begin % 60:02})"


class Plan:
    """A priced project, read for the order of its work."""

    def __init__(self, project, estimate):
        self.project = project
        self.estimate = estimate
        self.lines = {name: line for name, line in project["lines"].items() if not name.startswith("x-")}
        self.people = hours_of_people(project)
        self.steps = [Step(t, self.people) for t in estimate["schedule"]["tasks"]]
        self.by_id = {step.id: step for step in self.steps}
        self.parts = {line for step in self.steps if step.task["phase"] == "cut" for line in step.lines}
        self.named = {name: self.names_in(name) for name in self.lines}
        self.phases = {step.id: self.phase_of(step) for step in self.steps}
        self.faults = []

    def piece_of(self, line):
        return self.lines[line].get("piece", "")

    def names_in(self, line):
        """The lines that a line names in its fields: the parts that it coats, joins, moves or holds."""
        found = set()
        for text in texts(self.lines[line]):
            if text in self.lines:
                found.add(text)
            elif text.endswith(".*"):
                found |= {each for each in self.lines if self.piece_of(each) == text[:-2]}
        return found - {line}

    def phase_of(self, step):
        """Its own, or the later one of what the project says that it comes after."""
        tasks, seen, latest, open_ = self.project.get("tasks", {}), {step.id}, step.phase, [step.id]
        while open_:
            here = open_.pop()
            after = list(tasks.get(here, {}).get("after", []))
            after += [name for name, task in tasks.items() if here in task.get("before", [])]
            for name in after:
                if name in self.by_id and name not in seen:
                    seen.add(name)
                    open_.append(name)
                    latest = max(latest, self.by_id[name].phase)
        return latest

    def touched(self, step):
        """Parts by their line, pieces as a whole by their name in brackets. Fetching goods touches none of them yet."""
        def whole(piece):
            return {f"[{piece}]"} | {p for p in self.parts if self.piece_of(p) == piece}

        if step.id.startswith("fetch/"):
            return set()
        if not step.lines:
            pieces = step.pieces or [*self.project.get("pieces", {}), *({self.piece_of(l) for l in self.lines})]
            return set().union(*map(whole, pieces))
        things = set()
        for line in step.lines:
            parts = ({line} | self.named[line]) & self.parts
            if not parts:
                things |= whole(self.piece_of(line))
            elif step.phase >= CARRIED_IN:
                things |= set().union(*(whole(self.piece_of(p)) for p in parts))
            else:
                things |= parts
        return things

    def fault(self, sentence):
        self.faults.append(sentence)

    def comes_first(self, first, then, why):
        if first.id != then.id and (then.minutes or then.wait) and then.begin < first.done:
            self.fault(f"{then} begins before {first} is done: {why}")

    # What is checked.

    def dates_agree(self):
        """The day on which a step is done, by the calendars of its people, is the one stated."""
        for step in self.steps:
            done = date.fromordinal(step.done // DAY).isoformat()
            midnight = date.fromordinal((step.done - 1) // DAY).isoformat()
            if step.task["finish"] not in (done, midnight):
                self.fault(f"{step} is said to be done on {step.task['finish']}, and takes until {done}")
            if step.minutes and not step.hours.works_at(step.begin):
                self.fault(f"{step} begins when {' and '.join(step.workers)} cannot work there")

    def parts_go_in_order(self):
        by_thing = {}
        for step in self.steps:
            for thing in self.touched(step):
                by_thing.setdefault(thing, []).append(step)
        for thing, steps in by_thing.items():
            latest = []  # by phase: the last to be done
            for phase in range(len(PHASES)):
                here = [s for s in steps if self.phases[s.id] == phase]
                for step in here:
                    for before in latest:
                        self.comes_first(before, step, f"both touch {thing}, in {PHASES[self.phases[before.id]]} and "
                                                       f"in {PHASES[phase]}")
                if here:
                    latest.append(max(here, key=lambda s: s.done))

    def what_is_stated_comes_first(self):
        for step in self.steps:
            for name in step.task.get("after", []):
                self.comes_first(self.by_id[name], step, "it comes after it")
        for name, task in self.project.get("tasks", {}).items():
            for other in task.get("before", []):
                if other in self.by_id and name in self.by_id:
                    self.comes_first(self.by_id[name], self.by_id[other], "the project says so")
            for other in task.get("after", []):
                if other in self.by_id and name in self.by_id:
                    self.comes_first(self.by_id[other], self.by_id[name], "the project says so")

    def is_fixing(self, step):
        return step.operation == "fix" or step.id.endswith("_anchor")

    def loads_springs(self, step):
        return step.task["phase"] == "load" and step.operation != "" and not step.id.startswith("sundries/")

    def trade_order(self):
        """By what steps are, not by the phase that they carry."""
        joined = {}  # what a fastener or fixing touches
        for step in self.steps:
            joined[step.id] = self.touched(step)

        def share(a, b):
            return bool(joined[a.id] & joined[b.id])

        def pairs(first, then, why):
            for a in self.steps:
                if first(a):
                    for b in self.steps:
                        if then(b) and share(a, b):
                            self.comes_first(a, b, why)

        def operation(*names):
            return lambda step: step.operation in names

        def hangs(step):
            return step.task["phase"] == "hang" and step.lines != [] and not step.id.startswith("sundries/")

        def fits_hardware(step):
            return step.operation == "fit" and self.lines[step.lines[0]].get("phase", "fit") == "fit"

        pairs(self.is_fixing, hangs, "what moves is hung on what is fixed to the building")
        pairs(self.is_fixing, self.loads_springs, "springs pull on what must be fixed")
        pairs(hangs, self.loads_springs, "springs are fitted to a panel that hangs")
        pairs(operation("coat"), fits_hardware, "hardware goes on when the finish is dry")
        pairs(operation("glue"), operation("screw"), "screws draw up what is glued")
        pairs(operation("join"), operation("edge"), "an edge is banded over the seam")
        pairs(operation("cut", "dress"), operation("coat", "glue", "screw", "fit", "edge", "join"), "it is cut first")

    def one_place_at_a_time(self):
        for worker in {w for step in self.steps for w in step.workers}:
            at = sorted((s for s in self.steps if worker in s.workers and s.minutes), key=lambda s: (s.begin, s.worked))
            for a, b in zip(at, at[1:]):
                if b.begin < a.worked:
                    self.fault(f"{worker} is at {a} and at {b} at once")
        short = {f.get("step") for f in self.estimate["findings"] if f["code"] == "too-few-hands"}
        for step in self.steps:
            if step.minutes and len(step.workers) < step.task["people"] and step.id not in short and (
                    step.id.partition("/")[2] not in short):
                self.fault(f"{step} is work for {step.task['people']}, {len(step.workers)} are there, and nothing says so")

    def the_rack_holds(self):
        stated = self.project.get("workshop", {}).get("rack")
        if stated is None:
            return
        rack = float(stated.removesuffix("m2"))
        lying = [(s.begin, s.done, min(s.task["rack"], rack), s) for s in self.steps if s.task["rack"] > 0]
        for moment, _, _, step in lying:
            area = sum(a for begin, end, a, _ in lying if begin <= moment < end)
            if area > rack + 1e-6:
                self.fault(f"the rack of {rack:g} m2 carries {area:.2f} m2 when {step} begins")

    def goods_are_in_hand(self):
        arrives, fetched = {}, {}
        for purchase in self.estimate["purchases"]:
            for demand in purchase["demands"]:
                if (trip := self.by_id.get(f"fetch/{purchase['supplier']}")) is not None:
                    fetched.setdefault(demand, []).append(trip)
                arrives.setdefault(demand, []).append(date.fromisoformat(purchase["arrives"]).toordinal() * DAY)
        for step in self.steps:
            for demand in step.task.get("needs", []):
                for trip in fetched.get(demand, []):
                    self.comes_first(trip, step, f"it brings {demand}")
                for moment in arrives.get(demand, []):
                    if step.begin < moment:
                        self.fault(f"{step} begins before {demand} is in hand, on {date.fromordinal(moment // DAY)}")
        self.goods_of_a_later_coat(arrives)
        self.hire_is_there()

    def goods_of_a_later_coat(self, arrives):
        """Abrasive from the second coat on, plugs with the screws that they cover."""
        for purchase in self.estimate["purchases"]:
            for demand in purchase["demands"]:
                wanted = {line["line"] for line in purchase["lines"]}
                for step in self.steps:
                    rubbed = demand.startswith("finish/abrasive") and step.operation == "coat" and (
                        not step.id.endswith("_coat_1"))
                    plugged = demand.endswith(".plugs") and step.operation == "screw"
                    if (rubbed or plugged) and wanted & set(step.lines) and step.begin < max(arrives[demand]):
                        self.fault(f"{step} begins before {demand} is in hand")

    def hire_is_there(self):
        """What a service is needed for does not begin before it."""
        services = {name: line for name, line in self.lines.items() if line["kind"] == "service" and "phase" in line}
        for purchase in self.estimate["purchases"]:
            for line in {each["line"] for each in purchase["lines"]} & set(services):
                piece, phase = services[line].get("piece", ""), services[line]["phase"]
                there = date.fromisoformat(purchase["arrives"]).toordinal() * DAY
                for step in self.steps:
                    if step.task["phase"] == phase and (not piece or f"[{piece}]" in self.touched(step) or any(
                            self.piece_of(p) == piece for p in self.touched(step) & self.parts)) and (
                            step.minutes and step.begin < there):
                        self.fault(f"{step} begins before '{line}' is there")

    def critical_means_no_slack(self):
        for step in self.steps:
            task = step.task
            if task["critical"] and (task["slack_hours"] > 0 or task["slack_days"] > 0):
                self.fault(f"{step} is critical and may begin {task['slack_hours']} h later")
        last = max((s.done for s in self.steps), default=0)
        ready = self.estimate["schedule"]["ready"]
        if last and ready < date.fromordinal((last - 1) // DAY).isoformat():
            self.fault(f"the job is said to be ready on {ready}, and work goes on")

    def check(self):
        for rule in (self.dates_agree, self.parts_go_in_order, self.what_is_stated_comes_first, self.trade_order,
                     self.one_place_at_a_time, self.the_rack_holds, self.goods_are_in_hand,
                     self.critical_means_no_slack):
            rule()
        return self.faults


def read_project(file, alternative=None):
    project = json.loads(file.read_text())
    return merged(project, project["alternatives"][alternative].get("changes", {})) if alternative else project

#!/usr/bin/env python3
"""One run in a real window under a virtual X server.

Opens the harbour loft, edits a cell by keyboard, saves, opens it again and checks the file; kills it after an unsaved edit
and gets the edit back; tells what happens without a display. With --measure it measures the first frame and the idle share of a core too.

usage: real_window.py AUMBRY_GUI PLUGINS CATALOGS PICTURES [--measure]
"""
import json
import os
import shutil
import signal
import subprocess
import sys
import tempfile
import time

GUI, PLUGINS, CATALOGS, PICTURES = sys.argv[1:5]
MEASURE = "--measure" in sys.argv
FAILURES = []


def check(fine, what):
    print(("ok    " if fine else "WRONG ") + what, flush=True)
    if not fine:
        FAILURES.append(what)


def until(done, seconds, step=0.05):
    last = time.monotonic() + seconds
    while time.monotonic() < last:
        value = done()
        if value:
            return value
        time.sleep(step)
    return None


class Display:
    """A virtual X server that goes with the run; it chooses its own number."""

    def __init__(self):
        reading, writing = os.pipe()
        self.server = subprocess.Popen(
            ["Xvfb", "-displayfd", str(writing), "-screen", "0", "1280x800x24", "-nolisten", "tcp"],
            pass_fds=[writing], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        os.close(writing)
        with os.fdopen(reading) as pipe:
            number = pipe.readline().strip()
        if not number:
            sys.exit("Xvfb did not start")
        self.environment = dict(os.environ, DISPLAY=":" + number, LIBGL_ALWAYS_SOFTWARE="1")
        self.environment.pop("WAYLAND_DISPLAY", None)

    def close(self):
        self.server.terminate()
        self.server.wait()


class Window:
    """The program in that display."""

    def __init__(self, display, project, home, *options):
        self.environment = dict(display.environment, XDG_CONFIG_HOME=home, XDG_STATE_HOME=os.path.join(home, "state"))
        self.began = time.monotonic()
        self.process = subprocess.Popen(
            [GUI, "--plugins", PLUGINS, "--catalogs", CATALOGS, "--width", "1280", "--height", "800",
             *options, *([project] if project else [])],
            env=self.environment, stderr=subprocess.PIPE, text=True)

    def tool(self, *words):
        return subprocess.run(["xdotool", *words], env=self.environment, capture_output=True, text=True).stdout.strip()

    def named(self, part):
        return self.tool("search", "--name", part)

    def keys(self, *keys):
        # A key must be down for a frame or two, as a finger holds it.
        for key in keys:
            self.tool("keydown", key)
            time.sleep(0.12)
            self.tool("keyup", key)
            time.sleep(0.12)

    def write(self, text):
        self.tool("type", "--delay", "40", text)
        time.sleep(0.3)

    def click(self, x, y):
        self.tool("mousemove", str(x), str(y))
        time.sleep(0.2)
        self.tool("mousedown", "1")
        time.sleep(0.15)
        self.tool("mouseup", "1")
        time.sleep(0.3)

    def picture(self, name):
        file = os.path.join(PICTURES, name)
        subprocess.run(["import", "-window", "root", file], env=self.environment, check=True)
        return file

    def colours(self):
        """Colours in the picture of the screen: one as long as nothing is drawn."""
        count = subprocess.run("import -window root rgb:- | convert -size 1280x800 -depth 8 rgb:- -format %k info:",
                               shell=True, env=self.environment, capture_output=True, text=True).stdout
        return int(count or 0)

    def processor_seconds(self):
        with open(f"/proc/{self.process.pid}/stat") as stat:
            fields = stat.read().rsplit(")", 1)[1].split()
        return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")

    def threads_that_run(self):
        """Those that compute, or would if a core were free."""
        running = 0
        for thread in os.listdir(f"/proc/{self.process.pid}/task"):
            with open(f"/proc/{self.process.pid}/task/{thread}/stat") as stat:
                running += stat.read().rsplit(")", 1)[1].split()[0] != "S"
        return running

    def settle(self):
        """Until the program has nothing left to compute: every thread waits and takes no processor time."""
        def quiet():
            before = self.processor_seconds()
            for _ in range(4):
                if self.threads_that_run():
                    return False
                time.sleep(0.1)
            return self.processor_seconds() - before < 0.02
        return until(quiet, 90)

    def kill(self):
        """As a power cut does it: nothing is told to the program."""
        self.process.send_signal(signal.SIGKILL)
        self.process.wait()

    def close(self):
        self.keys("ctrl+q")
        try:
            return self.process.wait(20)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.wait()
            return None


def without_display(home):
    environment = {key: value for key, value in os.environ.items() if key not in ("DISPLAY", "WAYLAND_DISPLAY")}
    environment["XDG_CONFIG_HOME"] = home
    run = subprocess.run([GUI], env=environment, capture_output=True, text=True, timeout=60)
    check(run.returncode == 1, "without a display the status is 1")
    lines = run.stderr.strip().splitlines()
    check(len(lines) == 1 and "aumbry" in lines[0] and "display" in lines[0],
          "one sentence names the command instead: " + " ".join(lines))


def edit_and_save(display, project, home):
    before = json.load(open(project))
    window = Window(display, project, home)
    found = until(lambda: window.named("harbour-loft"), 20)
    check(bool(found), "a window names the project in its title")
    until(lambda: window.colours() > 50, 20, 0.02)
    first = time.monotonic() - window.began
    check(first < 20, f"something is drawn after {first:.2f} s, taking pictures included")
    check(bool(window.settle()), "the estimate is refined and the window comes to rest")
    window.picture("opened.png")
    if MEASURE:
        seconds = 20
        busy = window.processor_seconds()
        time.sleep(seconds)
        share = (window.processor_seconds() - busy) / seconds * 100
        print(f"      first frame {first:.2f} s (goal 1 s), idle {share:.2f} % of a core (goal below 1 %)", flush=True)
        check(share < 1, "idle takes less than 1 % of a core")
    # The third line is the side of the bed; its length stands four cells to the right of its title.
    window.click(90, 366)
    window.keys("Right", "Right", "Right", "Right")
    window.write("1999 mm")
    window.picture("typing.png")
    window.keys("Return")
    check(bool(until(lambda: window.named("unsaved"), 10)), "the title tells that there are unsaved changes")
    window.settle()
    window.picture("edited.png")
    window.keys("ctrl+s")
    check(bool(until(lambda: not window.named("unsaved"), 10)), "saving takes the mark away")
    check(window.close() == 0, "it leaves with status 0")
    after = json.load(open(project))
    check(after["lines"]["bed_side"]["length"] == "1999 mm", "the file has the new length")
    after["lines"]["bed_side"]["length"] = before["lines"]["bed_side"]["length"]
    check(json.dumps(after) == json.dumps(before), "nothing else in the file is different, nor in another order")
    check(sorted(os.listdir(os.path.dirname(project))) == [os.path.basename(project)], "no other file is left beside it")


def open_again(display, project, home):
    saved = open(project).read()
    window = Window(display, project, home)
    check(bool(until(lambda: window.named("harbour-loft"), 20)), "it opens again")
    window.settle()
    window.picture("again.png")
    for number in range(1, 9):
        window.keys(f"ctrl+{number}")
        window.settle()
        window.picture(f"view-{number}.png")
        check(window.colours() > 50, f"view {number} is drawn")
    check(window.process.poll() is None, "it is still there after every view was shown")
    check(window.close() == 0, "it leaves without a question, as nothing is unsaved")
    check(open(project).read() == saved, "looking changes nothing")
    settings = json.load(open(os.path.join(home, "aumbry", "window.json")))
    check(settings["recent"][0] == project, "the project is remembered")


def edit_without_saving(display, project, home, length, journal):
    window = Window(display, project, home, "--effort", "draft")
    until(lambda: window.named("harbour-loft"), 20)
    window.settle()
    window.click(90, 366)
    window.keys("Right", "Right", "Right", "Right")
    window.write(length)
    window.keys("Return")
    check(bool(until(lambda: window.named("unsaved"), 10)), "an edit is not saved yet")
    until(lambda: os.path.exists(journal), 10)
    return window


def killed(display, project, home):
    """An edit outlives a kill, whether the project is opened again by name or not at all."""
    saved = open(project).read()
    journal = os.path.join(os.path.dirname(project), ".harbour-loft.aumbry.json.aumbry-journal")
    for number, (named, length) in enumerate([(project, "1888 mm"), (None, "1777 mm")]):
        edit_without_saving(display, project, home, length, journal).kill()
        check(os.path.exists(journal), "killed, it leaves a journal beside the project")
        check(open(project).read() == saved, "and the project as it was")
        window = Window(display, named, home, "--effort", "draft")
        until(lambda: window.colours() > 50, 20)
        window.settle()
        window.picture(f"offered-{number}.png")
        check(not window.named("unsaved"), "at the next start nothing is restored unasked")
        window.keys("space")
        check(bool(until(lambda: window.named("harbour-loft") and window.named("unsaved"), 10)),
              "the unsaved edit is offered and restored")
        window.settle()
        window.picture(f"restored-{number}.png")
        window.keys("ctrl+s")
        until(lambda: not window.named("unsaved"), 10)
        check(window.close() == 0, "it leaves with status 0")
        saved = open(project).read()
        check(json.loads(saved)["lines"]["bed_side"]["length"] == length, "saved, the file has the edit")
        check(sorted(os.listdir(os.path.dirname(project))) == [os.path.basename(project)], "and the journal is gone")


def main():
    missing = [tool for tool in ("Xvfb", "xdotool", "import", "convert") if shutil.which(tool) is None]
    if missing:
        sys.exit("These programs are needed: " + ", ".join(missing))
    os.makedirs(PICTURES, exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        home = os.path.join(folder, "home")
        jobs = os.path.join(folder, "jobs")
        os.makedirs(home)
        os.makedirs(jobs)
        project = os.path.join(jobs, "harbour-loft.aumbry.json")
        shutil.copy(os.path.join(CATALOGS, "projects", "harbour-loft.aumbry.json"), project)
        without_display(home)
        display = Display()
        try:
            edit_and_save(display, project, home)
            open_again(display, project, home)
            killed(display, project, home)
        finally:
            display.close()
    if FAILURES:
        sys.exit(f"{len(FAILURES)} of the checks failed; pictures are in {PICTURES}")


if __name__ == "__main__":
    main()

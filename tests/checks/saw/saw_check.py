"""Cuts the sheets of both demonstrations and of random jobs with the saw simulator.

usage: saw_check.py AUMBRY PLUGINS CATALOGS COUNT
       COUNT random projects, several orders of sheets each
"""
import os
import subprocess
import sys
import tempfile
from pathlib import Path

here = Path(__file__).parent
aumbry, plugins, catalogs, count = sys.argv[1], sys.argv[2], Path(sys.argv[3]), sys.argv[4]
environment = os.environ | {"AUMBRY_PLUGINS": plugins}


def simulate(projects, *more):
    return subprocess.run([sys.executable, here / "saw_simulator.py", aumbry, *map(str, projects), *more],
                          env=environment).returncode == 0


fine = simulate(sorted((catalogs / "projects").glob("*.aumbry.json")))
with tempfile.TemporaryDirectory() as folder:
    subprocess.run([sys.executable, here / "random_jobs.py", folder, count, "1", catalogs], check=True)
    fine = simulate(sorted(Path(folder, "projects").glob("*.aumbry.json")), "--effort", "draft", "--quiet") and fine
sys.exit(0 if fine else 1)

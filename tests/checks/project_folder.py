"""The folder into which random projects are written: FOLDER/projects, with links beside it to the suppliers and reference
tables of CATALOGS, where the command looks for them.
"""
import argparse
import json
from pathlib import Path


class ProjectFolder:
    """What a program that writes random projects is asked: FOLDER COUNT SEED CATALOGS."""

    def __init__(self, description):
        arguments = argparse.ArgumentParser(description=description)
        arguments.add_argument("folder", type=Path)
        arguments.add_argument("count", type=int)
        arguments.add_argument("seed", type=int)
        arguments.add_argument("catalogs", type=Path)
        asked = arguments.parse_args()
        self.count, self.seed, self.catalogs = asked.count, asked.seed, asked.catalogs
        self.projects = asked.folder / "projects"
        self.projects.mkdir(parents=True, exist_ok=True)
        for part in ("suppliers", "reference"):
            link = asked.folder / part
            link.unlink(missing_ok=True)
            link.symlink_to((asked.catalogs / part).resolve())

    def write(self, number, made):
        (self.projects / f"random-{number:03}.aumbry.json").write_text(json.dumps(made, indent=1) + "\n")

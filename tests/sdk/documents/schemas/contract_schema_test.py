"""An outside validator (python3-jsonschema) accepts every document that modules really exchange with the host, and refuses
each of them once a required key is gone or a value is of another type."""
import copy
import json
import pathlib
import subprocess
import sys

import jsonschema

program, plugins, schemas = sys.argv[1:4]
validators = {}
for path in pathlib.Path(schemas).glob("contract_*.schema.json"):
    schema = json.loads(path.read_text(encoding="utf-8"))
    jsonschema.Draft7Validator.check_schema(schema)
    validators[path.name.removeprefix("contract_").removesuffix(".schema.json")] = jsonschema.Draft7Validator(schema)

lines = subprocess.run([program, plugins], check=True, capture_output=True, text=True).stdout.splitlines()
failures, accepted, refused = [], 0, 0
seen = set()
for line in lines:
    document = json.loads(line)
    name, value = document["document"], document["value"]
    validator = validators[name]
    seen.add(name)
    errors = list(validator.iter_errors(value))
    accepted += not errors
    for error in errors[:3]:
        failures.append(f"{name}: {list(error.absolute_path)}: {error.message}")

    root = validator.schema["definitions"][validator.schema["$ref"].rsplit("/", 1)[1]]
    for key in value:
        worse = copy.deepcopy(value)
        worse[key] = 7
        if root["properties"][key] and validator.is_valid(worse):
            failures.append(f"{name}: 7 is accepted for {key}")
        refused += 1
    for key in root.get("required", []):
        worse = copy.deepcopy(value)
        del worse[key]
        if validator.is_valid(worse):
            failures.append(f"{name}: accepted without {key}")
        refused += 1

needed = {"description", "derive_request", "derive_reply", "take_off_request", "take_off_reply", "follow_request"}
if not needed <= seen:
    failures.append(f"no document was exchanged of {sorted(needed - seen)}")
for failure in failures[:20]:
    print(failure)
print(f"{accepted} documents accepted, {refused} spoilt ones tried")
sys.exit(1 if failures else 0)

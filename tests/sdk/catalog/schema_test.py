#!/usr/bin/env python3
"""python3-jsonschema takes the good documents and refuses the bad ones: schema_test.py SCHEMA FOLDER."""
import json
import pathlib
import sys

import jsonschema

schema = json.loads(pathlib.Path(sys.argv[1]).read_text(encoding='utf-8'))
jsonschema.Draft7Validator.check_schema(schema)
validator = jsonschema.Draft7Validator(schema)
failures = 0
seen = 0
for wanted in ('good', 'bad'):
    for path in sorted((pathlib.Path(sys.argv[2]) / wanted).glob('*.json')):
        seen += 1
        is_good = validator.is_valid(json.loads(path.read_text(encoding='utf-8')))
        if is_good != (wanted == 'good'):
            print(f'{path}: {"taken" if is_good else "refused"}, but it is {wanted}')
            failures += 1
print(f'{seen} documents, {failures} judged wrongly')
sys.exit(1 if failures or seen < 7 else 0)

#!/usr/bin/env python3
"""validate.py SCHEMA FILE: checks a JSON file against a draft 7 schema, prints the first complaint."""
import json
import sys

import jsonschema

schema = json.load(open(sys.argv[1], encoding="utf-8"))
jsonschema.Draft7Validator.check_schema(schema)
document = json.load(open(sys.argv[2], encoding="utf-8"), parse_constant=lambda name: sys.exit(f"{name} is no JSON"))
for error in jsonschema.Draft7Validator(schema).iter_errors(document):
    sys.exit("/".join(str(p) for p in error.absolute_path) + ": " + error.message[:300])

#!/usr/bin/env python3
"""phrases.py SRC TABLE.toml: English sentences in the sources of the computation that the table lacks, one a
line. A source's text counts as known where it is a part of one of the table's."""
import ast
import pathlib
import re
import sys

# What speaks to the reader of a note. Errors of wrong calls, keys of tables and sources of numbers do not.
FILES = ["diagnose/*.cpp", "compare/compare.cpp", "compare/range.cpp", "portrait/usability.cpp",
         "portrait/running_remarks.cpp", "layout/lines.cpp", "layout/off.cpp", "job/analysis.cpp", "job/evidence.cpp"]
NOT_SAID = re.compile(r"\.source\b|answers\[|throw Error|fail_unknown|#include|must_have|with\.contains|"
                      r"Error::Kind|advice|engine_names|names\.size|Lines |only_with|find\(\"warm\"\)|codec|concerns\(|"
                      r"said\(|Cache cache|\"file: |layout\.toml")
# Names, not sentences: parts of the engine, checks, and words that are put together with others.
NAMES = {"valve train", "crank", "injection", "exhaust", "intake", "ignition", "clutch", "outside", "ac-on", "lock",
         "lamps-on", "mist", "run-up", "clutch-down", "cylinder-cut", "shut-off", "warm", "held-speed", "in-gear"}

source, table = pathlib.Path(sys.argv[1]), pathlib.Path(sys.argv[2]).read_text(encoding="utf-8")
known = [ast.literal_eval(m) for m in re.findall(r'^\w+ = ("(?:[^"\\]|\\.)*")$', table, re.M)]
known = [re.sub(r"\{\w+\}", "\0", k) for k in known]
for pattern in FILES:
    for file in sorted(source.glob(pattern)):
        text = file.read_text(encoding="utf-8")
        text = re.sub(r"//.*", "", text)
        text = re.sub(r'"\s*\n\s*"', "", text)  # a literal over several lines is one
        skip = False
        for statement in re.split(r"(?<=[;{}])\s*\n", text):
            if NOT_SAID.search(statement):
                continue
            for literal in re.findall(r'"((?:[^"\\\n]|\\.)+)"', statement):
                said = re.sub(r"\\u([0-9a-f]{4})", lambda m: chr(int(m[1], 16)), literal)
                said = said.replace('\\"', '"').strip().removesuffix(", count not known")
                if said in NAMES or not re.search(r"[a-z]{3}", said):
                    continue
                if not any(said in k for k in known):
                    print(f"{file.relative_to(source)}: {said}")

#!/usr/bin/env python3
"""svg_facts.py FILE: parses an SVG strictly and prints its size, then each text on a line."""
import sys
import xml.etree.ElementTree as tree

SVG = "{http://www.w3.org/2000/svg}"
root = tree.parse(sys.argv[1]).getroot()
allowed = {SVG + name for name in ("svg", "title", "polyline", "polygon", "circle", "text", "image")}
for element in root.iter():
    if element.tag not in allowed:
        sys.exit(f"unexpected element {element.tag}")
    for name in element.attrib:
        if name.lower().startswith("on") or name == "id":
            sys.exit(f"unexpected attribute {name}")
print(root.get("width"), root.get("height"))
for element in root.iter(SVG + "text"):
    print(element.text)

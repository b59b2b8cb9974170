#!/usr/bin/env python3
"""html_facts.py FILE: parses an HTML note strictly enough for its own writing and prints facts, one a line:
unbalanced tags, elements and attributes that must not be, addresses that lead outside, the policy, the text."""
import base64
import hashlib
import sys
from html.parser import HTMLParser

VOID = {"meta", "link", "br", "img", "input", "col"}
SVG_EMPTY = {"polyline", "polygon", "circle", "path", "image"}


class Facts(HTMLParser):
    def __init__(self):
        super().__init__(convert_charrefs=True)
        self.open, self.policy, self.text, self.style = [], "", [], ""
        self.count = {}

    def handle_starttag(self, tag, attrs):
        self.count[tag] = self.count.get(tag, 0) + 1
        if tag in ("script", "iframe", "object", "embed", "form", "base", "a"):
            print("forbidden element", tag)
        for name, value in attrs:
            if name.startswith("on") or name == "style":
                print("forbidden attribute", name)
            if name in ("src", "href", "xlink:href", "action") and not (value or "").startswith("data:"):
                print("outside address", value)
        attributes = dict(attrs)
        if attributes.get("http-equiv") == "Content-Security-Policy":
            self.policy = attributes["content"]
        if tag not in VOID and tag not in SVG_EMPTY:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.handle_starttag(tag, attrs)
        if self.open and self.open[-1] == tag:
            self.open.pop()

    def handle_endtag(self, tag):
        if not self.open or self.open.pop() != tag:
            print("unbalanced", tag)

    def handle_data(self, data):
        if self.open and self.open[-1] == "style":
            self.style += data
        else:
            self.text.append(data)


facts = Facts()
facts.feed(open(sys.argv[1], encoding="utf-8").read())
facts.close()
if facts.open:
    print("left open", facts.open)
digest = base64.b64encode(hashlib.sha256(facts.style.encode()).digest()).decode()
if f"'sha256-{digest}'" not in facts.policy:
    print("the policy does not allow the file's own style")
for wanted in ("default-src 'none'", "base-uri 'none'", "form-action 'none'"):
    if wanted not in facts.policy:
        print("the policy lacks", wanted)
if "unsafe" in facts.policy or "http" in facts.policy:
    print("the policy is loose:", facts.policy)
print("audio", facts.count.get("audio", 0), "svg", facts.count.get("svg", 0) > 0)
print(" ".join(" ".join(facts.text).split()))

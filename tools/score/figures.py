#!/usr/bin/env python3
"""Adds up what score_pairs wrote: rates with their 95 % Wilson intervals, by kind of pair."""
import argparse
import collections
import json
import math
import sys


def wilson(hits, n):
    """Wilson 1927: interval of a share."""
    if n == 0:
        return (0.0, 1.0)
    z, p = 1.96, hits / n
    middle = (p + z * z / 2 / n) / (1 + z * z / n)
    half = z / (1 + z * z / n) * math.sqrt(p * (1 - p) / n + z * z / 4 / n / n)
    return (middle - half, middle + half)


def rate(name, hits, n):
    low, high = wilson(hits, n)
    share = f"{100 * hits / n:5.1f} %" if n else "    - "
    print(f"  {name:52} {share}  ({hits}/{n}; {100 * low:.0f} to {100 * high:.0f})")


def of(rows, key):
    return [r for r in rows if key(r)]


def quiet_pairs(rows):
    for same, name in ((False, "unchanged, phone moved"), (True, "unchanged, phone untouched")):
        part = of(rows, lambda r: r["relation"] == "unchanged" and r["same_placement"] == same)
        if part:
            rate(name + ": any flag", sum(r["flagged"] > 0 for r in part), len(part))
    part = of(rows, lambda r: r["relation"] == "healthy off")
    if part:
        rate("healthy part off: a suspect above 0.5", sum(blamed(r) for r in part), len(part))
        rate("healthy part off: a flag that is not expected", sum(r["unexpected"] > 0 for r in part), len(part))


def blamed(row):
    return any(s["p"] > 0.5 and s["kind"] != "other" for s in row["suspects"])


def steady(row):
    """Broadband that neither swells nor knocks is judged apart from tones, swelling and ticks."""
    return row["true_character"][0] == "hiss" and not row["true_beats"]


def heard(rows):
    part = of(rows, lambda r: r["relation"] in ("changed", "guilty off") and "level" in r)
    for same in (True, False):
        for broad in (False, True):
            some = of(part, lambda r: r["same_placement"] == same and steady(r) == broad)
            for low in range(-9, 15, 3):
                cell = of(some, lambda r: low - 1.5 <= r["level"] < low + 1.5)
                if cell:
                    what = "steady" if broad else "tone, swell, tick"
                    rate(f"{'untouched' if same else 'moved'}, {what}, {low:+d} dB: found",
                         sum(r["found"] for r in cell), len(cell))
    found = of(part, lambda r: r.get("found"))
    if found:
        rate("character of a found fault right", sum(r["character_right"] for r in found), len(found))
        rate("follows right or unknown", sum(r["follows_right"] for r in found), len(found))
        known = of(found, lambda r: r["match"]["follows"] != "unknown")
        rate("follows right where said", sum(r["follows_right"] for r in known), len(known))
        beat = of(found, lambda r: "beat_right" in r)
        rate("beat ratio within 2 %", sum(r["beat_right"] for r in beat), len(beat))


def readings(rows):
    """How true characters, and pitches of what was read as a tone, were read: the tables of likelihoods.hpp."""
    found = of(rows, lambda r: r.get("found"))
    tones = of(found, lambda r: r["match"]["character"] == "tone")
    for name, part, truth, seen in (
        ("character", found, lambda r: r["true_character"][0], "character"),
        ("pitch", tones, lambda r: r["true_follows"], "follows"),
    ):
        table = collections.defaultdict(collections.Counter)
        for r in part:
            table[truth(r)][r["match"][seen]] += 1
        for true, counts in sorted(table.items()):
            print(f"  {name} {true}: read as", ", ".join(f"{k} {n}" for k, n in counts.most_common()))


def causes(rows):
    part = of(rows, lambda r: r["relation"] == "guilty off" and r.get("guilty") not in (None, "other"))
    if not part:
        return
    rate("telling pair: found", sum(r["found"] for r in part), len(part))
    rate("guilty first (or tied with the first)", sum(r["right_place"] == 1 for r in part), len(part))
    rate("guilty in the first three", sum(1 <= r["right_place"] <= 3 for r in part), len(part))
    found = of(part, lambda r: r["found"])
    rate("guilty first, of the found ones", sum(r["right_place"] == 1 for r in found), len(found))
    rate("guilty in the first three, of the found ones", sum(1 <= r["right_place"] <= 3 for r in found), len(found))
    rate("right kind first", sum(bool(r["suspects"]) and r["suspects"][0]["kind"] == r["guilty"] for r in part),
         len(part))
    by = collections.defaultdict(list)
    for r in part:
        by[r["guilty"]].append(r)
    for kind, some in sorted(by.items()):
        rate(f"    {kind}: first / ", sum(r["right_place"] == 1 for r in some), len(some))


def reliability(rows):
    cells = collections.defaultdict(lambda: [0, 0, 0.0])
    brier, n = 0.0, 0
    for r in of(rows, lambda r: r["relation"] in ("guilty off", "healthy off", "unchanged", "changed")):
        for s in r["suspects"]:
            if s["kind"] == "other":
                continue
            right = s["right"] and r["relation"] != "healthy off"
            c = cells[min(9, int(s["p"] * 10))]
            c[0] += right
            c[1] += 1
            c[2] += s["p"]
            brier += (s["p"] - right) ** 2
            n += 1
    if n:
        print(f"  Brier score over {n} stated probabilities: {brier / n:.4f}")
    for d, (right, count, total) in sorted(cells.items()):
        low, high = wilson(right, count)
        print(f"    stated {100 * total / count:4.0f} %: right {100 * right / count:4.0f} % of {count}"
              f" ({100 * low:.0f} to {100 * high:.0f})")


def main():
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("lines", nargs="*", help="files of JSON lines; default: standard input")
    args = parser.parse_args()
    text = [line for f in args.lines for line in open(f)] if args.lines else sys.stdin
    rows = [json.loads(line) for line in text]
    for r in of(rows, lambda r: "error" in r):
        print("error:", r["folder"], r["error"])
    rows = of(rows, lambda r: "error" not in r)
    rate("both speeds known", sum(r["speeds"] for r in rows), len(rows))
    known = of(rows, lambda r: r["speeds"])
    rate("and right within 0.5 %", sum(r["speeds_right"] for r in known), len(known))
    quiet_pairs(rows)
    heard(rows)
    readings(rows)
    causes(rows)
    reliability(rows)


if __name__ == "__main__":
    main()

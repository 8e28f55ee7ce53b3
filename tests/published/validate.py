#!/usr/bin/env python3
"""Published numbers against the model: tests/published/validate.py PROGRAM [REPORT].

Runs tests/published/values.yaml through `PROGRAM calc` and facts.yaml through `PROGRAM run`, prints TAP, and writes the
report (docs/validation.md): source, wanted, got, tolerance and its reason, pass or miss. A miss that is not listed with its
reason fails; a listed one that passes is told.
"""
import json
import shlex
import subprocess
import sys
from pathlib import Path

import yaml

here = Path(__file__).resolve().parent
program = sys.argv[1]
report = Path(sys.argv[2]) if len(sys.argv) > 2 else None
root = here.parent.parent
lines, bad, number = [], 0, 0


def call(*words):
    run = subprocess.run([program, *words, "--json"], capture_output=True, text=True)
    if run.returncode > 1:
        raise RuntimeError(run.stderr.strip() or f"exit {run.returncode}")
    return json.loads(run.stdout)


def tolerance(within, wanted):
    if isinstance(within, str) and within.endswith("%"):
        return abs(wanted) * float(within[:-1]) / 100
    return float(within)


def say(good, name, detail=""):
    global number, bad
    number += 1
    bad += not good
    print(f"{'ok' if good else 'not ok'} {number} - {name}" + ("" if good else f"\n# {detail}"), flush=True)


def judge(passed, miss, name, detail):
    """a pass, a miss that is listed, or a failure"""
    if passed and miss:
        print(f"# {name}: listed as a miss ({miss}) and passes: take it off the list")
    say(passed or bool(miss), name, detail)
    return "pass" if passed else "miss: " + (miss or "not explained")


def text(value):
    return f"{value:.6g}" if isinstance(value, (int, float)) else str(value)


def check_values():
    lines.extend(["## Equations", "", "Each through `donkeyman calc`, which calls the functions that the model calls.", ""])
    for block in yaml.safe_load((here / "values.yaml").read_text()):
        lines.extend([f"### {block['calc']}", "", block["source"] + ".", "", f"Tolerance: {block['reason']}.", "",
                      "| arguments | result | wanted | got | within | |", "| --- | --- | --- | --- | --- | --- |"])
        for row in block["rows"]:
            given, wanted, miss = {**block.get("given", {}), **row[0]}, row[1], row[2] if len(row) > 2 else None
            words = [f"{key}={value}" for key, value in given.items()]
            name = f"{block['calc']} {' '.join(words)}"
            try:
                results = call("calc", block["calc"], *words)["results"]
            except (RuntimeError, OSError, ValueError) as error:
                say(False, name, str(error))
                lines.append(f"| {' '.join(words)} | | | {error} | | miss: did not run |")
                continue
            told = []
            for key, value in wanted.items():
                value = float(value)
                got = results[key]["value"] if key in results else None
                within = block["within"][key] if isinstance(block["within"], dict) else block["within"]
                passed = got is not None and abs(got - value) <= tolerance(within, value) * (1 + 1e-9)
                told.append((key, value, got, within, passed))
            passed = all(one[4] for one in told)
            verdict = judge(passed, miss, name,
                            "; ".join(f"{key}: wanted {text(value)}, got {text(got)}" for key, value, got, _, fine in told if not fine))
            for key, value, got, within, fine in told:
                unit = results.get(key, {}).get("unit", "")
                unit = "" if unit == "-" else " " + unit
                lines.append(f"| {' '.join(words)} | {key} | {text(value)}{unit} | {text(got)} | {within} | "
                             f"{'pass' if fine else verdict if verdict != 'pass' else 'miss'} |")
                words = ["\""]
        lines.append("")


def check_facts():
    lines.extend(["## Whole engines", "", "Each through `donkeyman run`. 'Common practice, no source' is what the trade says and nobody can be",
                  "named for; the state stands beside the number.", "",
                  "| what | source | run | reading | wanted | got | reason of the band | |", "| --- | --- | --- | --- | --- | --- | --- | --- |"])
    for row in yaml.safe_load((here / "facts.yaml").read_text()):
        name = f"{row['says']} ({row['reading']})"
        try:
            first = call("run", *shlex.split(row["base"]))["readings"][row["reading"]]["value"]
            second = None
            if row["with"]:
                second = call("run", *shlex.split(row["base"]), *shlex.split(row["with"]))["readings"][row["reading"]]["value"]
        except (RuntimeError, OSError, ValueError, KeyError) as error:
            say(False, name, f"{type(error).__name__}: {error}")
            lines.append(f"| {row['says']} | {row['source']} | {row['base']} | {row['reading']} | | did not run | | miss |")
            continue
        if "between" in row:
            wanted = f"{row['between'][0]} to {row['between'][1]}"
            passed = first is not None and row["between"][0] <= first <= row["between"][1]
            got = text(first)
        else:
            change = None if first is None or second is None else (second - first) / abs(first)
            share = None if change is None else change if row["goes"] == "up" else -change
            wanted = f"{row['goes']} by {100 * row['at_least']:g} %" + (f" to {100 * row['at_most']:g} %" if "at_most" in row else " or more")
            passed = share is not None and row["at_least"] <= share <= row.get("at_most", 1e9)
            got = f"{text(first)} to {text(second)}" + ("" if change is None else f" ({100 * change:+.1f} %)")
        verdict = judge(passed, row.get("miss"), name, f"wanted {wanted}, got {got}")
        run = row["base"] + (f", then {row['with']}" if row["with"] else "")
        lines.append(f"| {row['says']} | {row['source']} | `{run}` | {row['reading']} | {wanted} | {got} | {row['reason']} | {verdict} |")
    lines.append("")


def list_misses():
    """what the stories and the cases miss; tests/binary/run.py holds these lists against the program"""
    stories = yaml.safe_load((root / "tests/binary/story_misses.yaml").read_text()) or {}
    cases = yaml.safe_load((root / "tests/published/case_misses.yaml").read_text()) or {}
    lines.extend(["## Stories and cases that miss", "",
                  "Wanted: tests/binary/stories.yaml, tests/published/cases. `tests/binary/run.py` fails on a miss that is not here.", "",
                  "| which | what | why |", "| --- | --- | --- |"])
    lines.extend(f"| story {name} | {what} | {why} |" for name, missed in stories.items() for what, why in missed.items())
    lines.extend(f"| case {name} | what it expects beside its rank | {why} |" for name, why in cases.items())
    lines.append("")


print("TAP version 13")
check_values()
check_facts()
list_misses()
print(f"1..{number}")
if report:
    head = ["# Validation", "", "Made by the test run (`tests/published/validate.py`); do not edit. Wanted values come from outside this code;",
            "'computed' means worked out apart from it from the stated formula, which proves the code and not the physics.", "",
            f"{number - bad} of {number} checks stand as listed; misses are marked.", ""]
    report.write_text("\n".join(head + lines).rstrip() + "\n")
sys.exit(1 if bad else 0)

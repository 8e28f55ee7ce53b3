#!/usr/bin/env python3
"""data/ -> tests/page/canned.json, the start answer that mock_server.mjs gives: tests/page/make_canned.py

Run by hand when texts of the catalogue change. The texts are the catalogue's; the engine and every chance
that the mock makes of them are invented.
"""
import glob
import json
import os
import re

import yaml

here = os.path.dirname(os.path.abspath(__file__))
data = os.path.join(here, "..", "..", "data")


class Plain(yaml.SafeLoader):
    """Keeps yes, no, on and off as words."""


Plain.yaml_implicit_resolvers = {
    first: [(tag, pattern) for tag, pattern in rows if tag != "tag:yaml.org,2002:bool"]
    for first, rows in yaml.SafeLoader.yaml_implicit_resolvers.items()
}


def rows(pattern):
    found = []
    for name in sorted(glob.glob(os.path.join(data, pattern))):
        found += yaml.load(open(name, encoding="utf-8"), Plain) or []
    return found


def answers(row):
    return [{"id": str(a["id"]), "text": str(a["text"]), "normal": a.get("normal") == "true"} for a in row.get("answers", [])]


def words(value):
    return [str(v) for v in (value if isinstance(value, list) else [value])]


def condition(row):
    return {"sign": row["sign"], "answers": words(row["answer"]), "points": row.get("points", []), "before": row.get("when") == "before"}


def readings():
    text = open(os.path.join(here, "..", "..", "src", "engine", "readings.def"), encoding="utf-8").read()
    found = []
    for line in re.findall(r"^X\(([^\n]*)\) *\\?$", text, re.M):
        cell = [part.strip() for part in line.split(",")]
        found.append({"id": cell[0], "unit": cell[1].strip('"'), "low": float(cell[10]), "high": float(cell[11])})
    return found


signs = rows("signs/*.yaml")
by_id = {row["id"]: row for row in signs}


def check(row):
    gives = row["gives"]
    kind = "reading" if "reading" in gives else "sign" if "sign" in gives else "answer"
    own = answers(by_id[gives["sign"]]) if kind == "sign" else answers(row)
    return {
        "id": row["id"], "name": row["name"], "gives": kind, "reading": gives.get("reading"), "sign": gives.get("sign"),
        "point": row.get("point", "key_on"), "steps": row["steps"], "tools": row.get("tools", []), "cautions": row.get("cautions", []),
        "gates": row.get("gates", []), "answers": own, "minutes": row["minutes"], "place": row["place"],
        "opens": row.get("opens"), "undo": row.get("undo"), "needs": row.get("needs", []),
    }


start = {
    "engine": {"name": "three_indirect", "title": "Kittiwake", "invented": True, "cylinders": 3, "rated_rpm": 3600, "cruise_rpm": 2500,
               "installation": {"cooling": "heat_exchanger", "gearbox": "mechanical", "start_aid": "glow_plugs", "exhaust": "wet"},
               "stop_ways": ["Pull the stop lever on the injection pump.", "Shut the fuel at the tank.",
                             "Shut off its air with a board, never a hand."], "air_c": 11, "sea_c": 13, "hours": None},
    "signs": [{"id": r["id"], "question": r["question"], "default_point": r["default_point"], "points": r.get("points", []),
               "kind": r.get("kind"), "several": r.get("several") == "true", "group": r.get("group"), "answers": answers(r)} for r in signs],
    "checks": [check(r) for r in rows("checks/*.yaml")],
    "red_rules": [{"id": r["id"], "name": r["name"], "all": "all" in r, "conditions": [condition(c) for c in r.get("any", r.get("all"))],
                   "order": r["order"], "then": r["then"], "at": r.get("at", {}), "concern": r["concern"], "reason": r.get("reason")}
                  for r in rows("red_rules.yaml")],
    "gates": [{"id": r["id"], "asks": r["asks"], "answers": answers(r), "opens": words(r["opens_with"]), "blocked": r["blocked"],
               "cautions": r.get("cautions", [])} for r in rows("gates.yaml")],
    "repairs": [{"id": r["id"], "name": r["name"]} for r in rows("repairs.yaml")],
    "faults": [{"id": r["id"], "name": r["name"], "part": r["part"], "system": r["system"], "danger": r.get("mend", {}).get("danger"),
                "repair": r["repair"]} for r in rows("faults/*.yaml")],
    "readings": readings(), "first_questions": ["after", "since"], "catalogue_hash": "invented", "engine_hash": "invented", "model_version": "mock",
}
with open(os.path.join(here, "canned.json"), "w", encoding="utf-8") as file:
    json.dump(start, file, ensure_ascii=False, indent=1, sort_keys=True)
    file.write("\n")

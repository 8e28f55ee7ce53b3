#!/usr/bin/env python3
"""Drives the built program as a person does: tests/binary/run.py PROGRAM [PART...]. Prints TAP.

Parts: commands (each once, text, --json, --help), bad (input that must be refused by one sentence and exit 2), same (the
answer does not depend on threads and lanes), sense (what the trace makes of data
of its own model), page (the bytes of the page's route are those of the command), stories
(tests/binary/stories.yaml), cases (tests/published/cases). Banks are kept in a scratch folder, with DK_SEVERITIES engines of
each fault (16 when not set).
"""
import json
import os
import re
import shlex
import signal
import socket
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from pathlib import Path

import yaml

root = Path(__file__).resolve().parent.parent.parent
program = str(Path(sys.argv[1]).resolve())
parts = sys.argv[2:] or ["commands", "bad", "same", "sense", "page", "stories", "cases"]
scratch = tempfile.TemporaryDirectory(prefix="dk-binary-")
cache = os.environ.get("DK_TEST_CACHE") or scratch.name + "/cache"
Path(cache).mkdir(parents=True, exist_ok=True)
severities = os.environ.get("DK_SEVERITIES", "16")
bank = ["--cache", cache, "--severities", severities]
number = failures = 0


def check(good, name, detail=""):
    global number, failures
    number += 1
    failures += not good
    print(f"{'ok' if good else 'not ok'} {number} - {name}", flush=True)
    if not good and detail:
        print("\n".join("# " + line for line in str(detail)[:2000].splitlines()), flush=True)
    return good


def call(*words, given=None, seconds=900):
    return subprocess.run([program, *words], capture_output=True, text=True, input=given, timeout=seconds, cwd=scratch.name,
                          stdin=None if given is not None else subprocess.DEVNULL)


def ask(*words):
    run = call(*words, "--json")
    return json.loads(run.stdout) if run.returncode in (0, 1) and run.stdout else None


# ---------------------------------------------------------------- every command once

def test_commands():
    slow = ["--sign", "crank.turns=slow", "--sign", "lights.crank=dim", "--reading", "battery_rest=12.1 V"]
    commands = {
        "run": (["run", "--point", "full", "--fault", "elbow.blocked=0.7", "--air", "25 C"], "engine_speed"),
        "crank": (["crank", "--air", "2 C", "--fault", "battery.flat=0.6", "--try", "10,60", "--try", "10,120"], "fires"),
        "engine": (["engine", "four_direct"], "four_direct"),
        "calc": (["calc", "oil.d341", "kv40=106", "kv100=14.3", "temperature=90 C"], "18.3"),
        "calc list": (["calc", "--list"], "oil.d341"),
        "trace": (["trace", *slow, *bank], "battery"),
    }
    for kind in "faults signs checks readings params engines repairs gates red_rules points".split():
        commands[f"list {kind}"] = (["list", kind], "")
    for name, (words, holds) in commands.items():
        run = call(*words)
        check(run.returncode in (0, 1) and run.stdout.strip() and holds in run.stdout and not run.stderr.strip().startswith("donkeyman:"),
              f"{name}: text", run.stdout[:300] + run.stderr)
        run = call(*words, "--json")
        try:
            answer = json.loads(run.stdout)
            again = json.dumps(answer, sort_keys=True)
            sorted_keys = list(answer) == sorted(answer) if isinstance(answer, dict) else bool(again)
        except ValueError as error:
            answer, sorted_keys = None, str(error)
        check(answer and sorted_keys is True and run.returncode in (0, 1), f"{name}: --json, keys sorted", sorted_keys)
    for name in "run crank trace engine calc list serve demo".split():
        run = call(name, "--help")
        check(run.returncode == 0 and "donkeyman " + name in run.stdout and "xample" in run.stdout, f"{name} --help shows an example", run.stdout)
    run = call("--help")
    check(run.returncode == 0 and all(f"donkeyman {name}" in run.stdout for name in ("run", "trace", "serve")), "--help lists the commands", run.stdout)

    # the healthy engine is the record itself, and severity 0 leaves every bit
    healthy, same = ask("run", "--point", "cruise"), ask("run", "--point", "cruise", "--fault", "rings.worn=0")
    check(healthy and same and healthy["readings"] == same["readings"], "severity 0 gives the healthy engine")
    one = ask("calc", "cycle.isentropic", "ratio=17.5", "t1=300 K")
    check(one and abs(one["results"]["temperature"]["value"] - 889.0) < 3, "calc answers in its unit")
    answer = ask("trace", *slow, *bank)
    keys = ("causes marginal healthy none_of_these ask next red_rule may conflicts inputs engine_hash catalogue_hash bank_hash "
            "model_version seed").split()
    check(answer and all(key in answer for key in keys), "trace has every key of its form", [k for k in keys if not answer or k not in answer])
    if answer:
        total = sum(cause["probability"] for cause in answer["causes"]) + answer["healthy"] + answer["none_of_these"]
        check(abs(total - 1) < 2e-3 and answer["healthy"] >= 0, "causes, healthy and none of these sum to 1", total)
        check(all(cause["low"] <= cause["probability"] + 1e-9 <= cause["high"] + 2e-9 for cause in answer["causes"][:5]), "low <= probability <= high")


# ---------------------------------------------------------------- what must be refused

def test_bad():
    record = (root / "data/engines/three_indirect.yaml").read_text()
    folder = Path(scratch.name)
    (folder / "nonsense.yaml").write_text("id: [three\n")
    (folder / "twice.yaml").write_text(record.replace("name:", "name: x\nname:", 1))
    (folder / "unit.yaml").write_text(re.sub(r"bore: .*", "bore: 84 kg", record))
    (folder / "range.yaml").write_text(re.sub(r"bore: .*", "bore: 84 m", record))
    (folder / "key.yaml").write_text(record + "\nbores: 84 mm\n")
    (folder / "control.yaml").write_bytes(record.encode() + b"\x07\n")
    (folder / "latin1.yaml").write_bytes(record.encode() + b"note: 25 \xb0C\n")
    (folder / "bomb.yaml").write_text("a: &a [x,x,x,x,x,x,x,x]\n" + "".join(
        f"{chr(98 + i)}: &{chr(98 + i)} [{','.join(['*' + chr(97 + i)] * 8)}]\n" for i in range(12)))
    (folder / "deep.yaml").write_text("a: " + "[" * 20000)
    (folder / "case.yaml").write_text("id: x\nfamily: x\nsource: x\nobserved: {crank.turns: slow}\ncolour: red\n")
    busy = socket.socket()
    busy.bind(("127.0.0.1", 0))
    busy.listen(1)
    port = str(busy.getsockname()[1])
    # words, and what the sentence must name
    table = [
        (["trace", "--sign", "crank.turnz=slow"], ["crank.turnz"]),
        (["trace", "--sign", "crank.turns=purple"], ["crank.turns", "purple"]),
        (["trace", "--sign", "crank.turns"], ["crank.turns"]),
        (["trace", "--sign", "crank.turns=slow", "--sign", "crank.turns=none"], ["crank.turns"]),
        (["trace", "--sign", "crank.turns@warp=slow"], ["warp"]),
        (["trace", "--reading", "battery_rest=120 V"], ["battery_rest", "V"]),
        (["trace", "--reading", "battery_rest=12 bar"], ["battery_rest", "bar"]),
        (["trace", "--reading", "battery_rest=twelve"], ["battery_rest"]),
        (["trace", "--reading", "nothing=1"], ["nothing"]),
        (["trace", "--done", "nothing=good"], ["nothing"]),
        (["trace", "--tried", "filter.replace=maybe"], ["maybe"]),
        (["trace", "--tried", "magic=cured"], ["magic"]),
        (["trace", "--case", "no_such_case.yaml"], ["no_such_case.yaml"]),
        (["trace", "--case", "case.yaml"], ["colour"]),
        (["trace", "--score", "no_such_folder"], ["no_such_folder"]),
        (["trace", "--without", "no.fault", "--sign", "crank.turns=slow"], ["no.fault"]),
        (["trace", "--prior", "battery.flat=-1", "--sign", "crank.turns=slow"], ["--prior", "1e-06"]),
        (["run", "--fault", "elbow.blocked=1.5"], ["1.5", "1"]),
        (["run", "--fault", "elbow.blocked=-0.1"], ["elbow.blocked"]),
        (["run", "--fault", "elbow.blocked=bad"], ["elbow.blocked"]),
        (["run", "--fault", "elbow.blokked=0.5"], ["elbow.blokked"]),
        (["run", "--fault", "nozzle.shut=0.5:9"], ["9"]),
        (["run", "--point", "warp"], ["warp"]),
        (["run", "--air", "400 C"], ["air", "C"]),
        (["run", "--air", "5 bar"], ["air"]),
        (["run", "--set", "cylinder.bore_m=9"], ["cylinder.bore_m"]),
        (["run", "--set", "cylinder.nothing=9"], ["cylinder.nothing"]),
        (["run", "--lever", "2"], ["lever"]),
        (["run", "--lanes", "3"], ["lanes"]),
        (["run", "--threads", "0", "--point", "full"], ["threads"]),
        (["run", "--engine", "no_such_engine"], ["no_such_engine"]),
        (["run", "--engine", "nonsense.yaml"], ["nonsense.yaml"]),
        (["run", "--engine", "twice.yaml"], ["twice.yaml", "name"]),
        (["run", "--engine", "unit.yaml"], ["unit.yaml", "bore"]),
        (["run", "--engine", "range.yaml"], ["range.yaml", "bore"]),
        (["run", "--engine", "key.yaml"], ["key.yaml", "bores"]),
        (["run", "--engine", "control.yaml"], ["control.yaml"]),
        (["run", "--engine", "latin1.yaml"], ["latin1.yaml"]),
        (["run", "--engine", "bomb.yaml"], ["bomb.yaml"]),
        (["run", "--engine", "deep.yaml"], ["deep.yaml"]),
        (["run", "--engine", "/"], ["/"]),
        (["run", "--no-such-switch"], ["no-such-switch"]),
        (["run", "--fault"], ["fault"]),
        (["crank", "--try", "many"], ["many"]),
        (["crank", "--try", "-5"], ["-5"]),
        (["calc", "no.such"], ["no.such"]),
        (["calc", "oil.d341", "kv40=106"], ["kv100"]),
        (["calc", "oil.d341", "kv40=106 bar", "kv100=14.3", "temperature=90"], ["kv40"]),
        (["calc", "oil.d341", "kv40=106", "kv40=106", "kv100=14.3", "temperature=90"], ["kv40"]),
        (["calc", "oil.d341", "kv40=1e99", "kv100=14.3", "temperature=90"], ["kv40"]),
        (["list", "unicorns"], ["unicorns"]),
        (["fly"], ["fly"]),
        (["serve", "--port", "99999"], ["port"]),
        (["serve", "--port", port], [port]),
        (["run", "--data", "no_such_data"], ["no_such_data"]),
    ]
    for words, named in table:
        try:
            run = call(*words, seconds=60)
        except subprocess.TimeoutExpired:
            check(False, "refused: " + shlex.join(words), "it did not come back within a minute")
            continue
        sentence = run.stderr.strip()
        check(run.returncode == 2 and len(sentence.splitlines()) == 1 and len(sentence) < 600 and not run.stdout.strip()
              and all(word in sentence for word in named), "refused: " + shlex.join(words),
              f"exit {run.returncode}\n{run.stdout[:200]}{sentence[:600]}")
    busy.close()

    # errors of a file name its line and column
    run = call("run", "--engine", "unit.yaml")
    check(re.search(r"unit\.yaml:\d+:\d+", run.stderr) is not None, "a record's error names file, line and column", run.stderr)


# ---------------------------------------------------------------- threads and lanes

def test_same():
    one = call("run", "--point", "full", "--fault", "elbow.blocked=0.7", "--lanes", "1", "--json")
    wide = call("run", "--point", "full", "--fault", "elbow.blocked=0.7", "--json")
    check(one.stdout == wide.stdout and one.stdout, "run: one lane and the widest agree in every byte")
    words = ["trace", "--sign", "crank.turns=slow", "--reading", "battery_rest=12.1 V", "--air", "10 C", "--sea", "10 C", "--severities", "4", "--json"]
    few = call(*words, "--threads", "1", "--lanes", "1", "--cache", scratch.name + "/cache1")
    many = call(*words, "--threads", "2", "--cache", scratch.name + "/cache2")
    check(few.stdout == many.stdout and few.stdout, "trace: one thread in one lane and two threads in the widest agree in every byte",
          few.stderr + many.stderr)
    again = call(*words, "--threads", "2", "--cache", scratch.name + "/cache2")
    check(again.stdout == many.stdout and again.stdout, "trace: a bank from its file gives the same bytes")
    other = call(*words, "--seed", "2", "--cache", scratch.name + "/cache2")
    check(other.returncode in (0, 1) and other.stdout != many.stdout, "trace: another seed is another answer")


# ---------------------------------------------------------------- what the trace must make of data of its own model

def gauges(point, ids, *words):
    """--reading switches that say what the model computes"""
    answer = ask("run", "--point", point, *words)
    switches = []
    for reading in ids:
        one = answer["readings"][reading]
        switches += ["--reading", f"{reading}@{point}={one['value']} {one['unit']}"]
    return switches


def test_sense():
    """relations of the trace as a whole, one condition each so that one bank serves"""
    mild = ["--air", "15 C", "--sea", "15 C"]
    catalogue = {row["id"]: row for row in json.loads(call("list", "faults", "--json").stdout)}

    # a sea 10 degC warmer is weather, not a fault: gauges of a healthy boat, and the skipper says what the sea is
    warm = ["--air", "15 C", "--sea", "25 C"]
    prior = ask("trace", *warm, *bank)["marginal"]
    seen = ask("trace", *warm, *bank, *gauges("cruise", ["coolant_gauge", "hose_temperature", "raw_water_flow"], *warm))["marginal"]
    for fault, row in catalogue.items():
        if row["system"] in ("cooling", "exhaust"):
            check(seen[fault] <= 1.5 * prior[fault] + 1e-6, f"a sea 10 degC warmer does not raise {fault} above 1.5 times its prior",
                  f"{prior[fault]} to {seen[fault]}")

    # a fault left out leaves data that nothing explains
    data = gauges("full", ["back_pressure", "exhaust_temperature", "engine_speed"], *mild, "--fault", "elbow.blocked=0.85")
    whole, without = ask("trace", *mild, *bank, *data), ask("trace", *mild, *bank, *data, "--without", "elbow.blocked", "--without", "hose.collapsed")
    check(whole["none_of_these"] < 0.1 and without["none_of_these"] > 0.2, "a fault left out of the bank raises none of these above 0.2",
          f"{whole['none_of_these']} and {without['none_of_these']}")

    # fewer virtual engines, wider answer: over three faults, since the middle of each moves too
    widths = {"16": 0.0, "64": 0.0}
    for fault, point, ids in [("battery.flat=0.5", "cold_crank", ["battery_crank", "crank_speed"]), ("impeller.worn=0.5", "cruise", ["raw_water_flow"]),
                              ("thermostat.open=0.5", "cruise", ["coolant_gauge", "hose_temperature"])]:
        data = gauges(point, ids, *mild, "--fault", fault)
        for count in widths:
            answer = ask("trace", *mild, *data, "--cache", cache, "--severities", count)
            first = next(cause for cause in answer["causes"] if len(cause["faults"]) == 1)
            widths[count] += first["high"] - first["low"]
    check(widths["16"] > widths["64"] * 1.02, "16 severities instead of 64 widen low..high of the first cause", widths)

    # the worse the impeller the lower the revs that may still be used
    limits = []
    for severity in ("0.5", "0.8"):
        data = gauges("cruise", ["raw_water_flow", "hose_temperature"], *mild, "--fault", f"impeller.worn={severity}")
        limits.append(ask("trace", *mild, *bank, *data, "--done", "impeller.look=worn")["may"]["max_rpm"])
    check(limits[1] is not None and (limits[0] is None or limits[1] < limits[0]), "max_rpm falls from impeller.worn 0.5 to 0.8", limits)

    # data of a fault point to it
    for fault, point, ids in [("battery.flat=0.7", "cold_crank", ["battery_crank", "crank_speed"]), ("hull.fouled=0.7", "full", ["engine_speed", "boat_speed"]),
                              ("thermostat.open=1", "cruise", ["coolant_gauge", "hose_temperature"]), ("oil.relief=0.7", "cruise", ["oil_gauge"])]:
        answer = ask("trace", *mild, *bank, *gauges(point, ids, *mild, "--fault", fault))
        lines = lines_of(answer)
        name = fault.split("=")[0]
        check(any(name in line for line in lines[:3]), f"gauges of {fault} put it among the first three lines", lines[:4])


# ---------------------------------------------------------------- the page's route

def fetch(base, path, body=None, seconds=30):
    request = urllib.request.Request(base + path, data=None if body is None else json.dumps(body).encode(),
                                     headers={"Content-Type": "application/json"} if body is not None else {})
    try:
        with urllib.request.urlopen(request, timeout=seconds) as reply:
            return reply.status, reply.read().decode()
    except urllib.error.HTTPError as error:
        return error.code, error.read().decode()


def test_page():
    server = subprocess.Popen([program, "serve", "three_indirect", "--port", "0", *bank], stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
    try:
        line = server.stdout.readline()
        match = re.search(r"http://127\.0\.0\.1:(\d+)/", line)
        if not check(match, "serve prints its address", line):
            return
        base = match.group(0)[:-1]
        status, page = fetch(base, "/")
        check(status == 200 and "<script" in page and "http://" not in page.replace("http://www.w3.org", "") and "https://" not in page,
              "the page comes, and names no other host", page[:300])
        for kind in ("faults", "signs", "checks", "readings"):
            run = call("list", kind, "--json")
            status, bytes_ = fetch(base, "/api/list/" + kind)
            check(status == 200 and bytes_.strip() == run.stdout.strip(), f"list {kind}: page bytes are command bytes", bytes_[:200] + run.stdout[:200])
        run = call("engine", "three_indirect", "--json")
        status, bytes_ = fetch(base, "/api/engine")
        check(status == 200 and bytes_.strip() == run.stdout.strip(), "engine: page bytes are command bytes", bytes_[:200] + run.stdout[:200])

        # a trace, once the bank is there
        case = {"observed": {"where": "alongside", "crank.turns": "slow", "lights.crank": "dim"}, "readings": {"battery_rest": "12.1 V"}}
        (Path(scratch.name) / "same.yaml").write_text(yaml.safe_dump({"id": "same", "family": "starting", "source": "invented", **case}))
        end = time.time() + 1200
        while time.time() < end:
            state = json.loads(fetch(base, "/api/bank")[1])
            if state.get("state") in ("ready", "failed"):
                break
            time.sleep(1)
        check(state.get("state") == "ready", "the bank is built in the background", state)
        status, bytes_ = fetch(base, "/api/trace", case, 120)
        run = call("trace", "--case", "same.yaml", *bank, "--json")
        check(status == 200 and bytes_.strip() == run.stdout.strip(), "trace: page bytes are command bytes",
              f"{status} {len(bytes_)} and {len(run.stdout)} bytes\n{bytes_[:300]}\n{run.stdout[:300]}{run.stderr}")
        best = 9e9
        for _ in range(5):
            start = time.time()
            fetch(base, "/api/trace", case)
            best = min(best, time.time() - start)
        print(f"# trace answer from a ready bank: {1000 * best:.0f} ms", flush=True)

        # what is refused, with the sentence of the command
        for body, words in [({"observed": {"crank.turnz": "slow"}}, ["--sign", "crank.turnz=slow"]),
                            ({"observed": {"crank.turns": "purple"}}, ["--sign", "crank.turns=purple"]),
                            ({"readings": {"battery_rest": "120 V"}}, ["--reading", "battery_rest=120 V"])]:
            status, bytes_ = fetch(base, "/api/trace", body)
            run = call("trace", *words)
            what = json.loads(bytes_).get("error", {}).get("what", "") if bytes_.startswith("{") else ""
            check(400 <= status < 500 and what and what in run.stderr, f"page refuses {json.dumps(body)} with the command's sentence",
                  f"{status} {bytes_[:300]}\n{run.stderr}")
        request = urllib.request.Request(base + "/api/start", headers={"Host": "example.org"})
        try:
            status = urllib.request.urlopen(request, timeout=10).status
        except urllib.error.HTTPError as error:
            status = error.code
        check(status == 403, "a foreign host name is refused", status)
    finally:
        server.send_signal(signal.SIGINT)
        try:
            server.wait(20)
            check(server.returncode == 0, "serve ends cleanly on Ctrl-C", server.returncode)
        except subprocess.TimeoutExpired:
            server.kill()
            check(False, "serve ends cleanly on Ctrl-C", "it had to be killed")


# ---------------------------------------------------------------- stories and cases

def holds(cause, faults):
    return any(fault in cause.get("group_faults", []) or fault in cause["faults"] for fault in faults)


def lines_of(answer):
    """the groups in order of their marginal probability: what the trace shows as lines, pairs not crowding out singles"""
    marginal, group_of, members = answer["marginal"], {}, {}
    for cause in answer["causes"]:
        if len(cause["faults"]) >= 1 and "+" not in cause["id"]:
            group = cause.get("group", cause["id"])
            listed = group if isinstance(group, list) else cause.get("group_faults", cause["faults"])
            for fault in listed:
                group_of[fault] = str(group)
    for fault, probability in marginal.items():
        group = group_of.get(fault, fault)
        total, those = members.get(group, (0, []))
        members[group] = (total + probability, those + [fault])
    return [those for _, those in sorted(members.values(), key=lambda one: -one[0])]


def test_stories():
    misses = yaml.safe_load((root / "tests/binary/story_misses.yaml").read_text()) or {}
    for story in yaml.safe_load((root / "tests/binary/stories.yaml").read_text()):
        words = [word for switch in story["switches"] for word in switch.split(" ", 1)]
        run = call("trace", "--engine", story["engine"], *words, "--cache", cache, "--json")  # the full bank
        name = f"story {story['id']}"
        try:
            answer = json.loads(run.stdout)
        except ValueError:
            check(False, name, f"exit {run.returncode} {run.stderr[-500:]}")
            continue
        lines = lines_of(answer)
        check(lines and any(fault in lines[0] for fault in story["first_group"]), f"{name}: first group", lines[:4])
        if "also" in story:
            near = [fault for line in lines[:story["also"]["within"]] for fault in line]
            check(all(fault in near for fault in story["also"]["faults"]), f"{name}: both faults among the first {story['also']['within']}", lines[:5])
        first = answer["next"][0]["check"] if answer["next"] else None
        wanted, missed = first in story["first_check"], misses.get(story["id"], {}).get("first check")
        if missed:
            print(f"# miss {name}: {first} first; {missed}", flush=True)
        check(wanted != bool(missed), f"{name}: first check" + (", a listed miss" if missed else ""),
              f"{first}, then {[one['check'] for one in answer['next'][1:4]]}")
        red = (answer["red_rule"] or {}).get("id", "none") if answer["red_rule"] else "none"
        check(red == story["red_rule"], f"{name}: red rule", red)


def test_cases():
    cases = sorted((root / "tests/published/cases").glob("*.yaml"))
    run = call("trace", "--score", str(root / "tests/published/cases"), *bank, "--json", seconds=3000)
    try:
        answer = json.loads(run.stdout)
    except ValueError:
        check(False, "published cases are scored", f"exit {run.returncode} {run.stderr[-500:]}")
        return
    totals = answer["totals"]
    check(len(cases) >= 12 and totals["priors"]["cases"] > 0, "at least 12 open cases", len(cases))
    for one in answer["cases"]:
        print(f"# {one['id']}: rank {one['rank']}, first {one['first']}, first check {one['first_check']}, as expected {one['as_expected']}, "
              f"set coverage {one['set_coverage']}, unsafe {one['unsafe']}", flush=True)
    for kind, total in totals.items():
        print(f"# {kind}: top-1 {total['top1']}, top-3 {total['top3']}, top-5 {total['top5']} of {total['cases']}, set coverage {total['set_coverage']}", flush=True)
    scored = totals["priors"]["cases"]
    check(totals["priors"]["unsafe"] == 0, "no unsafe step is offered first", totals["priors"])
    check(totals["priors"]["top3"] >= 0.5 * scored, "half of the causes among the first three lines (three of some twenty lines by chance)", totals["priors"])
    check(totals["priors"]["set_coverage"] is None or totals["priors"]["set_coverage"] >= 0.6, "six in ten of a table row's faults among the first eight",
          totals["priors"])
    check(totals["exchanged"]["top1"] <= 0.5 * totals["priors"]["top1"], "with the moves of faults exchanged within each system the score collapses", totals)
    misses = yaml.safe_load((root / "tests/published/case_misses.yaml").read_text()) or {}
    wrong = [one["id"] for one in answer["cases"] if one["as_expected"] is False]
    for name in wrong:
        print(f"# miss {name}: {misses.get(name, 'not explained')}", flush=True)
    check(not [name for name in wrong if name not in misses], "what a case expects beside its rank, but for the misses of case_misses.yaml", wrong)


print("TAP version 13")
for part in parts:
    print(f"# {part}", flush=True)
    globals()["test_" + part]()
print(f"1..{number}")
sys.exit(1 if failures else 0)

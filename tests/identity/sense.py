#!/usr/bin/env python3
"""Relations that must hold between whole operating points, whatever the numbers: tests/identity/sense.py PROGRAM. TAP.

Each runs `donkeyman run` or `crank` a few times. The tolerance of each stands in its line with its reason in the name.
"""
import json
import math
import subprocess
import sys

program = sys.argv[1]
number = failures = 0


def check(good, name, detail=""):
    global number, failures
    number += 1
    failures += not good
    print(f"{'ok' if good else 'not ok'} {number} - {name}" + ("" if good else f"\n# {detail}"), flush=True)


def call(*words):
    run = subprocess.run([program, *words, "--json"], capture_output=True, text=True, stdin=subprocess.DEVNULL)
    if run.returncode > 1:
        return {"error": run.stderr.strip()}
    return json.loads(run.stdout)


class Readings(dict):
    def __missing__(self, key):
        return None


def at(point, *words, engine="three_indirect"):
    answer = call("run", "--engine", engine, "--point", point, *words)
    if "error" in answer:
        print("# " + answer["error"])
        return Readings()
    return Readings({key: one["value"] for key, one in answer["readings"].items()})


def setting(**parameters):
    return [word for key, value in parameters.items() for word in ("--set", f"{key.replace('__', '.')}={value}")]


def numbers(*values):
    return all(isinstance(value, (int, float)) for value in values)


def ratio(a, b):
    return a / b if numbers(a, b) and b else float("nan")


def more(a, b, by=0.0):
    """a is more than b by a share of it; null (does not happen) is more than any number"""
    if a is None and isinstance(b, (int, float)):
        return True
    return numbers(a, b) and a > b + by * abs(b)


# ---------------------------------------------------------------- conservation

for point in ("cold_idle", "warm_idle", "cruise", "full", "no_load"):
    for fault in (None, "rings.worn=0.7", "elbow.blocked=0.7", "nozzle.shut=0.7", "valve.exhaust=0.5"):
        r = at(point, *(["--fault", fault] if fault else []))
        check(numbers(r["energy_residual"], r["mass_residual"]) and abs(r["energy_residual"]) < 1e-5 and abs(r["mass_residual"]) < 1e-6,
              f"energy and mass close over a cycle at {point}, {fault or 'healthy'} (the solver's step)", f"{r['energy_residual']} {r['mass_residual']}")

# ---------------------------------------------------------------- starting

crank = at("cold_crank", "--air", "5 C")
bad = at("cold_crank", "--air", "5 C", *setting(starting__cable_ground_ohm=0.01))
check(abs(ratio(bad["drop_ground"], bad["crank_current"]) - 0.01) < 2e-4, "the drop over the ground cable is current times resistance", bad["drop_ground"])
check(more(crank["crank_speed"], bad["crank_speed"], 0.03), "a bad ground cable slows the starter", (crank["crank_speed"], bad["crank_speed"]))
thick = at("cold_crank", "--air", "5 C", *setting(oil__kv40_m2_s=3e-4, oil__kv100_m2_s=2.5e-5))
check(more(crank["crank_speed"], thick["crank_speed"], 0.03), "thicker oil slows the starter", (crank["crank_speed"], thick["crank_speed"]))
warm = at("cold_crank", "--air", "30 C")
check(more(warm["crank_speed"], crank["crank_speed"], 0.02), "a warm engine turns faster on the starter", (warm["crank_speed"], crank["crank_speed"]))
check(numbers(crank["charge_temperature"]) and crank["charge_temperature"] < 520, "cranking heats the charge far less than without wall heat (540 degC and more)", crank["charge_temperature"])
leaky = at("cold_crank", "--air", "5 C", *setting(cylinder__ring_leak_m2=6e-7))
check(more(crank["compression_gauge"], leaky["compression_gauge"], 0.03), "a ring leak lowers the compression", (crank["compression_gauge"], leaky["compression_gauge"]))
check(more(crank["charge_temperature"], leaky["charge_temperature"], 0.01), "a ring leak costs heat of compression", (crank["charge_temperature"], leaky["charge_temperature"]))

frost = ("--air", "-15 C", "--fault", "rings.worn=0.5")
full_heat, half_heat = at("cold_crank", *frost), at("cold_crank", *frost, *setting(starting__heater_supply=0.7071))
check(more(half_heat["seconds_to_fire"], full_heat["seconds_to_fire"], 0.02), "half the heater power (0.71 of the voltage) lengthens the time to fire, -15 degC and worn rings",
      (full_heat["seconds_to_fire"], half_heat["seconds_to_fire"]))
slow = at("cold_crank", *frost, *setting(starting__motor_k=0.84))
check(0.35 < ratio(slow["crank_speed"], full_heat["crank_speed"]) < 0.75, "a starter constant twice as large about halves the speed", (slow["crank_speed"], full_heat["crank_speed"]))
check(more(slow["seconds_to_fire"], full_heat["seconds_to_fire"], 0.02), "half the cranking speed lengthens the time to fire, -15 degC and worn rings",
      (full_heat["seconds_to_fire"], slow["seconds_to_fire"]))
key, dead = at("key_on"), at("key_on", "--fault", "preheat.relay=1")
check(numbers(key["preheat_power"], dead["preheat_power"]) and dead["preheat_power"] < 0.1 * key["preheat_power"], "a dead relay leaves no heater power", dead["preheat_power"])

tries = call("crank", "--air", "5 C", "--try", "10,60", "--try", "10,60", "--fault", "preheat.relay=1", "--fault", "rings.worn=1")
before = [one["flood_before"]["seconds"] for one in tries.get("tries", [])]
check(len(before) == 2 and 8.5 < before[0] - before[1] < 11.5, "ten seconds of cranking take ten seconds from the flood account (the next try is a little slower)", before)
check("flood_left" in tries and 8.5 < before[1] - tries["flood_left"]["seconds"] < 11.5, "and so does the second try", tries.get("flood_left"))
half_lock = call("crank", "--air", "5 C", "--try", "5", *setting(exhaust__lock_m3=4e-3))
check("tries" in half_lock and more(before[0], half_lock["tries"][0]["flood_before"]["seconds"], 0.3), "a smaller water lock floods sooner", half_lock.get("tries"))

# ---------------------------------------------------------------- running

full, cruise, idle, free = at("full"), at("cruise"), at("warm_idle"), at("no_load")
steeper, faster = ratio(full["shaft_power"], cruise["shaft_power"]), ratio(full["engine_speed"], cruise["engine_speed"])
check(faster > 1.05 and steeper > 1 and 2.2 < math.log(steeper) / math.log(faster) < 3.8,
      "power follows the propeller law, exponent 2.2 to 3.8 (40 CFR 1042 app. III draws 2.5 to 3.5)", (full["shaft_power"], cruise["shaft_power"]))
check(more(ratio(full["fuel_rate"], full["engine_speed"]), ratio(free["fuel_rate"], free["engine_speed"]), 0.5), "fuel per cycle falls when the load is off", (full["fuel_rate"], free["fuel_rate"]))
check(more(free["engine_speed"], full["engine_speed"], 0.01), "the governor lets it run faster without load", (free["engine_speed"], full["engine_speed"]))
elbow = at("full", "--fault", "elbow.blocked=0.85")
check(more(elbow["back_pressure"], full["back_pressure"], 1), "a closed elbow raises the back pressure", elbow["back_pressure"])
check(more(full["shaft_power"], elbow["shaft_power"], 0.03), "and costs power", (full["shaft_power"], elbow["shaft_power"]))
check(more(elbow["exhaust_temperature"], full["exhaust_temperature"], 0.02), "and heats the exhaust", elbow["exhaust_temperature"])
choked = at("full", "--fault", "air.filter=1")
check(more(choked["intake_depression"], full["intake_depression"], 1) and more(full["lambda"], choked["lambda"], 0.02), "a clogged air filter takes air",
      (choked["lambda"], full["lambda"]))
starved = at("full", "--fault", "filter.fine=0.9")
check(more(full["engine_speed"], starved["engine_speed"], 0.01) and more(starved["minutes_to_stop"] is None, -1), "a clogged fuel filter costs revs", starved["engine_speed"])
foul = at("full", "--fault", "hull.fouled=0.8")
check(more(full["boat_speed"], foul["boat_speed"], 0.03) and more(full["engine_speed"], foul["engine_speed"], 0.01), "growth costs speed and revs",
      (full["boat_speed"], foul["boat_speed"], full["engine_speed"], foul["engine_speed"]))
rope = at("full", "--fault", "prop.rope=0.7")
check(more(full["engine_speed"], rope["engine_speed"], 0.05) and abs(ratio(at("no_load", "--fault", "prop.rope=0.7")["engine_speed"], free["engine_speed"]) - 1) < 0.005,
      "a rope loads the engine in gear and not in neutral", rope["engine_speed"])
one_out = at("cruise", "--fault", "nozzle.shut=1")
check(more(one_out["roughness"], cruise["roughness"], 5), "a cylinder without fuel is felt", one_out["roughness"])
worn = at("full", "--fault", "rings.worn=0.8")
check(more(worn["blow_by"], full["blow_by"], 1) and more(worn["crankcase_pressure"], full["crankcase_pressure"], 0.5), "worn rings blow by", worn["blow_by"])
check(more(worn["oil_use"], full["oil_use"], 0.5), "and burn oil", worn["oil_use"])

# ---------------------------------------------------------------- cooling

check(1.7 < ratio(full["raw_water_flow"], idle["raw_water_flow"]) and abs(ratio(ratio(full["raw_water_flow"], idle["raw_water_flow"]), ratio(full["engine_speed"], idle["engine_speed"])) - 1) < 0.25,
      "the raw-water pump gives water by the turn", (full["raw_water_flow"], idle["raw_water_flow"]))
gone = at("cruise", "--fault", "impeller.gone=1")
check(gone["minutes_to_overheat"] is not None and gone["minutes_to_overheat"] < 30 and cruise["minutes_to_overheat"] is None, "without raw water it overheats, with it not", gone["minutes_to_overheat"])
light = setting(cooling__metal_j_k=1e4)
some = at("cruise", "--fault", "impeller.gone=1", *light, *setting(cooling__coolant_m3=0.03))["minutes_to_overheat"]
twice = at("cruise", "--fault", "impeller.gone=1", *light, *setting(cooling__coolant_m3=0.06))["minutes_to_overheat"]
check(1.7 < ratio(twice, some) < 2.2, "twice the coolant about doubles the minutes to overheat (block as light as the range allows)", (some, twice))
heavy = at("cruise", "--fault", "impeller.gone=1", *setting(cooling__metal_j_k=1.8e5, cooling__coolant_m3=0.016))["minutes_to_overheat"]
check(1.6 < ratio(heavy, gone["minutes_to_overheat"]) < 2.4, "twice the coolant and the block about doubles them too", (gone["minutes_to_overheat"], heavy))
stuck = at("cruise", "--fault", "thermostat.open=1")
check(more(cruise["coolant_temperature"], stuck["coolant_temperature"], 0.1), "a thermostat that stays open runs it cold", (cruise["coolant_temperature"], stuck["coolant_temperature"]))
cold_sea, warm_sea = at("cruise", "--sea", "5 C"), at("cruise", "--sea", "20 C")
check(abs(warm_sea["coolant_temperature"] - cold_sea["coolant_temperature"]) < 5, "the thermostat holds the temperature over 15 K of sea (a third of the change may pass)",
      (cold_sea["coolant_temperature"], warm_sea["coolant_temperature"]))
small = at("full", *setting(cooling__exchanger_w_k=250))
check(more(small["coolant_temperature"], full["coolant_temperature"], 0.05), "a smaller exchanger runs hotter at full", small["coolant_temperature"])
slipping = at("cruise", *setting(cooling__vane_loss=0.85))
check(numbers(slipping["hose_temperature"]) and slipping["hose_temperature"] < 100 and more(slipping["steam"], cruise["steam"], 1),
      "with little water the exhaust steams rather than burns the hose: evaporation takes the heat", (slipping["hose_temperature"], slipping["steam"]))
check(more(gone["hose_temperature"], 150), "without water the hose sees the gas", gone["hose_temperature"])

# ---------------------------------------------------------------- oil, charging, instruments

set_low = at("full", *setting(oil__relief_pa=3e5))
check(numbers(set_low["oil_pressure"]) and abs(set_low["oil_pressure"] - 3) < 0.1, "the relief valve sets the oil pressure at full", (set_low["oil_pressure"], full["oil_pressure"]))
thin = at("warm_idle", *setting(oil__kv40_m2_s=3e-5, oil__kv100_m2_s=5.5e-6))
check(more(idle["oil_pressure"], thin["oil_pressure"], 0.1), "thin oil has less pressure at idle", (idle["oil_pressure"], thin["oil_pressure"]))
belt = at("cruise", "--fault", "belt.slack=0.9")
check(more(cruise["tacho_shown"], belt["tacho_shown"], 0.05) and abs(ratio(belt["engine_speed"], cruise["engine_speed"]) - 1) < 0.02, "a slipping belt lowers what a rev counter on the alternator shows",
      (belt["tacho_shown"], belt["engine_speed"]))
sender = at("cruise", "--fault", "sender.coolant=1")
check(abs(sender["coolant_temperature"] - cruise["coolant_temperature"]) < 0.1 and abs(sender["coolant_gauge"] - cruise["coolant_gauge"]) > 5, "a bad sender changes what is shown and not what is", sender["coolant_gauge"])

# ---------------------------------------------------------------- surroundings

high = at("full", "--pressure", "0.8 bar")
check(more(full["lambda"], high["lambda"], 0.1) and more(high["soot"], full["soot"], 0.05), "thin air smokes", (full["lambda"], high["lambda"]))
hot = at("full", "--air", "40 C")
check(more(full["lambda"], hot["lambda"], 0.02), "hot air is thin air", (full["lambda"], hot["lambda"]))
check(more(at("cruise", "--sea", "28 C")["hose_temperature"], cruise["hose_temperature"], 0.05), "a warmer sea warms the hose")

print(f"1..{number}")
sys.exit(1 if failures else 0)

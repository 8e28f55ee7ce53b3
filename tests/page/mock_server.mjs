// A stand-in for `donkeyman serve` while the page is made: node tests/page/mock_server.mjs [PORT] [FOLDER]
// Texts come from canned.json. EVERY CHANCE IN IT IS INVENTED: a hash of words stands where the model
// stands, so that shares move and add up as in the contract, and nothing more. POST /mock {key: value} sets
// what a test wants to see.
import { createServer } from "node:http";
import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

const here = dirname(fileURLToPath(import.meta.url));
const start = JSON.parse(readFileSync(join(here, "canned.json"), "utf8"));
const policy =
  "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; " +
  "base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

// a number in 0..1 from words
function invented(...words) {
  return createHash("sha256").update(words.join("|")).digest().readUInt32BE(0) / 2 ** 32;
}

// invented chance of each answer under each cause
function likelihood(cause, item, answers) {
  const raw = answers.map((answer) => Math.exp(3.2 * invented(cause, item, answer)));
  const sum = raw.reduce((a, b) => a + b, 0);
  return raw.map((value) => value / sum);
}

function causes_of(set) {
  const rows = start.faults.map((fault) => ({
    id: fault.id,
    weight: 0.1 + invented(fault.id, "prior") ** 3,
  }));
  const sum = rows.reduce((all, row) => all + row.weight, 0);
  const unknown = set.unknown ?? 0.05,
    healthy = 0.02;
  return [
    ...rows.map((row) => ({ id: row.id, p: (row.weight / sum) * (1 - unknown - healthy) })),
    { id: "=healthy", p: healthy },
    { id: "=unknown", p: unknown },
  ];
}

const sign_of = (id) => start.signs.find((row) => row.id === id.split("@")[0]);
const check_of = (id) => start.checks.find((row) => row.id === id.split("@")[0]);

function bands(check) {
  const reading = start.readings.find((row) => row.id === check.reading);
  const width = (reading.high - reading.low) / 5;
  return [0, 1, 2, 3, 4].map((i) => ({
    id: `band${i + 1}`,
    text: `band ${i + 1}`,
    low: reading.low + i * width,
    high: reading.low + (i + 1) * width,
  }));
}

function answers_of(check) {
  return check.gives === "reading" ? bands(check) : check.answers;
}

// what was said, as [item, answers, answer]
function said_of(request) {
  const said = [];
  for (const [key, given] of Object.entries({ ...request.observed, ...request.before })) {
    const value = given.answer ?? given;
    const sign = sign_of(key);
    if (
      !sign ||
      sign.id === "where" ||
      typeof value !== "string" ||
      ["not_sure", "odd", "not_looked"].includes(value)
    )
      continue;
    said.push([sign.id, sign.answers.map((row) => row.id), value, key]);
  }
  for (const [key, value] of Object.entries(request.done)) {
    const check = check_of(key);
    const answers = answers_of(check);
    const answer =
      check.gives === "reading"
        ? (answers.find((row) => parseFloat(value) < row.high)?.id ?? "band5")
        : value;
    said.push([check.id, answers.map((row) => row.id), answer, key]);
  }
  return said;
}

function entropy(list) {
  return list.reduce((all, p) => (p > 0 ? all - p * Math.log2(p) : all), 0);
}

function look_at(post, item, answers) {
  const ids = answers.map((row) => row.id);
  const table = post.map((row) => likelihood(row.id, item, ids));
  const chance = ids.map((_, a) => post.reduce((all, row, i) => all + row.p * table[i][a], 0));
  const after = ids.reduce(
    (all, _, a) => all + chance[a] * entropy(post.map((row, i) => (row.p * table[i][a]) / chance[a])),
    0,
  );
  return {
    bits: Math.max(0, entropy(post.map((row) => row.p)) - after),
    answers: answers.map((row, a) => ({
      id: row.id,
      text: row.text,
      chance: chance[a],
      low: row.low,
      high: row.high,
    })),
  };
}

function red_of(request) {
  const seen = request.observed;
  const holds = (row) =>
    Object.entries(row.before ? request.before : seen).some(
      ([key, value]) => key.split("@")[0] === row.sign && row.answers.includes(value.answer ?? value),
    );
  const rules = start.red_rules.filter((rule) =>
    rule.all ? rule.conditions.every(holds) : rule.conditions.some(holds),
  );
  if (rules.length === 0) return null;
  const rule = rules[0],
    here = rule.at[request.where] ?? rule;
  return {
    id: rule.id,
    order: here.order ?? rule.order,
    then: here.then,
    waiting: rules.slice(1).map((row) => row.id),
  };
}

function trace(request, set) {
  let post = causes_of(set);
  const said = said_of(request);
  const why = new Map(post.map((row) => [row.id, []]));
  for (const [item, ids, answer, key] of said) {
    const chance = post.map((row) => likelihood(row.id, item, ids)[ids.indexOf(answer)] ?? 1);
    const sum = post.reduce((all, row, i) => all + row.p * chance[i], 0);
    post.forEach((row, i) =>
      why.get(row.id).push({ observation: key, log_ratio: Math.log(chance[i] / sum) }),
    );
    post = post.map((row, i) => ({ id: row.id, p: (row.p * chance[i]) / sum }));
  }
  const of = (id) => post.find((row) => row.id === id).p;
  const causes = post
    .filter((row) => !row.id.startsWith("="))
    .map((row) => {
      const fault = start.faults.find((one) => one.id === row.id);
      return {
        id: row.id,
        faults: [row.id],
        group: row.id,
        repair: fault.repair,
        name: fault.name,
        system: fault.system,
        probability: row.p,
        low: row.p * 0.7,
        high: Math.min(1, row.p * 1.3),
        severity: { low: 0.2, mid: 0.5, high: 0.8, text: "about half as bad as it gets (invented)" },
        why: why.get(row.id),
      };
    })
    .sort((a, b) => b.probability - a.probability);
  const known = new Set([
    ...said.map((row) => row[0]),
    ...Object.keys(request.observed).map((key) => key.split("@")[0]),
  ]);
  const ask = start.signs
    .filter((sign) => !known.has(sign.id) && !["where", "after"].includes(sign.id))
    .map((sign) => ({
      sign: sign.id,
      point: sign.default_point,
      question: sign.question,
      ...look_at(post, sign.id, sign.answers),
    }))
    .sort((a, b) => b.bits - a.bits)
    .slice(0, set.asks ?? 6);
  const next = set.nothing
    ? []
    : start.checks
        .filter((check) => !known.has(check.id) && !request.cannot.includes(check.id))
        .map((check) => {
          const look = look_at(post, check.id, answers_of(check));
          return {
            check: check.id,
            name: check.name,
            point: check.point,
            steps: check.steps,
            place: check.place,
            undo: check.undo,
            ...look,
            bits_per_minute: look.bits / check.minutes,
            expected_cost: check.minutes,
            minutes: check.minutes,
            tools: check.tools,
            cautions: check.cautions,
            gates: check.gates.filter((gate) => !request.passed.includes(gate)),
            shares_cover_with: [],
          };
        })
        .sort((a, b) => b.bits_per_minute - a.bits_per_minute);
  if (set.first_check) next.sort((a, b) => (b.check === set.first_check) - (a.check === set.first_check));
  return {
    causes,
    marginal: {},
    healthy: of("=healthy"),
    none_of_these: of("=unknown"),
    ask: set.nothing || set.no_ask ? [] : ask,
    next,
    red_rule: red_of(request),
    may: {
      crank: "limit",
      crank_seconds: 11,
      run: set.run ?? "limp",
      minutes: 12,
      max_rpm: 1620,
      unknown: of("=unknown"),
      price_of_running: "it may stop again; no lasting harm found in fuel pressure or heat",
      because: [
        { reading: "minutes_to_stop", limit: 5, source: "invented" },
        { reading: "coolant_temperature", limit: 98, source: "invented" },
      ],
    },
    conflicts: set.conflict && said.length > 1 ? [{ observations: [said[0][3], said[1][3]], nats: 2 }] : [],
    inputs: [],
    engine_hash: "invented",
    catalogue_hash: "invented",
    bank_hash: "invented",
    model_version: "mock",
    seed: 1,
  };
}

// index.html and the files it names, each with its hash in the path, as tools/embed.py does
export function assets(folder) {
  let index = readFileSync(join(folder, "index.html"), "utf8");
  const table = new Map();
  for (const [name, type] of [
    ["app.js", "text/javascript; charset=utf-8"],
    ["app.css", "text/css; charset=utf-8"],
    ["icon.svg", "image/svg+xml"],
  ]) {
    const bytes = readFileSync(join(folder, name));
    const path =
      "/" + name.replace(".", `.${createHash("sha256").update(bytes).digest("hex").slice(0, 12)}.`);
    index = index.replace(`"/${name}"`, `"${path}"`);
    table.set(path, { type, bytes });
  }
  table.set("/", { type: "text/html; charset=utf-8", bytes: Buffer.from(index) });
  return table;
}

export function make_server(folder) {
  const table = assets(folder);
  const set = {};
  const bank = () => {
    if (!set.bank_ms) return { state: "ready", done: 1536, total: 1536, seconds_left: 0 };
    if (set.stopped) return { state: "stopped", done: 600, total: 1536, seconds_left: null };
    const share = Math.min(1, (Date.now() - set.since) / set.bank_ms);
    return {
      state: share < 1 ? "building" : "ready",
      done: Math.round(1536 * share),
      total: 1536,
      seconds_left: Math.round(((1 - share) * set.bank_ms) / 1000),
    };
  };
  return createServer((request, reply) => {
    const send = (status, value, type = "application/json") => {
      const body = Buffer.isBuffer(value) ? value : Buffer.from(JSON.stringify(value));
      reply.writeHead(status, {
        "Content-Type": type,
        "Content-Security-Policy": policy,
        "X-Content-Type-Options": "nosniff",
        "Cache-Control": "no-store",
        "Content-Length": body.length,
      });
      reply.end(body);
    };
    const path = request.url.split("?")[0];
    let text = "";
    request.on("data", (piece) => {
      text += piece;
    });
    request.on("end", () => {
      const file = table.get(path);
      if (file) return send(200, file.bytes, file.type);
      if (path === "/mock") {
        for (const key of Object.keys(set)) delete set[key];
        Object.assign(set, JSON.parse(text || "{}"), { since: Date.now() });
        return send(200, set);
      }
      if (path === "/api/start") return send(200, start);
      if (path === "/api/bank") return send(200, bank());
      if (path === "/api/bank/stop") {
        set.stopped = true;
        return send(200, bank());
      }
      if (path === "/api/trace") {
        if (set.fail)
          return send(500, {
            error: {
              what: "The sum did not settle at full ahead.",
              do: "Take the last answer back, or leave it out.",
            },
          });
        if (bank().state !== "ready") {
          if (set.stopped) Object.assign(set, { stopped: false, since: Date.now() });
          return send(200, { ...trace(JSON.parse(text), set), bank_hash: null });
        }
        return setTimeout(() => send(200, trace(JSON.parse(text), set)), set.slow_ms ?? 0);
      }
      return send(404, { error: { what: "There is nothing at this path.", field: "path" } });
    });
  });
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const port = Number(process.argv[2] ?? 8138);
  make_server(process.argv[3] ?? join(here, "..", "..", "build", "page")).listen(port, "127.0.0.1", () =>
    console.log(`mock on http://127.0.0.1:${port}/ (all chances invented)`),
  );
}

// GET /api/start may carry rows as `donkeyman list` prints them; here they become what the page works with.
import type { Check, Gate, Reading, Start } from "./shapes";

type Row = Record<string, unknown>;

const aboard = (row: Row) => row.aboard !== false;
const texts = (value: unknown): string[] => (Array.isArray(value) ? value.map(String) : []);

function gate_of(row: Row): Gate {
  const answers = (row.answers ?? []) as { id: string; text: string; opens?: boolean }[];
  const opens = Array.isArray(row.opens)
    ? texts(row.opens)
    : answers.filter((answer) => answer.opens).map((answer) => answer.id);
  return { ...(row as unknown as Gate), answers, opens, cautions: texts(row.cautions) };
}

function reading_of(row: Row): Reading {
  return {
    id: String(row.id),
    unit: String(row.unit ?? ""),
    low: Number(row.low ?? row.span_low),
    high: Number(row.high ?? row.span_high),
  };
}

// `gives` is a kind, or the id of what is given
function check_of(row: Row, readings: Reading[], signs: Start["signs"]): Check {
  const gives = String(row.gives ?? "");
  const check = {
    ...(row as unknown as Check),
    gates: texts(row.gates),
    steps: texts(row.steps),
    tools: texts(row.tools),
    cautions: texts(row.cautions),
    answers: (row.answers ?? []) as Check["answers"],
  };
  if (["reading", "answer", "sign"].includes(gives)) return check;
  if (check.answers.length === 0 && readings.some((reading) => reading.id === gives))
    return { ...check, gives: "reading", reading: gives };
  if (signs.some((sign) => sign.id === gives)) return { ...check, gives: "sign", sign: gives };
  return { ...check, gives: "answer" };
}

export function start_of(raw: Start): Start {
  const rows = (value: unknown) => ((value ?? []) as Row[]).filter(aboard);
  const readings = rows(raw.readings).map(reading_of);
  const signs = rows(raw.signs) as unknown as Start["signs"];
  return {
    ...raw,
    engine: {
      ...raw.engine,
      title: raw.engine?.title ?? raw.engine?.name ?? "Your engine",
      installation: raw.engine?.installation ?? {},
    },
    readings,
    signs,
    checks: rows(raw.checks).map((row) => check_of(row, readings, signs)),
    gates: rows(raw.gates).map(gate_of),
    red_rules: rows(raw.red_rules) as unknown as Start["red_rules"],
    repairs: rows(raw.repairs) as unknown as Start["repairs"],
    faults: rows(raw.faults) as unknown as Start["faults"],
    first_questions: texts(raw.first_questions),
    engine_hash: raw.engine_hash ?? "",
  };
}

// The forms that travel between the page and /api, as docs/http.md and contract.md have them.

export interface Answer {
  id: string;
  text: string;
  normal?: boolean;
}

// ---- GET /api/start: what the page needs of the record and the catalogue

export interface Sign {
  id: string;
  question: string;
  default_point: string;
  points?: string[];
  kind?: string;
  several?: boolean;
  answers: Answer[];
  group?: string | null;
}
export interface Check {
  id: string;
  name: string;
  gives: "reading" | "answer" | "sign";
  reading?: string | null;
  sign?: string | null;
  point: string;
  steps: string[];
  tools: string[];
  cautions: string[];
  gates: string[];
  answers: Answer[];
  minutes: number;
  place: string;
  opens?: string | null;
  undo?: string | null;
  needs?: string[];
}
export interface Condition {
  sign: string;
  answers: string[];
  points?: string[];
  before?: boolean;
}
export interface RedRule {
  id: string;
  name: string;
  all: boolean;
  conditions: Condition[];
  order: string;
  then: string[];
  at: { [where: string]: { order?: string | null; then: string[] } };
  concern: string;
  reason?: string | null;
}
export interface Gate {
  id: string;
  asks: string;
  answers: Answer[];
  opens: string[];
  blocked: string;
  cautions?: string[];
}
export interface Repair {
  id: string;
  name: string;
}
export interface Fault {
  id: string;
  name: string;
  part: string;
  system: string;
  danger?: string | null;
}
export interface Reading {
  id: string;
  unit: string;
  low: number;
  high: number;
}
export interface Engine {
  name: string;
  title: string;
  invented: boolean;
  cylinders: number;
  rated_rpm: number;
  cruise_rpm?: number;
  hours?: number | null;
  installation: { [question: string]: string };
  stop_ways?: string[];
  air_c?: number | null;
  sea_c?: number | null;
}
export interface Start {
  engine: Engine;
  signs: Sign[];
  checks: Check[];
  red_rules: RedRule[];
  gates: Gate[];
  repairs: Repair[];
  faults: Fault[];
  readings: Reading[];
  first_questions: string[]; // signs asked on screens of their own before the first card
  catalogue_hash: string;
  engine_hash: string;
  model_version: string;
}

// ---- GET /api/bank

export type BankState = "none" | "building" | "ready" | "stopped" | "failed";
export interface Bank {
  state: BankState;
  done: number;
  total: number;
  seconds_left: number | null;
  what?: string;
}

// ---- POST /api/trace

// an answer, several, or the full form for one that was said unasked
export type Seen = string | string[] | { answer: string | string[]; how: "volunteered" };

export interface TraceRequest {
  engine?: string;
  air?: string;
  sea?: string;
  where?: string;
  observed: { [sign: string]: Seen };
  before: { [sign: string]: Seen };
  readings: { [reading: string]: string };
  done: { [check: string]: string | string[] };
  tried: { [repair: string]: string };
  tools?: string[];
  cannot: string[];
  passed: string[]; // gates whose answer opened them
}
export interface Chance {
  id: string;
  text: string;
  chance: number;
  low?: number | null;
  high?: number | null;
}
export interface Why {
  observation: string;
  log_ratio: number;
  text?: string;
}
export interface Cause {
  id: string;
  faults: string[];
  group: string;
  repair: string;
  name: string;
  system: string;
  probability: number;
  low: number;
  high: number;
  severity: { low: number; mid: number; high: number; text: string };
  why: Why[];
}
export interface Ask {
  sign: string;
  point: string;
  question: string;
  answers: Chance[];
  bits: number;
  bits_per_minute?: number;
}
export interface Next {
  check: string;
  name: string;
  point?: string;
  steps: string[];
  place: string;
  undo: string | null;
  bits: number;
  bits_per_minute: number;
  expected_cost: number;
  minutes: number;
  tools: string[];
  cautions: string[];
  gates: string[];
  answers: Chance[];
  shares_cover_with: string[];
  held_back?: string | null;
}
export interface RedAnswer {
  id: string;
  order: string;
  then: string[];
  waiting: string[];
  reason?: string | null;
}
export interface May {
  crank: "yes" | "no" | "limit";
  crank_seconds: number | null;
  run: "stop_now" | "within_minutes" | "limp" | "carry_on" | "not_resolved";
  minutes: number | null;
  max_rpm: number | null;
  price_of_running: string | null;
  because: { reading: string; limit: number | null; source: string }[];
  unknown?: number;
}
export interface Conflict {
  observations: string[];
  nats: number;
}
export interface TraceAnswer {
  causes: Cause[];
  marginal: { [fault: string]: number };
  healthy: number;
  none_of_these: number;
  ask: Ask[];
  next: Next[];
  red_rule: RedAnswer | null;
  may: May;
  conflicts: Conflict[];
  inputs: unknown;
  engine_hash: string;
  catalogue_hash: string;
  bank_hash: string;
  model_version: string;
  seed: number;
}

// ---- any answer of 4xx and 5xx

export interface Complaint {
  what: string;
  field?: string;
  do?: string;
  unit?: string;
  low?: number | string;
  high?: number | string;
}

// ---- what the page keeps on the phone

export type Kind = "observed" | "before" | "reading" | "done" | "tried";
export interface Said {
  kind: Kind;
  id: string;
  point?: string;
  answers?: string[]; // of a sign, check or repair
  value?: number;
  unit?: string; // of a reading, in the reading's own unit
  how: "asked" | "volunteered";
}

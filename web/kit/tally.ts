// From shares to a hundred strokes, and what an answer leaves of the hundred. No drawing here.
import type { TraceAnswer } from "./shapes";

export interface Part {
  id: string;
  name: string;
  share: number;
}
export interface Line {
  id: string;
  name: string;
  count: number;
  parts: Part[];
  cause: string | null;
  last: boolean;
}
export interface StruckLine extends Line {
  left: number;
  grew: boolean;
}

export const healthy_id = "=healthy";
export const unknown_id = "=unknown";
const others_id = "=others";
const total = 100;

// Whole counts that sum to `sum`: largest remainder, ties by id. A part in `at_least` gets one stroke anyway.
export function largest_remainder(
  parts: Part[],
  sum: number,
  at_least: string[] = [],
): Map<string, number> {
  const whole = parts.reduce((all, part) => all + part.share, 0) || 1;
  const rows = parts.map((part) => {
    const exact = (part.share / whole) * sum;
    return { id: part.id, n: Math.floor(exact), rest: exact - Math.floor(exact) };
  });
  let open = sum - rows.reduce((all, row) => all + row.n, 0);
  const order = [...rows].sort((a, b) => b.rest - a.rest || (a.id < b.id ? -1 : 1));
  for (let i = 0; open > 0 && order.length > 0; i = (i + 1) % order.length, --open) order[i].n += 1;

  // the stroke that must be drawn comes from the largest line
  for (const id of at_least) {
    const row = rows.find((r) => r.id === id);
    if (!row || row.n > 0) continue;
    const rich = [...rows].sort((a, b) => b.n - a.n || (a.id < b.id ? -1 : 1))[0];
    if (rich.n < 2) continue;
    rich.n -= 1;
    row.n = 1;
  }
  return new Map(rows.map((row) => [row.id, row.n]));
}

// Causes by group (alike from here, or mended alike, is one line), then 'nothing broken' and the unknown.
export function parts_of(answer: TraceAnswer): Part[] {
  const groups = new Map<string, Part & { best: number }>();
  for (const cause of answer.causes) {
    const key = cause.group || cause.id;
    const old = groups.get(key);
    if (!old)
      groups.set(key, { id: key, name: cause.name, share: cause.probability, best: cause.probability });
    else {
      if (cause.probability > old.best) {
        old.name = cause.name;
        old.best = cause.probability;
      }
      old.share += cause.probability;
    }
  }
  const causes = [...groups.values()].map(({ id, name, share }) => ({ id, name, share }));
  return [
    ...causes,
    { id: healthy_id, name: "Nothing broken", share: answer.healthy },
    { id: unknown_id, name: "Something we don’t know", share: answer.none_of_these },
  ];
}

// The lines as drawn: by count, those below 2 joined, the two that are always drawn at the end.
export function lines_of(answer: TraceAnswer): Line[] {
  const parts = parts_of(answer);
  const counts = largest_remainder(parts, total, [healthy_id, unknown_id]);
  const of = (part: Part) => counts.get(part.id) ?? 0;
  const causes = parts.filter((part) => part.id !== healthy_id && part.id !== unknown_id);
  const big = causes.filter((part) => of(part) >= 2);
  const small = causes.filter((part) => of(part) < 2);
  big.sort((a, b) => of(b) - of(a) || b.share - a.share || (a.id < b.id ? -1 : 1));
  const one = (part: Part, last: boolean): Line => ({
    id: part.id,
    name: part.name,
    count: of(part),
    parts: [part],
    cause: last ? null : part.id,
    last,
  });
  const lines = big.map((part) => one(part, false));
  if (small.length === 1) lines.push(one(small[0], false));
  if (small.length > 1) {
    const n = small.reduce((all, part) => all + of(part), 0);
    lines.push({ id: others_id, name: "", count: n, parts: small, cause: null, last: false });
  }
  for (const part of parts)
    if (part.id === healthy_id || part.id === unknown_id) lines.push(one(part, true));
  return lines;
}

// The old hundred after an answer whose chance was `chance`: of each line chance × new share is left.
export function strike(
  old: Line[],
  chance: number,
  now: TraceAnswer,
): { lines: StruckLine[]; left: number } {
  const fresh = new Map(parts_of(now).map((part) => [part.id, part.share]));
  const left = Math.round(total * Math.min(1, Math.max(0, chance)));
  const share = (line: Line) => line.parts.reduce((all, part) => all + (fresh.get(part.id) ?? 0), 0);
  const counts = largest_remainder(
    old.map((line) => ({ id: line.id, name: "", share: share(line) })),
    left,
  );
  const lines = old.map((line) => ({
    ...line,
    left: Math.min(line.count, counts.get(line.id) ?? 0),
    grew: share(line) > 1.5 * line.parts.reduce((all, part) => all + part.share, 0) && share(line) >= 0.1,
  }));
  return { lines, left: lines.reduce((all, line) => all + line.left, 0) };
}

// Shares of each fault by its region of the map: marginal, so a pair counts in both places.
export function part_shares(
  answer: TraceAnswer,
  part_of: (fault: string) => string | undefined,
): Map<string, number> {
  const shares = new Map<string, number>();
  for (const cause of answer.causes) {
    const parts = new Set(cause.faults.map(part_of).filter((part): part is string => part !== undefined));
    for (const part of parts) shares.set(part, (shares.get(part) ?? 0) + cause.probability);
  }
  return shares;
}

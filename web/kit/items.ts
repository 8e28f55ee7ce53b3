// What may be asked or done next, in order, and what an answer to it is.
import type { Ask, Next, Said, Start, TraceAnswer } from "./shapes";
import type { Trace } from "./keep";

export const first_questions_most = 3;
const least_bits = 0.02; // a question that tells less is not worth a tap
const question_minutes = 10 / 60;

export type Item = { kind: "ask"; ask: Ask } | { kind: "check"; next: Next };

// The answer on a card: one of its own, a special one, or a figure.
export interface Given {
  id: string;
  text: string;
  chance: number | null;
  value?: number;
  unit?: string;
}

// At most three questions, then the first check; after that both in one order by bits per minute.
export function items_of(answer: TraceAnswer, trace: Trace): Item[] {
  const asks: Item[] = answer.ask
    .filter(
      (ask) =>
        ask.bits >= least_bits &&
        !trace.said.some((said) => said.id === ask.sign && (said.point ?? ask.point) === ask.point),
    )
    .map((ask) => ({ kind: "ask", ask }));
  const checks: Item[] = answer.next
    .filter((next) => !next.held_back)
    .map((next) => ({ kind: "check", next }));
  if (trace.asked < first_questions_most) return [...asks, ...checks];
  if (trace.asked < 2 * first_questions_most) return [...checks, ...asks];
  const rate = (item: Item) =>
    item.kind === "ask" ? item.ask.bits / question_minutes : item.next.bits_per_minute;

  // each keeps the order it came in: the program's own order of checks weighs more than bits
  const merged: Item[] = [];
  while (asks.length > 0 || checks.length > 0) {
    const from =
      checks.length === 0 || (asks.length > 0 && rate(asks[0]) > rate(checks[0])) ? asks : checks;
    merged.push(from.shift() as Item);
  }
  return merged;
}

export function item_id(item: Item): string {
  return item.kind === "ask" ? `ask ${item.ask.sign}@${item.ask.point}` : `check ${item.next.check}`;
}

// how far the trace is after this item: see keep.ts
export function asked_after(item: Item, asked: number): number {
  if (item.kind === "check") return 2 * first_questions_most;
  return asked < first_questions_most ? asked + 1 : asked;
}

// an answer on a card as an observation
export function said_of(item: Item, given: Given, start: Start): Said {
  if (item.kind === "ask") {
    const usual = start.signs.find((row) => row.id === item.ask.sign)?.default_point;
    return {
      kind: "observed",
      id: item.ask.sign,
      point: item.ask.point === usual ? undefined : item.ask.point,
      answers: given.id.split(","),
      how: "asked",
    };
  }
  const id = item.next.check;
  if (given.value !== undefined)
    return { kind: "done", id, value: given.value, unit: given.unit, how: "asked" };
  return { kind: "done", id, answers: [given.id], how: "asked" };
}


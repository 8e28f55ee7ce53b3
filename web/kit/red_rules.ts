// Red rules from the catalogue alone: they need no bank and no server.
import type { Condition, RedRule, Said, Start } from "./shapes";
import { add_said } from "./said";

export interface Order {
  id: string;
  order: string;
  then: string[];
  waiting: string[];
  reason: string | null;
}

// The order of a rule for this place.
export function order_of(rule: RedRule, where: string | null): Order {
  const here = where !== null ? rule.at?.[where] : undefined;
  return {
    id: rule.id,
    order: here?.order ?? rule.order,
    then: here?.then.length ? here.then : rule.then,
    waiting: [],
    reason: rule.reason ?? null,
  };
}

const concerns = ["people", "fire", "flooding", "engine"];

// a row without points holds at all of them
function at_point(start: Start, row: Condition, said: Said): boolean {
  const point = said.point ?? start.signs.find((sign) => sign.id === said.id)?.default_point;
  return !row.points || row.points.length === 0 || point === undefined || row.points.includes(point);
}

// whether this observation is what the row looks for
function meets(start: Start, row: Condition, said: Said): boolean {
  const when = (said.kind === "before") === (row.before === true) && said.kind !== "tried";
  const answered = (said.answers ?? []).some((answer) => row.answers.includes(answer));
  return said.id === row.sign && when && answered && at_point(start, row, said);
}

// Rules that hold by what was said: people first, then fire, flooding, engine.
export function held_rules(start: Start, said: Said[]): RedRule[] {
  const seen = (row: Condition) => said.some((one) => meets(start, row, one));
  const holds = (rule: RedRule) => (rule.all ? rule.conditions.every(seen) : rule.conditions.some(seen));
  return start.red_rules
    .filter((rule) => rule.conditions.length > 0 && holds(rule))
    .sort((a, b) => concerns.indexOf(a.concern) - concerns.indexOf(b.concern));
}

// where the observation of a row is made: the sign's own point, if the row has it
function point_of(start: Start, row: Condition): string | undefined {
  const usual = start.signs.find((one) => one.id === row.sign)?.default_point;
  const points = row.points ?? [];
  if (points.length === 0 || (usual && points.includes(usual))) return undefined;
  return points.includes("cruise") ? "cruise" : points[0];
}

// What a tap on the rule's box says: its first condition, or all where all must hold.
export function say_rule(start: Start, rule: RedRule, list: Said[]): Said[] {
  const rows = rule.all ? rule.conditions : rule.conditions.slice(0, 1);
  return rows.reduce(
    (said, row) =>
      add_said(said, {
        kind: row.before ? "before" : "observed",
        id: row.sign,
        point: point_of(start, row),
        answers: [row.answers[0]],
        how: "asked",
      }),
    list,
  );
}

// What is left when the rule's sign is withdrawn.
export function withdraw_rule(rule: RedRule | undefined, list: Said[]): Said[] {
  const hit = (said: Said) =>
    (rule?.conditions ?? []).some(
      (row) => row.sign === said.id && (said.answers ?? []).some((answer) => row.answers.includes(answer)),
    );
  return list.filter((said) => !hit(said));
}

// What the skipper said: kept in his order, sent whole each time, shown as words.
import type { Answer, Said, Start, TraceRequest } from "./shapes";
import type { Look } from "./look";
import { figure, shown_units, with_unit } from "./units";
import { point_words } from "./words";

export const special_answers: Answer[] = [
  { id: "not_sure", text: "not sure" },
  { id: "odd", text: "odd" },
  { id: "not_looked", text: "not looked" },
];

// results of a repair that was tried; results of the contract, words ours
export const repair_results: Answer[] = [
  { id: "no_better", text: "No better" },
  { id: "better", text: "Better" },
  { id: "cured", text: "Cured" },
  { id: "worse", text: "Worse" },
];

function key_of(said: Said): string {
  return said.point ? `${said.id}@${said.point}` : said.id;
}

export function same_thing(a: Said, b: Said): boolean {
  return a.kind === b.kind && key_of(a) === key_of(b);
}

// A new answer takes the place of an older one to the same question.
export function add_said(list: Said[], said: Said): Said[] {
  return [...list.filter((old) => !same_thing(old, said)), said];
}

// The body of POST /api/trace.
export function request_of(
  where: string | null,
  list: Said[],
  cannot: string[],
  passed: string[],
): TraceRequest {
  const request: TraceRequest = {
    observed: {},
    before: {},
    readings: {},
    done: {},
    tried: {},
    cannot,
    passed,
  };
  if (where !== null) request.where = where;
  for (const said of list) {
    const key = key_of(said);
    const answers = said.answers ?? [];
    const words = answers.length === 1 ? answers[0] : answers;
    if (said.kind === "reading") request.readings[key] = measured(said);
    else if (said.kind === "done") request.done[key] = said.value !== undefined ? measured(said) : words;
    else if (said.kind === "tried") request.tried[key] = answers[0];
    else request[said.kind][key] = said.how === "volunteered" ? { answer: words, how: said.how } : words;
  }
  return request;
}

// value and unit as the command line takes them: "98 C"
function measured(said: Said): string {
  const unit = said.unit === "degC" ? "C" : said.unit === "-" ? "" : (said.unit ?? "");
  return `${Number((said.value ?? 0).toPrecision(6))} ${unit}`.trim();
}

export interface SaidWords {
  question: string;
  answer: string;
}

function answer_words(ids: string[], answers: Answer[]): string {
  const text = (id: string) =>
    [...answers, ...special_answers].find((answer) => answer.id === id)?.text ?? id.replace(/_/g, " ");
  return ids.map(text).join(", ");
}

// One observation as question and answer, from the catalogue's own texts.
export function words_of(said: Said, start: Start, look: Look): SaidWords {
  const reading = said.value !== undefined ? said : null;
  const value = reading ? value_words(reading, look) : "";
  if (said.kind === "tried") {
    const name = start.repairs.find((repair) => repair.id === said.id)?.name ?? said.id;
    return { question: name, answer: answer_words(said.answers ?? [], repair_results).toLowerCase() };
  }
  if (said.kind === "done" || said.kind === "reading") {
    const check = start.checks.find((row) => row.id === said.id);
    return {
      question: check?.name ?? said.id,
      answer: reading ? value : answer_words(said.answers ?? [], check?.answers ?? []),
    };
  }
  const sign = start.signs.find((row) => row.id === said.id);
  const point = said.point && said.point !== sign?.default_point ? `, ${point_words(said.point)}` : "";
  const then = said.kind === "before" ? " (before)" : "";
  return {
    question: (sign?.question ?? said.id) + point + then,
    answer: answer_words(said.answers ?? [], sign?.answers ?? []),
  };
}

function value_words(said: Said, look: Look): string {
  const shown = shown_units(said.unit ?? "", look)[0];
  return with_unit(figure(shown.to(said.value ?? 0)), shown.unit);
}

// The words of an observation that the server names in why[] or conflicts[]: "id", "id@point", "id=answer".
export function observation_words(observation: string, list: Said[], start: Start, look: Look): SaidWords {
  const key = observation
    .replace(/^(observed|before|readings?|done|tried)[.:]/, "")
    .split("=")[0]
    .trim();
  const said = list.find((row) => key_of(row) === key) ?? list.find((row) => row.id === key.split("@")[0]);
  if (said) return words_of(said, start, look);
  const sign = start.signs.find((row) => row.id === key.split("@")[0]);
  const answer = observation.split("=")[1];
  if (sign)
    return { question: sign.question, answer: answer ? answer_words([answer.trim()], sign.answers) : "" };
  return { question: observation, answer: "" };
}

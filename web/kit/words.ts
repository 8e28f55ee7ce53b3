// Odds, minutes and ranges in words.
import { rough } from "./units";

const steps: [number, string][] = [
  [0.95, "nearly all"],
  [0.85, "about 9 in 10"],
  [0.71, "about 3 in 4"],
  [0.59, "about 2 in 3"],
  [0.42, "about half"],
  [0.29, "about 1 in 3"],
  [0.225, "about 1 in 4"],
  [0.14, "about 1 in 5"],
  [0.05, "about 1 in 10"],
];

export function odds(share: number): string {
  for (const [from, words] of steps) if (share >= from) return words;
  return "unlikely, still open";
}

export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

// a source as a person reads it: without the keys of the bibliography, our own figures called that
export function source(text: string): string {
  return text
    .replace(/\[[A-Z0-9 .-]+\] ?/g, "")
    .replace(/ASSUMED-\d+/g, "our assumption")
    .trim();
}

// no doubled stop behind a sentence that has one
export function sentence(text: string): string {
  const trimmed = capital(text.trim());
  return /[.?!:]$/.test(trimmed) ? trimmed : `${trimmed}.`;
}

export function minutes(value: number): string {
  if (value < 1) return `${Math.max(10, Math.round((value * 60) / 10) * 10)} s`;
  return `${rough(value)} min`;
}

const counts = [
  "no",
  "one",
  "two",
  "three",
  "four",
  "five",
  "six",
  "seven",
  "eight",
  "nine",
  "ten",
  "eleven",
  "twelve",
];
export function count(n: number): string {
  return counts[n] ?? String(n);
}

export function list(items: string[], last = "and"): string {
  return items.length < 2
    ? items.join("")
    : `${items.slice(0, -1).join(", ")} ${last} ${items[items.length - 1]}`;
}

// where a check is done, and points, as said aloud
const places: { [id: string]: string } = {
  cockpit: "in the cockpit",
  engine_face: "at the engine’s face",
  engine_back: "at the back of the engine",
  aft: "aft",
  outlet: "at the exhaust outlet",
};
export function place_words(id: string): string {
  return places[id] ?? id.replace(/_/g, " ");
}

const points: { [id: string]: string } = {
  key_on: "key on, engine stopped",
  cold_crank: "cranking from cold",
  cold_idle: "just after the first fire",
  warm_idle: "warm, at idle",
  cruise: "at your usual revs",
  full: "full ahead",
  no_load: "full throttle in neutral",
  stopped_hot: "after a run",
};
export function point_words(id: string): string {
  return points[id] ?? id.replace(/_/g, " ");
}

// how strongly an observation speaks: first guesses of page.md
export function strength(log_ratio: number): { side: "for" | "against"; how: string } | null {
  const size = Math.abs(log_ratio);
  if (size < 0.2) return null;
  const side = log_ratio > 0 ? "for" : "against";
  return { side, how: size >= 2 ? ", strongly" : size >= 0.7 ? "" : ", a little" };
}

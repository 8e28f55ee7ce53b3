// A search over signs in plain words: every word of the skipper's must be found, in question or answer.
import type { Answer, Sign } from "./shapes";

export interface Found {
  sign: Sign;
  answer: Answer;
  score: number;
}

// what people say -> what the catalogue says; words only, no ids
const alike = [
  "revs rpm speed",
  "hot overheat overheats overheating temperature coolant boiling",
  "stops dies stalls cuts quits",
  "smoke smokes smoking fumes",
  "knock knocks knocking bang rattle tap",
  "slow slowly sluggish weak lazy",
  "crank cranks turns turn starter start",
  "start fire fires starts",
  "nothing dead none no",
  "lamp light warning alarm buzzer",
  "vibrates vibration shakes shake shaking",
  "power slow low weak full",
  "gear ahead astern drive propeller",
  "smell smells stinks",
  "water raw outlet cooling",
  "leak leaks drip drips down",
  "misfire misfires uneven rough lumpy hunts",
  "oil dipstick",
  "battery charge charging amps volts",
  "fast rise rises racing runaway",
].map((set) => set.split(" "));
const filler = new Set(
  "the a an is it its of in at to and on i my engine there does do when with from out up".split(" "),
);

export function words_in(text: string): string[] {
  return text
    .toLowerCase()
    .replace(/[’']/g, "")
    .split(/[^\p{L}\p{N}]+/u)
    .filter((word) => word.length > 0);
}

function root(word: string): string {
  return word.length > 4 ? word.replace(/(ing|ed|es|s|y)$/, "") : word.replace(/s$/, "");
}

function near(word: string, others: string[]): number {
  const wanted = root(word);
  if (others.some((other) => root(other) === wanted)) return 3;
  if (wanted.length >= 3 && others.some((other) => other.startsWith(wanted))) return 2;
  const family = alike.filter((set) => set.some((member) => root(member) === wanted)).flat();
  return family.some((member) => others.some((other) => root(other) === root(member))) ? 1 : 0;
}

// Pairs of sign and answer, best first. An answer that is not normal comes before one that is.
export function search(signs: Sign[], query: string, limit = 8): Found[] {
  const wanted = words_in(query).filter((word) => !filler.has(word));
  if (wanted.length === 0) return [];
  const found: Found[] = [];
  for (const sign of signs) {
    const question = words_in(`${sign.question} ${sign.id.replace(/[._]/g, " ")}`);
    for (const answer of sign.answers) {
      const words = words_in(`${answer.text} ${answer.id.replace(/_/g, " ")}`);
      let score = answer.normal ? 0 : 0.5;
      let all = true;
      for (const word of wanted) {
        const here = Math.max(near(word, words) * 1.5, near(word, question));
        if (here === 0) all = false;
        score += here;
      }
      if (all) found.push({ sign, answer, score });
    }
  }
  return found.sort((a, b) => b.score - a.score || (a.sign.id < b.sign.id ? -1 : 1)).slice(0, limit);
}

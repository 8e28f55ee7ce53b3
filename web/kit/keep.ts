// The trace that is open, kept on the phone so that it can be left and taken up.
import type { Said } from "./shapes";

export type Stage = "where" | "notice" | "first" | "next";
export interface Trace {
  stage: Stage;
  where: string | null;
  said: Said[];
  cannot: string[];
  passed: string[]; // gates whose answer opened them
  met: string[]; // red rules that an answer has closed; they stay as one line above the trace
  first_done: string[]; // questions of the first screens that were answered or passed by
  asked: number; // 0 to 2: questions before the first check; 3: the check is due; 6: it was answered
  engine: string; // engine_hash this trace belongs to
  opened: string; // ISO date and time
}

const place = "dk.trace";

export function new_trace(engine: string): Trace {
  return {
    stage: "where",
    where: null,
    said: [],
    cannot: [],
    passed: [],
    met: [],
    first_done: [],
    asked: 0,
    engine,
    opened: new Date().toISOString(),
  };
}

export function read_trace(engine: string): Trace | null {
  try {
    const kept = JSON.parse(localStorage.getItem(place) ?? "null");
    if (kept === null || typeof kept !== "object" || !Array.isArray(kept.said)) return null;
    return kept.engine === engine ? { ...new_trace(engine), ...kept } : null;
  } catch {
    return null;
  }
}

export function keep_trace(trace: Trace | null): void {
  try {
    if (trace === null) localStorage.removeItem(place);
    else localStorage.setItem(place, JSON.stringify(trace));
  } catch {
    // nothing may be kept on this phone: the trace lives until the page is closed
  }
}

// The routes of docs/http.md. Every failure comes back as one sentence, never as a thrown riddle.
import type { Bank, Complaint, Start, TraceAnswer, TraceRequest } from "./shapes";

// status 0: the boat's computer did not answer
export type Outcome<T> = { ok: true; value: T } | { ok: false; status: number; complaint: Complaint };

async function ask<T>(path: string, body?: unknown, signal?: AbortSignal): Promise<Outcome<T>> {
  try {
    const reply = await fetch(
      path,
      body === undefined
        ? { signal, cache: "no-store" }
        : {
            method: "POST",
            headers: { "Content-Type": "application/json" },
            body: JSON.stringify(body),
            signal,
            cache: "no-store",
          },
    );
    const text = await reply.text();
    let value: unknown = null;
    try {
      value = JSON.parse(text);
    } catch {
      return {
        ok: false,
        status: reply.status,
        complaint: { what: "The boat’s computer answered with something that is no answer." },
      };
    }
    if (reply.ok) return { ok: true, value: value as T };
    const complaint = (value as { error?: Complaint }).error ?? {
      what: `The boat’s computer answered ${reply.status}.`,
    };
    return { ok: false, status: reply.status, complaint };
  } catch {
    return { ok: false, status: 0, complaint: { what: "The boat’s computer does not answer." } };
  }
}

export const api = {
  start: () => ask<Start>("/api/start"),
  bank: () => ask<Bank>("/api/bank"),
  stop_bank: () => ask<Bank>("/api/bank/stop", {}),
  trace: (request: TraceRequest, signal?: AbortSignal) => ask<TraceAnswer>("/api/trace", request, signal),
};

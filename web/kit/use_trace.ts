// Asks the boat's computer: all observations, whenever they change; while there is no bank, follows the bank.
import { useEffect, useState } from "preact/hooks";
import { api } from "./api";
import type { Bank, Complaint, RedAnswer, TraceAnswer } from "./shapes";

const slow_ms = 400; // answers faster than this show nothing
const poll_ms = 700;

export interface Asked {
  red: RedAnswer | null;
  answer: TraceAnswer | null;
  complaint: Complaint | null;
  offline: boolean;
  waiting: boolean;
  bank: Bank | null;
}

// Sends all observations whenever they change; while that takes long, follows the bank.
export function use_trace(body: string, again: number): Asked {
  const [asked, set_asked] = useState<Asked>({
    red: null,
    answer: null,
    complaint: null,
    offline: false,
    waiting: true,
    bank: null,
  });
  useEffect(() => {
    const stop = new AbortController();
    let over = false;
    const put = (part: Partial<Asked>) => {
      if (!over) set_asked((old) => ({ ...old, ...part }));
    };
    const rest = (ms: number) => new Promise((go) => setTimeout(go, ms));
    // waits for the bank; false when it was stopped or failed
    const bank_ready = async (): Promise<boolean> => {
      while (!over) {
        const bank = await api.bank();
        if (bank.ok) {
          put({ bank: bank.value });
          if (bank.value.state === "ready") return true;
          if (bank.value.state === "stopped" || bank.value.state === "failed") return false;
        }
        await rest(poll_ms);
      }
      return false;
    };
    const ask = async () => {
      put({ waiting: true });
      while (!over) {
        const outcome = await api.trace(JSON.parse(body), stop.signal);
        if (over) return;
        if (outcome.ok && outcome.value.bank_hash) {
          put({ answer: outcome.value, complaint: null, offline: false, waiting: false });
          return;
        }
        if (outcome.ok || outcome.status === 503) {
          // without a bank only red rules and gates answer: take these, and wait for the ranking
          put({ red: outcome.ok ? outcome.value.red_rule : null, complaint: null, offline: false });
          if (await bank_ready()) continue;
          put({ waiting: false });
          return;
        }
        put({
          complaint: outcome.status === 0 ? null : outcome.complaint,
          offline: outcome.status === 0,
          waiting: outcome.status === 0,
        });
        if (outcome.status !== 0) return;
        await rest(3000);
      }
    };
    void ask();
    return () => {
      over = true;
      stop.abort();
    };
  }, [body, again]);
  return asked;
}

// true once `on` has lasted longer than slow_ms
export function use_slow(on: boolean): boolean {
  const [slow, set_slow] = useState(false);
  useEffect(() => {
    set_slow(false);
    if (!on) return undefined;
    const timer = setTimeout(() => set_slow(true), slow_ms);
    return () => clearTimeout(timer);
  }, [on]);
  return slow;
}


// A red rule takes the whole screen: no header, strip or tally. It leaves only by an answer.
import { useEffect, useRef, useState } from "preact/hooks";
import { FlagU } from "../kit/draw";
import { use_keys } from "../kit/keys";
import type { Order } from "../kit/red_rules";
import type { Start } from "../kit/shapes";
import { capital, sentence } from "../kit/words";

// what closes a rule, by what is at stake
const closing: { [concern: string]: string } = {
  people: "Everybody is out in the air",
  flooding: "The water is held",
  fire: "Engine, fuel and fans are off",
};

// where the record names none
const usual_ways = [
  "Pull the stop lever on the injection pump by hand.",
  "Shut the fuel at the tank.",
  "Shut off its air with a board, never a hand. Stand clear.",
];

interface RedProps {
  order: Order;
  start: Start;
  where: string | null;
  keys: boolean;
  on_met: () => void;
  on_no_room: () => void;
  on_withdraw: () => void;
}

export function Red(p: RedProps) {
  const { order, start } = p;
  const heading = useRef<HTMLHeadingElement>(null);
  const [wont, set_wont] = useState(false);
  const rule_of = (id: string) => start.red_rules.find((row) => row.id === id);
  const name = (id: string) => capital(rule_of(id)?.name ?? id.replace(/_/g, " "));

  // focus goes to the order, spoken at once; one long vibration, no siren
  useEffect(() => {
    heading.current?.focus({ preventScroll: true });
    window.scrollTo(0, 0);
    set_wont(false);
    navigator.vibrate?.(600);
  }, [order.id, order.order]);
  use_keys(p.keys, {
    "1": p.on_met, "2": () => set_wont(true), "3": p.where === "no_room" ? undefined : p.on_no_room,
    "4": p.on_withdraw,
  });
  return (
    <main class="red">
      <FlagU />
      <p class="seen">{name(order.id)}</p>
      <h1 ref={heading} tabIndex={-1} aria-live="assertive">{sentence(order.order)}</h1>
      {order.then.length > 0 && <ol>{order.then.slice(0, 3).map((step) => <li>{sentence(step)}</li>)}</ol>}
      {order.reason && <p class="reason">{sentence(order.reason)}</p>}
      {wont && <OtherWays ways={start.engine.stop_ways ?? []} />}
      <RedAnswers {...p} wont={wont} on_wont={() => set_wont(true)} />
      {order.waiting.length > 0 && <p class="waiting">Next: {order.waiting.map(name).join(" · ")}</p>}
    </main>
  );
}

function OtherWays({ ways }: { ways: string[] }) {
  return (
    <section aria-label="Other ways to stop it">
      <h2>Other ways to stop it</h2>
      <ol>{(ways.length > 0 ? ways : usual_ways).map((way) => <li>{sentence(way)}</li>)}</ol>
    </section>
  );
}

function RedAnswers(p: RedProps & { wont: boolean; on_wont: () => void }) {
  const concern = p.start.red_rules.find((row) => row.id === p.order.id)?.concern ?? "";
  return (
    <div class="red-answers" role="group" aria-label="What now?">
      <button type="button" class="filled" onClick={p.on_met}>{closing[concern] ?? "It is stopped"}</button>
      {!p.wont && <button type="button" onClick={p.on_wont}>It won’t stop</button>}
      {p.where !== "no_room" && <button type="button" onClick={p.on_no_room}>No room to stop</button>}
      <button type="button" class="whole" onClick={p.on_withdraw}>It is not so, after all</button>
    </div>
  );
}

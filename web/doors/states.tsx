// What stands there when there is no card, and what is said above one.
import type { ComponentChildren } from "preact";
import { api } from "../kit/api";
import type { Bank, Complaint, Start, TraceAnswer } from "../kit/shapes";
import type { Trace } from "../kit/keep";
import type { Look } from "../kit/look";
import { Title } from "../kit/parts";
import { observation_words } from "../kit/said";
import { thousands } from "../kit/units";
import { capital, list, sentence } from "../kit/words";

export function Loading({ bank }: { bank: Bank }) {
  const left =
    bank.seconds_left === null || bank.seconds_left === undefined
      ? ""
      : `, about ${Math.max(1, Math.round(bank.seconds_left))} s`;
  return (
    <p class="notice loading" role="status">
      <span>
        {thousands(String(bank.done))} of {thousands(String(bank.total))} engines{left}
      </span>
      <button type="button" class="link" onClick={() => void api.stop_bank()}>
        stop
      </button>
    </p>
  );
}

// No answer yet, or none to be had: the bank is built, was stopped, or failed.
export function Waiting(p: {
  bank: Bank | null;
  stopped: boolean;
  slow: boolean;
  on_again: () => void;
  children: ComponentChildren;
}) {
  const why = p.bank?.what ? `${sentence(p.bank.what)} ` : "";
  return (
    <main class="column">
      <Title id="wait">{p.stopped ? "Stopped" : "One moment"}</Title>
      {p.stopped && (
        <p>{why}Not all engines were computed, so nothing can be ranked yet. Your answers are kept.</p>
      )}
      {p.slow && !p.stopped && <p>Engines like yours are being run. Red rules and lists work meanwhile.</p>}
      {p.stopped && <button type="button" class="go" onClick={p.on_again}>Go on computing</button>}
      {p.children}
    </main>
  );
}

export function UnknownLeads({ answer }: { answer: TraceAnswer }) {
  const out = answer.causes
    .filter((cause) => cause.probability < 0.01)
    .map((cause) => cause.name)
    .slice(0, 4);
  return (
    <section class="why" aria-label="None of these leads">
      <h2>None of these leads</h2>
      <p>
        {Math.round(answer.none_of_these * 100)} of 100 are something we don’t know. What you said fits
        nothing here well.
      </p>
      {out.length > 0 && (
        <p class="second">
          As good as ruled out: {list(out)}. Watch heat, oil pressure and water at the outlet, and show a
          mechanic what stands under ‘You said’.
        </p>
      )}
    </section>
  );
}

export function NothingDecided(p: { answer: TraceAnswer; trace: Trace; start: Start }) {
  const held = p.answer.next.filter((next) => next.held_back);
  const yard = p.trace.cannot
    .map((id) => p.start.checks.find((row) => row.id === id)?.name)
    .filter((name): name is string => !!name);
  return (
    <article class="card">
      <Title id="nothing">Nothing more to check aboard</Title>
      <p>
        No check aboard would tell these apart.
        {yard.length > 0 && <> A yard can: {list(yard.map((name) => name.toLowerCase()))}.</>}
      </p>
      {held.length > 0 && (
        <ul class="plain">
          {held.slice(0, 4).map((next) => (
            <li>
              <b>{capital(next.name)}</b>: {next.held_back}
            </li>
          ))}
        </ul>
      )}
      <p class="second">Read out what stands under ‘You said’, and the lines below, to a mechanic.</p>
      <button type="button" class="go" onClick={() => window.print()}>
        Print this
      </button>
    </article>
  );
}

// two answers that pull apart, or one that stands alone
export function Conflicts(p: { answer: TraceAnswer; trace: Trace; start: Start; look: Look }) {
  const text = (id: string) => observation_words(id, p.trace.said, p.start, p.look).answer || id;
  return (
    <>
      {p.answer.conflicts.slice(0, 2).map(({ observations: [one, other] }) => (
        <p class="conflict">
          {other === undefined
            ? `‘${text(one)}’ stands alone against the rest. Look at it again.`
            : `Two of your answers pull apart: ‘${text(one)}’ and ‘${text(other)}’. Look at one again.`}
        </p>
      ))}
    </>
  );
}

export function Failed({
  complaint,
  on_back,
  on_again,
  children,
}: {
  complaint: Complaint;
  on_back: () => void;
  on_again: () => void;
  children: ComponentChildren;
}) {
  return (
    <main class="column">
      <Title id="failed">That could not be worked out</Title>
      <p>
        {sentence(complaint.what)}
        {complaint.do ? ` ${sentence(complaint.do)}` : ""}
      </p>
      <p class="second">Your answers are kept.</p>
      <button type="button" class="go" onClick={on_back}>
        Take the last answer back
      </button>
      <button type="button" class="link" onClick={on_again}>
        Try it once more
      </button>
      {children}
    </main>
  );
}


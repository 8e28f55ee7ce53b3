// Why a cause stands where it does: its range, what spoke for and against, how bad, the job that mends it.
import { useState } from "preact/hooks";
import type { Look } from "../kit/look";
import { observation_words } from "../kit/said";
import type { Cause, Said, Start, TraceAnswer, Why } from "../kit/shapes";
import { capital, count, odds, sentence, strength } from "../kit/words";

interface WhyProps {
  cause: Cause;
  answer: TraceAnswer;
  start: Start;
  said: Said[];
  look: Look;
  on_tried: (repair: string) => void;
}

export function WhyCause(p: WhyProps) {
  const { cause } = p;
  const [figures, set_figures] = useState(false);
  const family = p.answer.causes.filter((row) => (row.group || row.id) === (cause.group || cause.id));
  const share = family.reduce((all, row) => all + row.probability, 0);
  const alike = family.filter((row) => row.faults.length === 1).map((row) => row.name);
  const bad = cause.severity?.text ? sentence(cause.severity.text) : "";
  return (
    <section class="why" aria-label={`Why: ${cause.name}`}>
      <h3>Why: {Math.round(share * 100)} of 100, {odds(share)}</h3>
      <p class="second">
        Between {Math.round(cause.low * 100)} and {Math.round(cause.high * 100)}, counting what the model may
        have wrong.
      </p>
      <Rows {...p} figures={figures} />
      {bad && <p class="second">If so: {bad.replace(/^./, (letter) => letter.toLowerCase())}</p>}
      {alike.length > 1 && (
        <p class="second">
          One line, because from here these look alike, or are mended alike: {alike.join("; ")}.
        </p>
      )}
      <Job {...p} />
      <button type="button" class="link" aria-pressed={figures} onClick={() => set_figures(!figures)}>
        {figures ? "without figures" : "figures"}
      </button>
      {figures && <Figures cause={cause} />}
    </section>
  );
}

// each telling observation with its side; the others are summed up
function Rows(p: WhyProps & { figures: boolean }) {
  const weighed = [...p.cause.why].sort((a, b) => Math.abs(b.log_ratio) - Math.abs(a.log_ratio));
  const telling = weighed.filter((why) => strength(why.log_ratio) !== null);
  const silent = weighed.length - telling.length;
  return (
    <>
      {telling.length > 0
        ? <ul class="rows">{telling.map((why) => <Row {...p} why={why} />)}</ul>
        : <p class="second">Nothing you said speaks for it or against it yet.</p>}
      {silent > 0 && (
        <p class="second">{capital(count(silent))} {silent === 1 ? "other says" : "others say"} little.</p>
      )}
    </>
  );
}

function Row(p: WhyProps & { why: Why; figures: boolean }) {
  const how = strength(p.why.log_ratio);
  const { question, answer } = observation_words(String(p.why.observation), p.said, p.start, p.look);
  return (
    <li>
      <span>{question} <b>{capital(answer)}</b></span>
      <span>
        <b>{how?.side}</b>
        {how?.how}
        {p.figures && ` (${p.why.log_ratio.toFixed(2)})`}
      </span>
    </li>
  );
}

// what mends it, with its danger at the place where it can hurt
function Job(p: WhyProps) {
  const repair = p.start.repairs.find((row) => row.id === p.cause.repair);
  const danger = p.start.faults.find((fault) => fault.id === p.cause.faults[0])?.danger;
  if (!repair) return null;
  return (
    <p class="second">
      The job: {repair.name}. {danger && sentence(danger)}{" "}
      <button type="button" class="link" onClick={() => p.on_tried(repair.id)}>I did it</button>
    </p>
  );
}

function Figures({ cause }: { cause: Cause }) {
  const digits = (value: number, n: number) => value.toPrecision(n);
  const { low, mid, high } = cause.severity;
  return (
    <p class="second">
      Share {digits(cause.probability, 3)}, {digits(cause.low, 3)} to {digits(cause.high, 3)} (90 %). How
      bad, 0 to 1: {digits(mid, 2)}, {digits(low, 2)} to {digits(high, 2)}. In brackets: natural logarithm of
      how much it speaks.
    </p>
  );
}

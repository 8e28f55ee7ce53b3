// The next-check card: what to do, its caution and gate, big answers. A question is the same card.
import { useState } from "preact/hooks";
import type { Ask, Chance, Check, Gate, Next, Start } from "../kit/shapes";
import type { Given } from "../kit/items";
import { Answers, Quiet, Title } from "../kit/parts";
import type { Look } from "../kit/look";
import { use_keys } from "../kit/keys";
import { capital, minutes, place_words, point_words, sentence } from "../kit/words";
import { Pad } from "./pad";

const quiet = [
  { id: "not_sure", text: "Not sure" },
  { id: "odd", text: "None fits" },
  { id: "=cannot", text: "Can’t" },
  { id: "=another", text: "Another" },
];

interface CardProps {
  start: Start;
  look: Look;
  busy: string | null;
  on_given: (given: Given) => void;
  on_cannot: () => void;
  on_another: () => void;
  on_back: () => void;
  on_why: () => void;
  more: boolean;
}

// 'Another' only where there is another
function quiet_of(props: CardProps, ids = ["not_sure", "odd", "=cannot", "=another"]) {
  return quiet.filter((row) => ids.includes(row.id) && (row.id !== "=another" || props.more));
}

function chance_of(answers: Chance[], id: string): number | null {
  return answers.find((row) => row.id === id)?.chance ?? null;
}

function quiet_keys(props: CardProps): { [key: string]: () => void } {
  return {
    "0": () => props.on_given({ id: "not_sure", text: "not sure", chance: null }),
    Backspace: props.on_back,
    w: props.on_why,
  };
}

function on_quiet(props: CardProps, id: string): void {
  if (id === "=cannot") props.on_cannot();
  else if (id === "=another") props.on_another();
  else props.on_given({ id, text: id === "odd" ? "odd" : "not sure", chance: null });
}

export function AskCard({ ask, several, ...props }: CardProps & { ask: Ask; several?: boolean }) {
  const [chosen, set_chosen] = useState<string[]>([]);
  const give = (id: string) => {
    const row = ask.answers.find((one) => one.id === id);
    if (several) set_chosen(chosen.includes(id) ? chosen.filter((other) => other !== id) : [...chosen, id]);
    else props.on_given({ id, text: row?.text ?? id, chance: row?.chance ?? null });
  };
  use_keys(props.look.keys, {
    ...Object.fromEntries(ask.answers.slice(0, 9).map((row, i) => [String(i + 1), () => give(row.id)])),
    ...quiet_keys(props),
  });
  return (
    <article class="card">
      <Title id={`ask ${ask.sign} ${ask.point}`}>{ask.question}</Title>
      <p class="facts">
        <b>10 s</b>
        <span>{point_words(ask.point)}</span>
      </p>
      <Answers
        label={ask.question}
        busy={props.busy}
        on_choose={give}
        choices={ask.answers.map((row) => ({
          id: row.id,
          text: capital(row.text),
          chosen: several ? chosen.includes(row.id) : undefined,
        }))}
      />
      {several && (
        <button
          type="button"
          class="go"
          disabled={chosen.length === 0}
          onClick={() => props.on_given({ id: chosen.join(","), text: chosen.join(", "), chance: null })}
        >
          These
        </button>
      )}
      <Quiet
        label="Other answers"
        busy={props.busy}
        choices={quiet_of(props)}
        on_choose={(id) => on_quiet(props, id)}
      />
    </article>
  );
}

export function CheckCard({
  next,
  check,
  passed,
  on_passed,
  ...props
}: CardProps & {
  next: Next;
  check: Check | undefined;
  passed: string[];
  on_passed: (gate: string) => void;
}) {
  const gate = next.gates
    .filter((id) => !passed.includes(id))
    .map((id) => props.start.gates.find((row) => row.id === id))
    .find((row): row is Gate => row !== undefined);
  const cautions = distinct([
    ...next.cautions,
    ...next.gates.flatMap((id) => props.start.gates.find((row) => row.id === id)?.cautions ?? []),
  ]);
  return (
    <article class="card">
      <Title id={`check ${next.check}`}>{sentence(next.name).replace(/\.$/, "")}</Title>
      <p class="facts">
        <b>{minutes(next.minutes)}</b>
        <span>{place_words(next.place)}</span>
        {next.tools.length > 0 && <span>{next.tools.join(", ")}</span>}
        {next.undo && <span>then: {next.undo}</span>}
      </p>
      {cautions.length > 0 && (
        <div class="caution">
          {cautions.map((text, i) => (
            <Caution text={text} first={i === 0} />
          ))}
        </div>
      )}
      {gate ? (
        <GateQuestion gate={gate} {...props} on_open={() => on_passed(gate.id)} />
      ) : (
        <CheckSteps next={next} check={check} {...props} />
      )}
    </article>
  );
}

// a caution that another one already says is left out
function distinct(texts: string[]): string[] {
  const plain = (text: string) => text.toLowerCase().replace(/[.!]\s*$/, "");
  return texts.filter(
    (text, i) =>
      !texts.some(
        (other, k) =>
          k !== i && plain(other).includes(plain(text)) && (plain(other) !== plain(text) || k < i),
      ),
  );
}

// "Before you open it: …" keeps its own lead; one without gets ours
function Caution({ text, first }: { text: string; first: boolean }) {
  const own = /^((?:before|while|after|when)[^:.]*:)\s*(.*)$/i.exec(text);
  if (own)
    return (
      <p>
        <b>{capital(own[1])}</b> {sentence(own[2]).replace(/^./, (letter) => letter.toLowerCase())}
      </p>
    );
  return (
    <p>
      {first && <b>Before you start: </b>}
      {sentence(text)}
    </p>
  );
}

// A gate must be answered before the steps are shown; only an answer that opens it does.
function GateQuestion({ gate, on_open, ...props }: CardProps & { gate: Gate; on_open: () => void }) {
  const [shut, set_shut] = useState(false);
  const give = (id: string) => (gate.opens.includes(id) ? on_open() : set_shut(true));
  use_keys(props.look.keys && !shut, {
    ...Object.fromEntries(gate.answers.slice(0, 9).map((row, i) => [String(i + 1), () => give(row.id)])),
    ...quiet_keys(props),
    "0": () => set_shut(true),
  });
  if (shut)
    return (
      <section class="gate" aria-label="Not now">
        <p role="alert">
          <b>Not now.</b> {sentence(gate.blocked)}
        </p>
        <div class="answers wide">
          {props.more && (
            <button type="button" class="answer" onClick={props.on_another}>
              Show another check
            </button>
          )}
          <button type="button" class="quiet-answer" onClick={() => set_shut(false)}>
            Ask me again
          </button>
        </div>
      </section>
    );
  return (
    <section class="gate" aria-label="First">
      <h2>First: {gate.asks}</h2>
      <Answers
        label={gate.asks}
        choices={gate.answers.map((row) => ({ id: row.id, text: capital(row.text) }))}
        on_choose={give}
      />
      <Quiet
        label="Other answers"
        choices={quiet_of(props, ["not_sure", "=cannot", "=another"])}
        on_choose={(id) => (id === "not_sure" ? set_shut(true) : on_quiet(props, id))}
      />
    </section>
  );
}

function CheckSteps({ next, check, ...props }: CardProps & { next: Next; check: Check | undefined }) {
  const reading =
    check?.gives === "reading" ? props.start.readings.find((row) => row.id === check.reading) : undefined;
  const rows: { id: string; text: string }[] =
    check && check.answers.length > 0 ? check.answers : next.answers;
  const give = (id: string) => {
    const text = rows.find((row) => row.id === id)?.text ?? id;
    props.on_given({ id, text, chance: chance_of(next.answers, id) });
  };
  use_keys(props.look.keys && !reading, {
    ...Object.fromEntries(rows.slice(0, 9).map((row, i) => [String(i + 1), () => give(row.id)])),
    ...quiet_keys(props),
  });
  return (
    <>
      <ol class="steps">
        {next.steps.slice(0, 5).map((step) => (
          <li>{sentence(step)}</li>
        ))}
      </ol>
      {reading ? (
        <Pad reading={reading} answers={next.answers} name={check?.name ?? ""} {...props} />
      ) : (
        <Answers
          label="What do you find?"
          busy={props.busy}
          on_choose={give}
          choices={rows.map((row) => ({ id: row.id, text: capital(row.text) }))}
        />
      )}
      <Quiet
        label="Other answers"
        busy={props.busy}
        choices={quiet_of(props)}
        on_choose={(id) => on_quiet(props, id)}
      />
    </>
  );
}

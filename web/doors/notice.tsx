// What do you notice: his own words first. Then, on a screen of their own, what was last touched and tried.
import { useRef, useState } from "preact/hooks";
import { use_keys } from "../kit/keys";
import { Answers, Quiet, Title } from "../kit/parts";
import { repair_results } from "../kit/said";
import { search, words_in, type Found } from "../kit/search";
import type { Ask, Said, Sign, Start } from "../kit/shapes";
import { capital } from "../kit/words";

// keys 1 to 9 for the first nine of these
function number_keys(ids: string[], act: (id: string) => void): { [key: string]: () => void } {
  return Object.fromEntries(ids.slice(0, 9).map((id, i) => [String(i + 1), () => act(id)]));
}

interface SearchFieldProps {
  label: string;
  example: string;
  query: string;
  on_query: (query: string) => void;
}

function SearchField(p: SearchFieldProps) {
  return (
    <label class="field">
      <span>{p.label}</span>
      <input type="search" value={p.query} placeholder={`for example: ${p.example}`} autocomplete="off"
        onInput={(event) => p.on_query(event.currentTarget.value)} />
    </label>
  );
}

export function Notice(p: {
  start: Start;
  said: Said[];
  suggested: Ask[];
  on_said: (said: Said) => void;
  on_done: () => void;
  keys: boolean;
}) {
  const [query, set_query] = useState("");
  const [open, set_open] = useState<Sign | null>(null);
  const here = useRef<HTMLDivElement>(null);
  const quiet = [...p.start.first_questions, "where"];
  const signs = p.start.signs.filter((sign) => !quiet.includes(sign.id));
  const say = (sign: Sign, answer: string) => {
    p.on_said({ kind: "observed", id: sign.id, answers: [answer], how: "volunteered" });
    set_query("");
    set_open(null);
    here.current?.querySelector("input")?.focus({ preventScroll: true });
  };
  if (open) {
    const answer = (id: string) => say(open, id);
    return <SignQuestion sign={open} on_answer={answer} on_back={() => set_open(null)} keys={p.keys} />;
  }
  const empty = query.trim() === "";
  return (
    <main class="column">
      <Title id="notice">What do you notice?</Title>
      <div ref={here}>
        <SearchField label="In your words" example="white smoke" query={query} on_query={set_query} />
      </div>
      {empty ? <Ideas signs={signs} said={p.said} suggested={p.suggested} on_open={set_open} />
        : <FoundList found={search(signs, query)} query={query} on_say={say} />}
      {empty && (
        <button type="button" class="go" onClick={p.on_done}>
          {p.said.length > 0 ? "That is all I notice" : "Nothing more. Ask me"}
        </button>
      )}
    </main>
  );
}

function FoundList(p: { found: Found[]; query: string; on_say: (sign: Sign, answer: string) => void }) {
  return (
    <div class="found" aria-live="polite">
      {p.found.map(({ sign, answer }) => (
        <button type="button" class="found-one" onClick={() => p.on_say(sign, answer.id)}>
          <b>{capital(answer.text)}</b>
          <span>{sign.question}</span>
        </button>
      ))}
      {p.query.trim().length > 1 && p.found.length === 0 && (
        <p class="second">
          Nothing here is called that. Try another word: smoke, revs, lamp, water, smell.
        </p>
      )}
    </div>
  );
}

// the questions that would tell most, while nothing is typed
function Ideas(p: { signs: Sign[]; said: Said[]; suggested: Ask[]; on_open: (sign: Sign) => void }) {
  const ideas = p.suggested
    .map((ask) => p.signs.find((sign) => sign.id === ask.sign))
    .filter((sign): sign is Sign => sign !== undefined && !p.said.some((row) => row.id === sign.id));
  if (ideas.length === 0) return null;
  return (
    <div class="found">
      <p class="second">Or one of these:</p>
      {ideas.slice(0, 6).map((sign) => (
        <button type="button" class="found-one idea" onClick={() => p.on_open(sign)}>{sign.question}</button>
      ))}
    </div>
  );
}

// One sign as a question of its own.
function SignQuestion(p: {
  sign: Sign;
  on_answer: (id: string) => void;
  on_back: () => void;
  keys: boolean;
}) {
  const ids = p.sign.answers.map((answer) => answer.id);
  use_keys(p.keys, {
    ...number_keys(ids, p.on_answer), "0": () => p.on_answer("not_sure"), Backspace: p.on_back,
  });
  const others = [
    { id: "not_sure", text: "Not sure" }, { id: "odd", text: "None fits" }, { id: "=back", text: "Another" },
  ];
  return (
    <main class="column">
      <Title id={p.sign.id}>{p.sign.question}</Title>
      <Answers label={p.sign.question} on_choose={p.on_answer}
        choices={p.sign.answers.map((row) => ({ id: row.id, text: capital(row.text) }))} />
      <Quiet label="Other answers" choices={others}
        on_choose={(id) => (id === "=back" ? p.on_back() : p.on_answer(id))} />
    </main>
  );
}

interface FirstProps {
  sign: Sign;
  ask_tried: boolean;
  start: Start;
  said: Said[];
  on_tried: (said: Said) => void;
  on_done: (said?: Said) => void;
  keys: boolean;
}

// What was last touched: a question from the catalogue, with repairs already tried under it.
export function First(p: FirstProps) {
  const { sign } = p;
  const [chosen, set_chosen] = useState<string[]>([]);
  const [repair, set_repair] = useState<string | null>(null);
  const give = (answers: string[]) => p.on_done({ kind: "observed", id: sign.id, answers, how: "asked" });

  // several may be true at once, but 'nothing' stands alone
  const toggle = (id: string) => {
    const alone = !sign.several || sign.answers.find((row) => row.id === id)?.normal;
    if (alone) give([id]);
    else set_chosen(chosen.includes(id) ? chosen.filter((other) => other !== id) : [...chosen, id]);
  };
  use_keys(p.keys && repair === null, {
    ...number_keys(sign.answers.map((answer) => answer.id), toggle), "0": () => give(["not_sure"]),
    Enter: chosen.length > 0 ? () => give(chosen) : undefined,
  });
  if (repair !== null) {
    const result = (id: string) => {
      p.on_tried({ kind: "tried", id: repair, answers: [id], how: "volunteered" });
      set_repair(null);
    };
    const back = () => set_repair(null);
    return <Tried start={p.start} repair={repair} keys={p.keys} on_result={result} on_back={back} />;
  }
  const choices = sign.answers.map((row) => ({
    id: row.id, text: capital(row.text), chosen: sign.several ? chosen.includes(row.id) : undefined,
  }));
  return (
    <main class="column">
      <Title id={sign.id}>{sign.question}</Title>
      <Answers label={sign.question} on_choose={toggle} choices={choices} />
      <Quiet label="Other answers"
        choices={[{ id: "not_sure", text: "Not sure" }, { id: "=pass", text: "Pass by" }]}
        on_choose={(id) => (id === "=pass" ? p.on_done() : give([id]))} />
      {sign.several && (
        <button type="button" class="go" disabled={chosen.length === 0} onClick={() => give(chosen)}>
          {chosen.length > 1 ? `These ${chosen.length}` : "This one"}
        </button>
      )}
      {p.ask_tried && p.start.repairs.length > 0 && <TriedSearch {...p} on_repair={set_repair} />}
    </main>
  );
}

// A search over jobs that were done before the trace began.
function TriedSearch(p: FirstProps & { on_repair: (id: string) => void }) {
  const [query, set_query] = useState("");
  const tried = p.said.filter((row) => row.kind === "tried").map((row) => row.id);
  const wanted = words_in(query);
  const fits = (name: string) => wanted.every((word) => name.toLowerCase().includes(word));
  const open = wanted.length > 0 ? p.start.repairs.filter((row) => !tried.includes(row.id)) : [];
  const repairs = open.filter((row) => fits(row.name)).slice(0, 5);
  return (
    <section>
      <h2>Anything tried already?</h2>
      <SearchField label="A job that was done" example="filter" query={query} on_query={set_query} />
      <div class="found" aria-live="polite">
        {repairs.map((row) => (
          <button type="button" class="found-one" onClick={() => p.on_repair(row.id)}>
            <b>{capital(row.name)}</b>
          </button>
        ))}
      </div>
    </section>
  );
}

// Whether a repair helped.
export function Tried(p: {
  start: Start;
  repair: string;
  on_result: (id: string) => void;
  on_back: () => void;
  keys: boolean;
}) {
  const name = p.start.repairs.find((row) => row.id === p.repair)?.name ?? p.repair;
  const ids = repair_results.map((row) => row.id);
  use_keys(p.keys, { ...number_keys(ids, p.on_result), Backspace: p.on_back });
  return (
    <main class="column">
      <Title id={`tried ${p.repair}`}>{`${capital(name)}: did it help?`}</Title>
      <Answers label="Did it help?" choices={repair_results} on_choose={p.on_result} />
      <Quiet label="Other answers" choices={[{ id: "=back", text: "Not done" }]} on_choose={p.on_back} />
    </main>
  );
}

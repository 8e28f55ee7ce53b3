// The card, the tally under it, the engine, what was said, and what may still be done.
import type { ComponentChild } from "preact";
import { EngineMap } from "../kit/engine_map";
import { item_id, items_of, type Given, type Item } from "../kit/items";
import type { Trace } from "../kit/keep";
import { use_keys } from "../kit/keys";
import type { Look } from "../kit/look";
import { Title } from "../kit/parts";
import type { Start, TraceAnswer } from "../kit/shapes";
import { part_shares } from "../kit/tally";
import type { Asked } from "../kit/use_trace";
import { sentence } from "../kit/words";
import { AskCard, CheckCard } from "./card";
import { MayStrip } from "./may";
import { Conflicts, Failed, NothingDecided, UnknownLeads, Waiting } from "./states";
import { Tally, type Struck } from "./tally";

export interface WorkingProps {
  start: Start;
  trace: Trace;
  look: Look;
  asked: Asked;
  slow: boolean;
  struck: Struck | null;
  skipped: string[];
  open: string | null;
  may_open: boolean;
  busy: string | null;
  you_said: ComponentChild;
  on_again: () => void;
  on_back: () => void;
  on_open: (id: string | null) => void;
  on_may: (open: boolean) => void;
  on_tried: (repair: string) => void;
  on_struck_seen: () => void;
  on_skip: (id: string, all: number) => void;
  on_cannot: (check: string) => void;
  on_passed: (gate: string) => void;
  on_item: (item: Item, given: Given) => void;
}

export function Working(props: WorkingProps) {
  const { asked, start, look } = props;
  const answer = asked.answer;
  const stopped = !asked.waiting && (asked.bank?.state === "stopped" || asked.bank?.state === "failed");
  if (asked.complaint) {
    return (
      <Failed complaint={asked.complaint} on_back={props.on_back} on_again={props.on_again}>
        {props.you_said}
      </Failed>
    );
  }
  if (!answer) {
    return (
      <Waiting bank={asked.bank} stopped={stopped} slow={props.slow} on_again={props.on_again}>
        {props.you_said}
      </Waiting>
    );
  }
  const part_of = (id: string) => start.faults.find((row) => row.id === id)?.part;
  return (
    <>
      <main class="work" aria-busy={asked.waiting}>
        <div class="card-part">
          {props.struck && !asked.waiting
            ? <StruckCard {...props} struck={props.struck} answer={answer} />
            : <ItemCard {...props} answer={answer} />}
        </div>
        <TallyPart {...props} answer={answer} />
        <aside class="around" aria-label="The engine and what you said">
          <EngineMap engine={start.engine} id="trace" shares={part_shares(answer, part_of)} />
          {props.you_said}
        </aside>
      </main>
      <MayStrip may={answer.may} open={props.may_open} on_open={props.on_may} start={start} look={look} />
    </>
  );
}

function TallyPart(props: WorkingProps & { answer: TraceAnswer }) {
  const { answer, start, trace, look } = props;
  return (
    <section class="tally-part" aria-label="Tally">
      <h2 class={props.struck && !props.slow ? "aloud" : undefined} aria-live="polite">
        {props.slow ? "Working it out" : "100 engines acting like yours"}
      </h2>
      <Conflicts answer={answer} trace={trace} start={start} look={look} />
      <Tally
        answer={answer} struck={props.asked.waiting ? null : props.struck} start={start} said={trace.said}
        look={look} open={props.open} on_open={props.on_open} on_tried={props.on_tried}
      />
    </section>
  );
}

// What the answer struck, and on to the next card.
function StruckCard(props: WorkingProps & { struck: Struck; answer: TraceAnswer }) {
  const left = Math.round(100 * props.struck.chance);
  const next = items_of(props.answer, props.trace)[0];
  const name =
    next === undefined ? "What is left" : next.kind === "ask" ? next.ask.question : next.next.name;
  use_keys(props.look.keys, { Enter: props.on_struck_seen, Backspace: props.on_back });
  return (
    <article class="card">
      <Title id={`struck ${props.trace.said.length}`}>You said: {props.struck.label}</Title>
      <p class="second">{sentence(props.struck.about)}</p>
      <p>
        {100 - left} of the 100 would not have shown that. {left} {left === 1 ? "is" : "are"} left.
      </p>
      <button type="button" class="go" onClick={props.on_struck_seen}>
        <span class="second">Next</span> {sentence(name).replace(/\.$/, "")}
      </button>
    </article>
  );
}

function ItemCard(props: WorkingProps & { answer: TraceAnswer }) {
  const { answer, trace, start, look } = props;
  const items = items_of(answer, trace);
  const item = items.find((one) => !props.skipped.includes(item_id(one))) ?? items[0];
  const lead = [...answer.causes].sort((a, b) => b.probability - a.probability)[0];
  const unknown_leads = answer.none_of_these > (lead?.probability ?? 0) && answer.none_of_these > 0.3;
  const why = () => props.on_open(props.open === null && lead ? lead.group || lead.id : null);
  if (!item) return <NothingDecided {...props} />;
  const common = {
    start,
    look,
    busy: props.busy,
    on_given: (given: Given) => props.on_item(item, given),
    on_another: () => props.on_skip(item_id(item), items.length),
    on_back: props.on_back,
    on_why: why,
    more: items.length > 1,
  };
  return (
    <>
      {unknown_leads && <UnknownLeads answer={answer} />}
      {item.kind === "ask" ? (
        <AskCard
          key={item_id(item)}
          ask={item.ask}
          several={start.signs.find((row) => row.id === item.ask.sign)?.several}
          {...common}
          on_cannot={() => props.on_item(item, { id: "not_looked", text: "not looked", chance: null })}
        />
      ) : (
        <CheckCard
          key={item_id(item)}
          next={item.next}
          check={start.checks.find((row) => row.id === item.next.check)}
          {...common}
          passed={trace.passed}
          on_passed={props.on_passed}
          on_cannot={() => props.on_cannot(item.next.check)}
        />
      )}
    </>
  );
}


// Something's wrong: where, red rules, what you notice, then one check at a time with the tally under it.
import type { ComponentChild } from "preact";
import { useEffect, useMemo, useState } from "preact/hooks";
import { asked_after, first_questions_most, said_of, type Given, type Item } from "../kit/items";
import { new_trace, type Trace } from "../kit/keep";
import type { Look } from "../kit/look";
import { Header, Notice as Line } from "../kit/parts";
import { held_rules, order_of, say_rule, withdraw_rule, type Order } from "../kit/red_rules";
import { add_said, request_of, same_thing } from "../kit/said";
import type { RedRule, Said, Sign, Start } from "../kit/shapes";
import { use_slow, use_trace, type Asked } from "../kit/use_trace";
import { capital, sentence } from "../kit/words";
import { First, Notice, Tried } from "./notice";
import { Red } from "./red";
import { Loading } from "./states";
import type { Struck } from "./tally";
import { Where } from "./where";
import { Working } from "./working";
import { YouSaid } from "./you_said";

interface DoorProps {
  start: Start;
  trace: Trace;
  on_trace: (trace: Trace) => void;
  look: Look;
  on_look: (look: Look) => void;
  on_home: () => void;
}

// what the stages share: the kept trace and the ways to change it
interface Stage extends DoorProps {
  asked: Asked;
  slow: boolean;
  struck: Struck | null;
  change: (part: Partial<Trace>) => void;
  say: (said: Said, part?: Partial<Trace>) => void;
  take_back: (said: Said) => void;
  on_red: (rule: RedRule) => void;
  on_withdraw: (id: string) => void;
  set_struck: (struck: Struck | null) => void;
  on_again: () => void;
}

// The red rule that fills the screen, and what its answers do to the trace.
function use_red(p: DoorProps, asked: Asked, change: (part: Partial<Trace>) => void) {
  const { start, trace } = p;
  const [red, set_red] = useState<Order | null>(null);
  const rule_of = (id: string | undefined) => start.red_rules.find((rule) => rule.id === id);
  const without = (id: string) => trace.met.filter((other) => other !== id);

  // a rule that the boat's computer holds takes the screen
  useEffect(() => {
    const rule = asked.answer !== null && !asked.waiting ? asked.answer.red_rule : asked.red;
    if (!rule?.id || trace.met.includes(rule.id)) return;
    const reason = rule.reason ?? rule_of(rule.id)?.reason ?? null;
    set_red({ id: rule.id, order: rule.order, then: rule.then, waiting: rule.waiting ?? [], reason });
  }, [asked.waiting, asked.answer, asked.red]);

  const show = (rule: RedRule) => {
    change({ said: say_rule(start, rule, trace.said), met: without(rule.id) });
    set_red(order_of(rule, trace.where));
  };
  const withdraw = (id: string) => {
    change({ said: withdraw_rule(rule_of(id), trace.said), met: without(id) });
    set_red(null);
  };
  const met = (id: string) => {
    change({ met: [...without(id), id], stage: trace.stage === "where" ? "notice" : trace.stage });
    const waiting = (red?.waiting ?? []).filter((other) => !trace.met.includes(other));
    const next = start.red_rules.find((rule) => waiting.includes(rule.id));
    set_red(next ? order_of(next, trace.where) : null);
  };
  const no_room = () => {
    change({ where: "no_room" });
    const rule = rule_of(red?.id);
    if (rule) set_red(order_of(rule, "no_room"));
  };
  return { red, set_red, show, withdraw, met, no_room };
}

export function TraceDoor(p: DoorProps) {
  const { start, trace, look } = p;
  const parts = [trace.where, trace.said, trace.cannot, trace.passed] as const;
  const body = useMemo(() => JSON.stringify(request_of(...parts)), [...parts]);
  const [again, set_again] = useState(0);
  const asked = use_trace(body, again);
  const slow = use_slow(asked.waiting);
  const [struck, set_struck] = useState<Struck | null>(null);
  const change = (part: Partial<Trace>) => p.on_trace({ ...trace, ...part });
  const rules = use_red(p, asked, change);

  // a red sign among his own words takes the screen at once, without asking anybody
  const say = (said: Said, part: Partial<Trace> = {}) => {
    const all = add_said(trace.said, said);
    change({ said: all, ...part });
    const rule = held_rules(start, all).find((row) => !trace.met.includes(row.id));
    if (rule) rules.set_red(order_of(rule, trace.where));
  };
  const take_back = (said: Said) => {
    set_struck(null);
    change({ said: trace.said.filter((row) => !same_thing(row, said)) });
  };
  const red = rules.red;
  if (red) {
    return (
      <Red order={red} start={start} where={trace.where} keys={look.keys} on_met={() => rules.met(red.id)}
        on_no_room={rules.no_room} on_withdraw={() => rules.withdraw(red.id)} />
    );
  }
  const stage: Stage = {
    ...p, asked, slow, struck, change, say, take_back, set_struck,
    on_red: rules.show, on_withdraw: rules.withdraw, on_again: () => set_again(again + 1),
  };
  const first = first_open(start, trace);
  if (trace.stage === "where") return <WhereStage {...stage} />;
  if (trace.stage === "notice") return <NoticeStage {...stage} />;
  if (trace.stage === "first" && first) return <FirstStage {...stage} first={first} />;
  return <NextStage {...stage} />;
}

// ---- the stages

// the next question of its own screen that was neither answered nor passed by
function first_open(start: Start, trace: Trace, done = trace.first_done): Sign | undefined {
  return start.first_questions
    .map((id) => start.signs.find((sign) => sign.id === id))
    .find((sign) => sign !== undefined && !done.includes(sign.id));
}

function place_text(p: Stage): string | undefined {
  const places = p.start.signs.find((sign) => sign.id === "where")?.answers ?? [];
  return places.find((row) => row.id === p.trace.where)?.text;
}

// header, what is under way, and the red rules that were met
function Head(p: Stage & { back: () => void }) {
  const { asked, start, trace } = p;
  const bank = asked.waiting && asked.bank?.state === "building" ? asked.bank : null;
  const place = trace.stage === "where" ? undefined : place_text(p);
  const aside: ComponentChild = place && (
    <button type="button" class="bare link units" onClick={() => p.change({ stage: "where" })}>
      {capital(place.split(",")[0])}
    </button>
  );
  return (
    <>
      <Header title="Something’s wrong" back={p.back} look={p.look} on_look={p.on_look} aside={aside}
        share={bank ? bank.done / Math.max(1, bank.total) : undefined} />
      {asked.offline && <Line>On the phone alone. Your answers are kept.</Line>}
      {bank && p.slow && <Loading bank={bank} />}
      {trace.met.map((id) => start.red_rules.find((row) => row.id === id)).map((rule) => rule && (
        <p class="met">
          <span><b>{sentence(order_of(rule, trace.where).order)}</b> {capital(rule.name)}.</span>
          <button type="button" class="link" onClick={() => p.on_withdraw(rule.id)}>not so</button>
        </p>
      ))}
    </>
  );
}

function Said_(p: Stage) {
  const afresh = () => {
    p.set_struck(null);
    p.on_trace(new_trace(p.trace.engine));
  };
  return <YouSaid trace={p.trace} start={p.start} look={p.look} on_back={p.take_back} on_afresh={afresh} />;
}

function WhereStage(p: Stage) {
  return (
    <>
      <Head {...p} back={p.on_home} />
      <Where start={p.start} where={p.trace.where} keys={p.look.keys} on_red={p.on_red}
        on_where={(id) => p.change({ where: id })} on_none={() => p.change({ stage: "notice" })} />
    </>
  );
}

function NoticeStage(p: Stage) {
  const next = first_open(p.start, p.trace) ? "first" : "next";
  return (
    <>
      <Head {...p} back={() => p.change({ stage: "where" })} />
      <Notice start={p.start} said={p.trace.said} suggested={p.asked.answer?.ask ?? []} keys={p.look.keys}
        on_said={(said) => p.say(said)} on_done={() => p.change({ stage: next })} />
      {p.trace.said.length > 0 && <div class="column"><Said_ {...p} /></div>}
    </>
  );
}

function FirstStage(p: Stage & { first: Sign }) {
  const { start, trace, first } = p;
  const done = (said?: Said) => {
    const first_done = [...trace.first_done, first.id];
    const stage = first_open(start, trace, first_done) ? "first" : "next";
    if (said) p.say(said, { first_done, stage });
    else p.change({ first_done, stage });
  };
  return (
    <>
      <Head {...p} back={() => p.change({ stage: "notice" })} />
      <First key={first.id} sign={first} ask_tried={first.id === start.first_questions[0]} start={start}
        said={trace.said} keys={p.look.keys} on_tried={(said) => p.say(said)} on_done={done} />
    </>
  );
}

function NextStage(p: Stage) {
  const { start, trace, asked } = p;
  const [skipped, set_skipped] = useState<string[]>([]);
  const [open, set_open] = useState<string | null>(null);
  const [may_open, set_may_open] = useState(false);
  const [busy, set_busy] = useState<string | null>(null);
  const [tried, set_tried] = useState<string | null>(null);
  useEffect(() => { if (!asked.waiting) set_busy(null); }, [asked.waiting]);

  const give = (item: Item, given: Given) => {
    if (asked.waiting) return;
    set_busy(given.id);
    set_open(null);
    const early = item.kind === "ask" && trace.asked < first_questions_most;
    const about = item.kind === "ask" ? item.ask.question : item.next.name;
    const before = asked.answer;
    const strikes = before && given.chance !== null && !early;
    p.set_struck(strikes ? { label: given.text, about, chance: given.chance ?? 0, before } : null);
    p.say(said_of(item, given, start), { asked: asked_after(item, trace.asked) });
  };
  const last = trace.said[trace.said.length - 1];
  const back = () => (last ? p.take_back(last) : p.change({ stage: "notice" }));
  if (tried !== null) {
    const result = (id: string) => {
      p.say({ kind: "tried", id: tried, answers: [id], how: "asked" });
      set_tried(null);
    };
    const leave = () => set_tried(null);
    return (
      <>
        <Head {...p} back={leave} />
        <Tried start={start} repair={tried} keys={p.look.keys} on_result={result} on_back={leave} />
      </>
    );
  }
  return (
    <>
      <Head {...p} back={p.on_home} />
      <Working {...{ start, trace, asked, skipped, open, may_open, busy }} look={p.look} slow={p.slow}
        struck={p.struck} you_said={<Said_ {...p} />} on_again={p.on_again} on_back={back} on_open={set_open}
        on_may={set_may_open} on_tried={set_tried} on_struck_seen={() => p.set_struck(null)} on_item={give}
        on_skip={(id, all) => set_skipped(skipped.length + 1 >= all ? [] : [...skipped, id])}
        on_cannot={(check) => p.change({ cannot: [...trace.cannot.filter((id) => id !== check), check] })}
        on_passed={(gate) => p.change({ passed: [...trace.passed.filter((id) => id !== gate), gate] })} />
    </>
  );
}

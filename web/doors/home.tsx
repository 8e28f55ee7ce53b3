// The doors. Only Something's wrong is live now; the others stand dashed and say so.
import type { Start } from "../kit/shapes";
import { Header } from "../kit/parts";
import { EngineMap } from "../kit/engine_map";
import { Gauge } from "../kit/draw";
import type { Look } from "../kit/look";
import type { Trace } from "../kit/keep";
import { count } from "../kit/words";
import { words_of } from "../kit/said";

function ago(iso: string): string {
  const hours = (Date.now() - Date.parse(iso)) / 3.6e6;
  if (!(hours >= 0)) return "earlier";
  return hours < 1
    ? "within the hour"
    : hours < 24
      ? "today"
      : hours < 48
        ? "yesterday"
        : `${Math.round(hours / 24)} days ago`;
}

export function Home({
  start,
  trace,
  look,
  on_look,
  on_trace,
  on_look_door,
}: {
  start: Start;
  trace: Trace | null;
  look: Look;
  on_look: (look: Look) => void;
  on_trace: () => void;
  on_look_door: () => void;
}) {
  const engine = start.engine;
  const answers = trace?.said.length ?? 0;
  const first = trace && answers > 0 ? words_of(trace.said[0], start, look) : null;
  const begun = first ? `“${first.answer}”, ` : "";
  const many = answers === 1 ? "1 answer in" : `${count(answers)} answers in`;
  const open =
    trace && (answers > 0 || trace.where !== null)
      ? `Left open, ${ago(trace.opened)}: ${begun}${many}`
      : "Find out what, and what you may still do";
  const units = `${look.temperature === "F" ? "°F" : "°C"}, ${look.pressure}, knots`;
  return (
    <>
      <Header
        title={engine.title}
        quiet={engine.invented ? "(invented)" : undefined}
        look={look}
        on_look={on_look}
        aside={
          <button type="button" class="bare link units" onClick={on_look_door}>
            {units}
          </button>
        }
      />
      <main class="home">
        <h1 class="aloud">{`${engine.title}: the doors`}</h1>
        <section class="door-engine" aria-label="The engine">
          <EngineMap engine={engine} id="home" />
          <p>
            <b class="door-name">The engine</b> <span class="second">looking inside comes later</span>
          </p>
        </section>
        <ul class="faces">
          {(
            [
              ["Start", -60],
              ["Running", 0],
              ["Upkeep", 60],
            ] as [string, number][]
          ).map(([name]) => (
            <li>
              <Gauge needle={null} dashed />
              <b class="door-name">{name}</b>
              <span class="second">comes later</span>
            </li>
          ))}
        </ul>
        <button type="button" class="door-wrong" onClick={on_trace}>
          <Gauge needle={60} stop />
          <span>
            <b>Something’s wrong</b>
            <span>{open}</span>
          </span>
        </button>
      </main>
    </>
  );
}

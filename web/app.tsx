// The page: which door is open, and what the phone keeps.
import { render } from "preact";
import { useEffect, useState } from "preact/hooks";
import { api } from "./kit/api";
import type { Complaint, Start } from "./kit/shapes";
import { start_of } from "./kit/start";
import { guard_taps } from "./kit/keys";
import { keep_look, read_look, wear_look, type Look } from "./kit/look";
import { keep_trace, new_trace, read_trace, type Trace } from "./kit/keep";
import { sentence } from "./kit/words";
import { Home } from "./doors/home";
import { LookDoor } from "./doors/look";
import { TraceDoor } from "./doors/trace";

type Door = "home" | "trace" | "look";
const doors: Door[] = ["home", "trace", "look"];
const ask_again_ms = 3000;

function door_now(): Door {
  const name = location.hash.slice(1) as Door;
  return doors.includes(name) ? name : "home";
}

// the catalogue; asked again until the boat's computer answers
function use_start(): { start: Start | null; complaint: Complaint | null } {
  const [start, set_start] = useState<Start | null>(null);
  const [complaint, set_complaint] = useState<Complaint | null>(null);
  useEffect(() => {
    let over = false;
    const load = async () => {
      const outcome = await api.start();
      if (over) return;
      if (outcome.ok) return set_start(start_of(outcome.value));
      set_complaint(outcome.complaint);
      setTimeout(load, ask_again_ms);
    };
    void load();
    return () => {
      over = true;
    };
  }, []);
  return { start, complaint };
}

function use_door(): [Door, (door: Door) => void] {
  const [door, set_door] = useState<Door>(door_now);
  useEffect(() => {
    const listen = () => set_door(door_now());
    window.addEventListener("hashchange", listen);
    return () => window.removeEventListener("hashchange", listen);
  }, []);
  const go = (to: Door) => {
    location.hash = to === "home" ? "" : to;
    set_door(to);
  };
  return [door, go];
}

function App() {
  const { start, complaint } = use_start();
  if (start !== null) return <Doors start={start} />;
  return (
    <main class="column">
      <h1>{complaint ? "Not there yet" : "donkeyman"}</h1>
      {complaint && <p role="status">{sentence(complaint.what)} It is asked again by itself.</p>}
    </main>
  );
}

function Doors({ start }: { start: Start }) {
  const [look, set_look] = useState<Look>(read_look);
  const [door, go] = use_door();
  const [trace, set_trace] = useState<Trace | null>(() => read_trace(start.engine_hash));
  const on_look = (next: Look) => {
    keep_look(next);
    set_look(next);
  };
  const on_trace = (next: Trace) => {
    keep_trace(next);
    set_trace(next);
  };
  const home = () => go("home");
  if (door === "look") return <LookDoor look={look} on_look={on_look} on_back={home} />;
  if (door === "trace") {
    const open = trace ?? new_trace(start.engine_hash);
    return <TraceDoor {...{ start, look, on_look, on_trace }} trace={open} on_home={home} />;
  }
  return (
    <Home {...{ start, trace, look, on_look }} on_trace={() => go("trace")} on_look_door={() => go("look")} />
  );
}

// the colours stand before the first paint: no white flash at night
wear_look(read_look());
document.addEventListener("DOMContentLoaded", () => {
  guard_taps();
  const page = document.getElementById("page");
  if (page) render(<App />, page);
});

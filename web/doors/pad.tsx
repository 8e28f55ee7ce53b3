// A reading: keys of 64 px, units beside, the plausible range under it.
import { useState } from "preact/hooks";
import { Erase } from "../kit/draw";
import type { Given } from "../kit/items";
import { use_keys } from "../kit/keys";
import type { Look } from "../kit/look";
import type { Chance, Reading } from "../kit/shapes";
import { figure, shown_units, with_unit, type Shown } from "../kit/units";

const longest = 7; // characters

interface PadProps {
  reading: Reading;
  answers: Chance[];
  name: string;
  look: Look;
  busy: string | null;
  on_given: (given: Given) => void;
  on_back: () => void;
  on_why: () => void;
}

// the text after one more key
function typed(text: string, key: string): string {
  if (key === "⌫") return text.slice(0, -1);
  if (key === "±") return text.startsWith("-") ? text.slice(1) : `-${text}`;
  if ((key === "." && text.includes(".")) || text.length >= longest) return text;
  return text + key;
}

export function Pad(p: PadProps) {
  const { reading } = p;
  const units = shown_units(reading.unit, p.look);
  const [text, set_text] = useState("");
  const [unit, set_unit] = useState(0);
  const [odd, set_odd] = useState(false);
  const shown: Shown = units[unit];
  const value = shown.from(Number(text));
  const type = (key: string) => {
    set_odd(false);
    set_text(typed(text, key));
  };
  const pick = (i: number) => {
    set_odd(false);
    set_unit(i);
  };
  const enter = () => {
    if (text === "" || text === "-" || !Number.isFinite(value)) return;
    if (value < reading.low - 1e-9 || value > reading.high + 1e-9) return set_odd(true);
    const words = with_unit(figure(Number(text)), shown.unit);
    const chance = band_chance(p.answers, value);
    p.on_given({ id: "=value", text: words, value, unit: reading.unit, chance });
  };
  use_keys(p.look.keys, {
    ...Object.fromEntries("0123456789.".split("").map((key) => [key, () => type(key)])),
    "-": () => type("±"), Enter: enter, Backspace: text === "" ? p.on_back : () => type("⌫"), w: p.on_why,
  });
  return (
    <div class="pad" data-fast role="group" aria-label={`${p.name}: figure and unit`}>
      <div class="display">
        <p aria-live="polite"><b>{text === "" ? "–" : text.replace("-", "−")}</b><span>{shown.unit}</span></p>
        <button type="button" onClick={() => type("⌫")} aria-label="Take the last figure back">
          <Erase />
        </button>
      </div>
      <div class="pad-grid">
        <Keys signed={reading.low < 0} on_key={type} />
        <div class="pad-units">
          {units.length > 1 && units.map((one, i) => (
            <button type="button" class={i === unit ? "chosen" : ""} aria-pressed={i === unit}
              onClick={() => pick(i)}>{one.unit}</button>
          ))}
          <button type="button" class="enter" disabled={text === ""} aria-disabled={p.busy ? true : undefined}
            onClick={enter}>That is it</button>
        </div>
      </div>
      <Range reading={reading} shown={shown} text={text} odd={odd} />
    </div>
  );
}

const spoken: { [key: string]: string } = { "±": "minus", ".": "point" };

function Keys({ signed, on_key }: { signed: boolean; on_key: (key: string) => void }) {
  const keys = ["7", "8", "9", "4", "5", "6", "1", "2", "3", ".", "0", signed ? "±" : ""];
  return (
    <div class="pad-keys">
      {keys.map((key) => (key === "" ? <span />
        : <button type="button" onClick={() => on_key(key)} aria-label={spoken[key] ?? key}>{key}</button>))}
    </div>
  );
}

function Range(p: { reading: Reading; shown: Shown; text: string; odd: boolean }) {
  const { shown } = p;
  const high = with_unit(figure(shown.to(p.reading.high)), shown.unit);
  const range = `${figure(shown.to(p.reading.low))} to ${high}`;
  const said = with_unit(p.text.replace("-", "−"), shown.unit);
  return (
    <p class={p.odd ? "range odd" : "range"} role={p.odd ? "alert" : undefined}>
      {p.odd ? `${said}? This reads ${range}. Type it again, or choose another unit.` : `It reads ${range}.`}
    </p>
  );
}

// the chance of the band that a value falls in, where the bands have ends
function band_chance(answers: Chance[], value: number): number | null {
  const ended = answers.filter((row) => row.low !== undefined && row.high !== undefined);
  const band = ended.find((row) => value >= (row.low ?? -Infinity) && value < (row.high ?? Infinity));
  return band?.chance ?? null;
}

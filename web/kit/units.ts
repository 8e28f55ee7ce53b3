// Readings travel in the units of readings.def; the eye gets the units the skipper chose once.
import type { Look } from "./look";

export interface Shown {
  unit: string;
  to: (value: number) => number;
  from: (shown: number) => number;
}

const same = (unit: string): Shown => ({ unit, to: (v) => v, from: (v) => v });
const scaled = (unit: string, factor: number): Shown => ({
  unit,
  to: (v) => v * factor,
  from: (v) => v / factor,
});

// exact by definition: 1 lbf/in² = 6.894757293168 kPa
const kpa_per_psi = 6.894757293168;

// The ways this reading's unit can be shown; the chosen one first, the others are keys of the figure pad.
export function shown_units(unit: string, look: Look): Shown[] {
  const fahrenheit: Shown = { unit: "°F", to: (v) => v * 1.8 + 32, from: (v) => (v - 32) / 1.8 };
  const list: Shown[] =
    unit === "degC" || unit === "C"
      ? [same("°C"), fahrenheit]
      : unit === "bar"
        ? [same("bar"), scaled("psi", 100 / kpa_per_psi)]
        : unit === "kPa"
          ? [same("kPa"), scaled("bar", 0.01), scaled("psi", 1 / kpa_per_psi)]
          : unit === "V"
            ? [same("V"), scaled("mV", 1000)]
            : [same(unit === "-" ? "" : unit)];
  const wanted = [look.temperature === "F" ? "°F" : "°C", look.pressure === "psi" ? "psi" : ""];
  const first = list.find((shown) => wanted.includes(shown.unit));
  return first ? [first, ...list.filter((shown) => shown !== first)] : list;
}

// "12.1" rounded to what a gauge can tell: three digits, no trailing zeros beyond them.
export function figure(value: number): string {
  if (!Number.isFinite(value)) return "?";
  const digits = Math.abs(value) >= 100 ? 0 : Math.abs(value) >= 10 ? 1 : 2;
  const text = value.toFixed(digits).replace(/\.?0+$/, (zeros) => (zeros.includes(".") ? "" : zeros));
  return thousands(text === "-0" ? "0" : text);
}

// two digits, for ranges
export function rough(value: number): string {
  if (!Number.isFinite(value)) return "?";
  if (value === 0) return "0";
  return thousands(String(Number(value.toPrecision(2))));
}

export function thousands(text: string): string {
  const [whole, rest] = text.split(".");
  const grouped = whole.replace(/\B(?=(\d{3})+(?!\d))/g, ",");
  return rest === undefined ? grouped : `${grouped}.${rest}`;
}

// thin space between figure and unit
export function with_unit(text: string, unit: string): string {
  return unit === "" ? text : `${text}\u2009${unit}`;
}

// How the page looks and which units it speaks: chosen once, kept on the phone, set before the first paint.

export type Colours = "day" | "red" | "amber" | "contrast";
export interface Look {
  colours: Colours;
  night: "red" | "amber"; // which night the switch in the header goes to
  temperature: "C" | "F";
  pressure: "bar" | "psi";
  keys: boolean; // single keys answer
}

export const plain_look: Look = {
  colours: "day",
  night: "red",
  temperature: "C",
  pressure: "bar",
  keys: true,
};

const place = "dk.look";

function one_of<T extends string>(value: unknown, allowed: T[], otherwise: T): T {
  return allowed.includes(value as T) ? (value as T) : otherwise;
}

export function read_look(): Look {
  let kept: Partial<Look> = {};
  try {
    kept = JSON.parse(localStorage.getItem(place) ?? "{}") ?? {};
  } catch {
    // nothing kept, or nothing may be kept: the plain look
  }
  return {
    colours: one_of(kept.colours, ["day", "red", "amber", "contrast"], plain_look.colours),
    night: one_of(kept.night, ["red", "amber"], plain_look.night),
    temperature: one_of(kept.temperature, ["C", "F"], plain_look.temperature),
    pressure: one_of(kept.pressure, ["bar", "psi"], plain_look.pressure),
    keys: kept.keys !== false,
  };
}

export function wear_look(look: Look): void {
  document.documentElement.dataset.look = look.colours;
}

export function keep_look(look: Look): void {
  wear_look(look);
  try {
    localStorage.setItem(place, JSON.stringify(look));
  } catch {
    // a phone that keeps nothing still shows it until the page is closed
  }
}

export function is_night(look: Look): boolean {
  return look.colours === "red" || look.colours === "amber";
}

// Single keys, and the guard that makes two taps on wet glass count once.
import { useEffect } from "preact/hooks";

// Two taps within this time count once [ms].
const wet_glass_ms = 300;

// Stops a second click on the page within the time; the figure pad (data-fast) is left alone, and so are
// clicks made by the keyboard (detail 0).
export function guard_taps(): void {
  let last = -Infinity;
  document.addEventListener(
    "click",
    (event) => {
      const target = event.target as Element | null;
      if (event.detail === 0 || target?.closest("[data-fast], input, textarea")) return;
      if (event.timeStamp - last < wet_glass_ms) {
        event.preventDefault();
        event.stopImmediatePropagation();
        return;
      }
      last = event.timeStamp;
    },
    true,
  );
}

// Keys of a screen: [key, what it does]. Nothing while a text is typed or a modifier is held.
export function use_keys(on: boolean, keys: { [key: string]: (() => void) | undefined }): void {
  useEffect(() => {
    if (!on) return undefined;
    const listen = (event: KeyboardEvent) => {
      if (event.ctrlKey || event.altKey || event.metaKey || event.repeat) return;
      if ((event.target as Element | null)?.closest("input, textarea, select")) return;
      const act = keys[event.key.length === 1 ? event.key.toLowerCase() : event.key];
      if (!act) return;
      event.preventDefault();
      act();
    };
    document.addEventListener("keydown", listen);
    return () => document.removeEventListener("keydown", listen);
  });
}

// What may still be done: a strip at the foot that opens upward over the page.
import type { May, Start } from "../kit/shapes";
import { Gauge, Up } from "../kit/draw";
import type { Look } from "../kit/look";
import { figure, rough, shown_units, thousands, with_unit } from "../kit/units";
import { capital, minutes, sentence, source } from "../kit/words";

function rpm(value: number): string {
  return with_unit(thousands(String(Math.round(value / 50) * 50)), "rpm");
}

// rounded down: nobody reads the second figure
function whole_minutes(value: number): string {
  return minutes(value >= 1 ? Math.floor(value) : value);
}

function unknown_words(share: number | undefined): string {
  if (share === undefined) return "";
  return `${share < 0.01 ? "Under 1" : Math.round(share * 100)} of 100 are something we don’t know. `;
}

// whether the minutes are those until it stops, not until it is too hot
function stops_by_itself(may: May): boolean {
  return may.because.some((row) => row.reading === "minutes_to_stop");
}

// what, at most how hard
export function may_words(may: May): string {
  switch (may.run) {
    case "stop_now":
      return "Stop now";
    case "within_minutes":
      if (may.minutes === null) return "Stop soon";
      return `${stops_by_itself(may) ? "May stop" : "Stop"} within ${whole_minutes(may.minutes)}`;
    case "limp":
      return may.max_rpm === null ? "Run easy" : `Run easy, under ${rpm(may.max_rpm)}`;
    case "carry_on":
      return "Carry on, watch the gauges";
    default:
      return "Not settled yet";
  }
}

// the price, short
function may_price(may: May): string {
  const text = may.price_of_running;
  if (text) return text.split(/[.;:]/)[0];
  if (may.run === "not_resolved") return "too much is still unknown";
  if (may.run === "within_minutes") return "then a limit is met, or it stops by itself";
  return may.minutes !== null ? `it may stop within ${minutes(may.minutes)}` : "tap for what was looked at";
}

function crank_words(may: May): [string, string] {
  if (may.crank === "no") return ["Don’t crank", ""];
  if (may.crank_seconds === null)
    return [may.crank === "yes" ? "As ever" : "Short tries", "Let the starter rest between tries."];
  return [
    with_unit(rough(may.crank_seconds), "s"),
    may.crank === "limit"
      ? "in all, then drain the water lock."
      : "in all, before the water lock has to be drained.",
  ];
}

const needle: { [run: string]: number } = { stop_now: 110, within_minutes: 80, limp: 45, carry_on: -20 };

export function MayStrip({
  may,
  open,
  on_open,
  start,
  look,
}: {
  may: May;
  open: boolean;
  on_open: (open: boolean) => void;
  start: Start;
  look: Look;
}) {
  return (
    <section class={open ? "may open" : "may"} aria-label="What you may still do">
      <button type="button" class="strip" aria-expanded={open} onClick={() => on_open(!open)}>
        <Gauge needle={needle[may.run] ?? null} stop={may.run !== "carry_on"} ticks={0} />
        <span class="what">
          <b>{may_words(may)}</b>
          <span>{may_price(may)}</span>
        </span>
        <Up down={open} />
      </button>
      {open && <MayPanel may={may} start={start} look={look} />}
    </section>
  );
}

function MayPanel({ may, start, look }: { may: May; start: Start; look: Look }) {
  const [seconds, how] = crank_words(may);
  const limit = (reading: string, value: number | null) => {
    if (value === null) return "";
    const row = start.readings.find((one) => one.id === reading);
    const shown = shown_units(row?.unit ?? "-", look)[0];
    return with_unit(figure(shown.to(value)), shown.unit);
  };
  // a row with a limit is a reading, one without is a red rule
  const name = (id: string, limited: boolean) =>
    (limited ? undefined : start.red_rules.find((rule) => rule.id === id)?.name) ?? id.replace(/_/g, " ");
  return (
    <div class="may-panel" role="region" aria-label="What you may still do, in full" tabIndex={0}>
      <h2>What you may still do</h2>
      <dl>
        <dt>Crank</dt>
        <dd>
          <b>{seconds}</b> {how}
        </dd>
        <dt>Run</dt>
        <dd>
          <b>{may_words(may)}.</b>{" "}
          {may.minutes !== null &&
            may.run !== "within_minutes" &&
            `It may ${stops_by_itself(may) ? "stop by itself" : "run hot"} within ${minutes(may.minutes)}.`}
        </dd>
        <dt>Price</dt>
        <dd>
          {may.price_of_running
            ? sentence(may.price_of_running)
            : may.run === "within_minutes"
              ? "By then a limit is met, or it stops by itself."
              : "No limit was crossed in what was looked at."}
        </dd>
        <dt>Not looked at</dt>
        <dd>
          {unknown_words(may.unknown)}Wear that shows in no reading here. Your manual’s limits come first.
        </dd>
        {may.because.length > 0 && (
          <>
            <dt>Because</dt>
            <dd>
              <ul>
                {may.because.map((row) => (
                  <li>
                    {capital(name(row.reading, row.limit !== null))}
                    {row.limit !== null && <>, limit {limit(row.reading, row.limit)}</>}{" "}
                    <span class="second">{source(row.source)}</span>
                  </li>
                ))}
              </ul>
            </dd>
          </>
        )}
      </dl>
    </div>
  );
}

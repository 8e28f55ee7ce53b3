// Where are you, and the red signs: one tap each, before anything else.
import type { RedRule, Start } from "../kit/shapes";
import { Title } from "../kit/parts";
import { WhereDrawing } from "../kit/draw";
import { use_keys } from "../kit/keys";
import { capital } from "../kit/words";

// Order of the boxes: water, oil and fire first; a rule that is not named here comes at the end.
const order = [
  "no_water",
  "oil_pressure",
  "fire",
  "revs_rise",
  "flooding",
  "metal_knock",
  "fuel_spray",
  "exhaust_below",
  "stops_hard",
  "starter_stays",
  "oil_level_up",
  "stuck_in_gear",
  "hot_and_dry",
];
const rank = (rule: RedRule) => (order.indexOf(rule.id) + order.length + 1) % (order.length + 1);

export function Where({
  start,
  where,
  on_where,
  on_red,
  on_none,
  keys,
}: {
  start: Start;
  where: string | null;
  on_where: (id: string) => void;
  on_red: (rule: RedRule) => void;
  on_none: () => void;
  keys: boolean;
}) {
  const places = start.signs.find((sign) => sign.id === "where")?.answers ?? [];
  use_keys(keys, Object.fromEntries(places.map((place, i) => [String(i + 1), () => on_where(place.id)])));
  return (
    <main class="column">
      <Title id="where">Where are you?</Title>
      <div class="places" role="group" aria-label="Where are you?">
        {places.map((place) => (
          <button
            type="button"
            class={where === place.id ? "place chosen" : "place"}
            aria-pressed={where === place.id}
            onClick={() => on_where(place.id)}
          >
            <WhereDrawing id={place.id} />
            <span>{capital(place.text)}</span>
          </button>
        ))}
      </div>
      <h2>Any of these, right now?</h2>
      <p class="second">Tap it now, before anything else.</p>
      <div class="reds" role="group" aria-label="Any of these, right now?">
        {[...start.red_rules]
          .sort((a, b) => rank(a) - rank(b))
          .map((rule) => (
            <button type="button" class="red-sign" onClick={() => on_red(rule)}>
              {capital(rule.name)}
            </button>
          ))}
        <button type="button" class="red-sign none" onClick={on_none}>
          None of these
        </button>
      </div>
    </main>
  );
}

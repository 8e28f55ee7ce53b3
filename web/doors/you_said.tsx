// The answers so far, each with 'take back'.
import { useState } from "preact/hooks";
import type { Said, Start } from "../kit/shapes";
import type { Trace } from "../kit/keep";
import type { Look } from "../kit/look";
import { words_of } from "../kit/said";
import { capital } from "../kit/words";

export function YouSaid({
  trace,
  start,
  look,
  on_back,
  on_afresh,
}: {
  trace: Trace;
  start: Start;
  look: Look;
  on_back: (said: Said) => void;
  on_afresh: () => void;
}) {
  const [sure, set_sure] = useState(false);
  const place = start.signs
    .find((sign) => sign.id === "where")
    ?.answers.find((row) => row.id === trace.where)?.text;
  const cannot = trace.cannot.map((id) => start.checks.find((row) => row.id === id)?.name ?? id);
  return (
    <section class="said" aria-label="You said">
      <h2>You said</h2>
      {trace.said.length === 0 && <p class="second">{place ? `${capital(place)}. ` : ""}Nothing yet.</p>}
      <ul>
        {trace.said.length > 0 && place && (
          <li>
            <span>
              <b>{capital(place)}</b>
            </span>
          </li>
        )}
        {trace.said.map((said) => {
          const words = words_of(said, start, look);
          return (
            <li>
              <span>
                {words.question} <b>{capital(words.answer)}</b>
              </span>
              <button
                type="button"
                class="link"
                aria-label={`Take back: ${words.question} ${words.answer}`}
                onClick={() => on_back(said)}
              >
                take back
              </button>
            </li>
          );
        })}
        {cannot.length > 0 && (
          <li>
            <span>Can’t be done here: {cannot.join(", ")}</span>
          </li>
        )}
      </ul>
      {trace.said.length > 0 &&
        (sure ? (
          <p class="afresh">
            Throw all of it away?{" "}
            <button type="button" class="link" onClick={on_afresh}>
              yes, start afresh
            </button>{" "}
            <button type="button" class="link" onClick={() => set_sure(false)}>
              keep it
            </button>
          </p>
        ) : (
          <button type="button" class="link" onClick={() => set_sure(true)}>
            start afresh
          </button>
        ))}
    </section>
  );
}

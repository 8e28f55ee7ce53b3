// Pieces that every door uses: the header with its graduated border, boxes to tap, the foot.
import type { ComponentChildren } from "preact";
import { useEffect, useRef } from "preact/hooks";
import { Back, Moon, Sun } from "./draw";
import { is_night, type Look } from "./look";

// The black-and-white border of a chart. With `share` it fills from the left.
export function Border({ share }: { share?: number }) {
  const width = share === undefined ? "100%" : `${Math.round(Math.min(1, Math.max(0, share)) * 100)}%`;
  return (
    <svg class="border" width="100%" height="8" aria-hidden="true">
      <rect class="rail" x="0" y="0" width="100%" height="1.5" />
      <rect class="rail" x="0" y="6.5" width="100%" height="1.5" />
      <line class="grades" x1="0" y1="4" x2={width} y2="4" />
    </svg>
  );
}

export function Header({
  title,
  back,
  aside,
  look,
  on_look,
  share,
  quiet,
}: {
  title: string;
  back?: () => void;
  aside?: ComponentChildren;
  look: Look;
  on_look: (look: Look) => void;
  share?: number;
  quiet?: string;
}) {
  const night = is_night(look);
  const turn = () => on_look({ ...look, colours: night ? "day" : look.night });
  return (
    <header>
      <div class="bar">
        {back && (
          <button type="button" class="bare back" onClick={back} aria-label="Back">
            <Back />
          </button>
        )}
        <p class="door">
          {title}
          {quiet && <span class="quiet"> {quiet}</span>}
        </p>
        {aside && <div class="aside">{aside}</div>}
        <button type="button" class="bare night" onClick={turn} aria-pressed={night}>
          {night ? <Sun /> : <Moon />}
          <span>{night ? "Day" : "Night"}</span>
        </button>
      </div>
      <Border share={share} />
    </header>
  );
}

// A heading that gets the focus when the screen changes, so that it is read out and the keys start there.
export function Title({
  children,
  id,
  focus = true,
}: {
  children: ComponentChildren;
  id: string;
  focus?: boolean;
}) {
  const here = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    if (focus) here.current?.focus({ preventScroll: true });
    if (focus) window.scrollTo(0, 0);
  }, [id]);
  return (
    <h1 ref={here} tabIndex={-1}>
      {children}
    </h1>
  );
}

export interface Choice {
  id: string;
  text: string;
  chosen?: boolean;
}

// Main answers, on land, two abreast; long texts take a row of their own.
export function Answers({
  choices,
  on_choose,
  busy,
  label,
}: {
  choices: Choice[];
  on_choose: (id: string) => void;
  busy?: string | null;
  label: string;
}) {
  const longest = Math.max(0, ...choices.map((choice) => choice.text.length));
  const shape =
    longest > 44 ? "answers wide" : choices.length > 4 && longest < 12 ? "answers many" : "answers";
  return (
    <div class={shape} role="group" aria-label={label}>
      {choices.map((choice) => (
        <button
          type="button"
          class={busy === choice.id || choice.chosen ? "answer chosen" : "answer"}
          onClick={() => on_choose(choice.id)}
          aria-disabled={busy ? true : undefined}
          aria-pressed={choice.chosen}
        >
          {choice.text}
        </button>
      ))}
    </div>
  );
}

export function Quiet({
  choices,
  on_choose,
  busy,
  label,
}: {
  choices: Choice[];
  on_choose: (id: string) => void;
  busy?: string | null;
  label: string;
}) {
  return (
    <div class="quiets" role="group" aria-label={label}>
      {choices.map((choice) => (
        <button
          type="button"
          class={busy === choice.id ? "quiet-answer chosen" : "quiet-answer"}
          onClick={() => on_choose(choice.id)}
          aria-disabled={busy ? true : undefined}
        >
          {choice.text}
        </button>
      ))}
    </div>
  );
}

// A line under the border that stays until it is no longer true.
export function Notice({ children }: { children: ComponentChildren }) {
  return (
    <p class="notice" role="status">
      {children}
    </p>
  );
}

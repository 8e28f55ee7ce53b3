// The hundred, as tally strokes: a line a cause, and what an answer struck from it.
import { useEffect, useState } from "preact/hooks";
import type { Said, Start, TraceAnswer } from "../kit/shapes";
import type { Look } from "../kit/look";
import { lines_of, strike, type Line, type StruckLine } from "../kit/tally";
import { capital, count } from "../kit/words";
import { WhyCause } from "./why";

// Whether fifty strokes of the wide pitch (340 px) and both margins do not fit: strokes then stand closer.
function use_narrow(): boolean {
  const [narrow, set_narrow] = useState(() => window.matchMedia("(max-width: 375px)").matches);
  useEffect(() => {
    const media = window.matchMedia("(max-width: 375px)");
    const listen = () => set_narrow(media.matches);
    media.addEventListener("change", listen);
    return () => media.removeEventListener("change", listen);
  }, []);
  return narrow;
}

// `n` strokes, of which `left` stand and the others are thin with one level bar through them.
export function Strokes({ n, left = n }: { n: number; left?: number }) {
  const narrow = use_narrow();
  const pitch = narrow ? 5 : 6,
    gap = narrow ? 3 : 4,
    row = 50,
    high = 17,
    apart = 22;
  const x = (i: number) => 3 + (i % row) * pitch + Math.floor((i % row) / 5) * gap;
  const y = (i: number) => 1 + Math.floor(i / row) * apart;
  const mark = (i: number) => `M${x(i) + 3} ${y(i)}L${x(i)} ${y(i) + high}`;
  const range = (from: number, to: number) =>
    Array.from({ length: Math.max(0, to - from) }, (_, i) => mark(from + i)).join("");

  // the bar runs through each row of the struck ones
  const bars: string[] = [];
  for (let first = left; first < n; first = (Math.floor(first / row) + 1) * row) {
    const last = Math.min(n, (Math.floor(first / row) + 1) * row) - 1;
    bars.push(`M${x(first) - 2} ${y(first) + high / 2}H${x(last) + 5}`);
  }
  const rows = Math.max(1, Math.ceil(n / row));
  return (
    <svg
      class="strokes"
      width={x(Math.min(row, Math.max(n, 1)) - 1) + 6}
      height={2 + high + (rows - 1) * apart}
      aria-hidden="true"
    >
      <path class="stroke" d={range(0, left)} />
      {left < n && <path class="struck" d={range(left, n)} />}
      {left < n && <path class="bar" d={bars.join("")} />}
    </svg>
  );
}

function line_name(line: Line): string {
  if (line.name !== "") return capital(line.name);
  return `${capital(count(line.parts.length))} others, each 1 or less`;
}

export interface Struck {
  label: string;
  about: string;
  chance: number;
  before: TraceAnswer;
}

interface TallyProps {
  answer: TraceAnswer;
  struck?: Struck | null;
  start: Start;
  said: Said[];
  look: Look;
  open: string | null;
  on_open: (id: string | null) => void;
  on_tried: (repair: string) => void;
}

export function Tally(p: TallyProps) {
  const lines: (Line | StruckLine)[] = p.struck
    ? strike(lines_of(p.struck.before), p.struck.chance, p.answer).lines
    : lines_of(p.answer);
  return <ul class="tally">{lines.map((line) => <TallyLine {...p} line={line} />)}</ul>;
}

// one line: name and count, strokes under both, why in place when it is open
function TallyLine(p: TallyProps & { line: Line | StruckLine }) {
  const { line } = p;
  const cause = p.answer.causes.find((row) => (row.group || row.id) === line.cause);
  const struck = "left" in line;
  const left = struck ? line.left : line.count;
  const open = p.open === line.id;
  const words = (
    <>
      <span class="name">{line_name(line)}</span>
      <span class="n">
        <span class="aloud">, </span>
        {left < line.count ? `${left} left of ${line.count}` : line.count}
        {!struck && <span class="aloud"> of 100</span>}
      </span>
    </>
  );
  const turn = () => p.on_open(open ? null : line.id);
  return (
    <li>
      {cause ? <button type="button" class="line" aria-expanded={open} onClick={turn}>{words}</button>
        : <p class="line">{words}</p>}
      <div class="marks">
        <Strokes n={line.count} left={left} />
        {struck && line.grew && <em>more likely now</em>}
      </div>
      {cause && open && <WhyCause {...p} cause={cause} />}
    </li>
  );
}

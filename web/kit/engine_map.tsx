// The engine's side view, drawn from the record, with trouble as hatch. Which region a cause darkens comes
// from data (`part`); here stands only what each region looks like.
import type { JSX } from "preact";
import type { Engine } from "./shapes";

interface Region {
  at: [number, number];
  shape: (engine: Engine) => JSX.Element;
}

const round = (cx: number, cy: number, r: number) => <circle cx={cx} cy={cy} r={r} />;
const box = (x: number, y: number, width: number, height: number, rx = 2) => (
  <rect x={x} y={y} width={width} height={height} rx={rx} />
);
const path = (d: string) => <path d={d} />;

// middle of each cylinder along the block
function cylinder_xs(engine: Engine): number[] {
  const n = Math.min(6, Math.max(1, engine.cylinders || 3));
  const step = 262 / n;
  return Array.from({ length: n }, (_, i) => 164 + step * (i + 0.5));
}

// hub and two blades, under a sail drive and on a shaft
const folding =
  "M560 262H576V280H560ZM568 262Q578 240 574 226Q562 240 564 262ZM568 280Q578 294 574 300Q562 294 564 280Z";
const fixed =
  "M590 196H612L618 206L612 216H590ZM598 196Q610 172 602 158Q588 172 592 196Z" +
  "M598 216Q610 240 602 254Q588 240 592 216Z";

// regions in the order they are drawn; `at` is where a name would point
const regions: { [part: string]: Region } = {
  engine_space: { at: [236, 22], shape: () => box(8, 8, 456, 26) },
  hull: { at: [236, 311], shape: () => path("M8 304H560L632 292V306L562 320H8Z") },
  fuel_tank: { at: [47, 66], shape: () => box(14, 44, 66, 44) },
  fuel_suction: { at: [47, 104], shape: () => path("M43 88H51V122H43Z") },
  fuel_filter: {
    at: [47, 146],
    shape: () => path("M32 122H62V134H58V166Q58 170 54 170H40Q36 170 36 166V134H32Z"),
  },
  battery: { at: [55, 280], shape: () => path("M22 266H30V261H40V266H70V261H80V266H88V298H22Z") },
  ground_cable: { at: [122, 262], shape: () => path("M71 252H150V246H172V254H158V260H79V266H71Z") },
  block: { at: [290, 190], shape: () => box(150, 142, 280, 98) },
  pistons: {
    at: [290, 160],
    shape: (engine) => (
      <g>
        {cylinder_xs(engine).map((x) => (
          <path d={`M${x - 16} 148H${x + 16}V176H${x - 16}ZM${x - 16} 155H${x + 16}`} />
        ))}
      </g>
    ),
  },
  sump: { at: [290, 262], shape: () => path("M160 240H420L404 284H176Z") },
  head_gasket: { at: [290, 140], shape: () => box(150, 137, 280, 7, 0) },
  head: { at: [290, 126], shape: () => box(158, 114, 264, 24) },
  valves: { at: [290, 104], shape: () => path("M174 96H406L418 114H164Z") },
  preheat: {
    at: [226, 126],
    shape: (engine) => <g>{cylinder_xs(engine).map((x) => box(x + 9, 120, 8, 16, 1))}</g>,
  },
  nozzles: {
    at: [290, 92],
    shape: (engine) => (
      <g>
        {cylinder_xs(engine).map((x) => (
          <path d={`M${x - 6} 84H${x + 6}V104H${x + 3}V114H${x - 3}V104H${x - 6}Z`} />
        ))}
      </g>
    ),
  },
  exchanger: { at: [270, 66], shape: () => box(204, 52, 146, 28, 12) },
  filler_cap: { at: [322, 46], shape: () => path("M312 52V42H308V37H336V42H332V52Z") },
  air_filter: { at: [162, 66], shape: () => path("M136 50H190V82H172V96H156V82H136Z") },
  thermostat: { at: [150, 120], shape: () => path("M140 108H158V132H140L134 120Z") },
  coolant_sender: { at: [188, 124], shape: () => path("M183 114V108H193V114H196V122H180V114Z") },
  elbow: { at: [400, 66], shape: () => path("M350 56H396Q420 56 420 80V104H400V82Q400 76 394 76H350Z") },
  exhaust_hose: { at: [452, 124], shape: () => path("M401 104H419Q420 126 480 128V144Q402 142 401 104Z") },
  water_lock: { at: [510, 128], shape: () => box(480, 100, 60, 52) },
  outlet: { at: [580, 84], shape: () => path("M522 100V84Q522 74 532 74H632V86H538Q534 86 534 90V100Z") },
  injection_pump: { at: [278, 204], shape: () => path("M240 188H318V222H240Z") },
  oil_relief: { at: [196, 228], shape: () => path("M188 218H210V238H188Z") },
  starter: { at: [378, 218], shape: () => path("M344 206H410V232H344ZM410 212H424V226H410Z") },
  raw_water_pump: { at: [168, 198], shape: () => round(166, 196, 16) },
  belt: {
    at: [104, 156],
    shape: () => (
      <g>
        <path d="M84 206L90 112A18 18 0 0 1 125 108L137 206A27 27 0 0 1 84 214Z" />
        {round(108, 112, 14)}
        {round(117, 156, 11)}
        {round(110, 212, 22)}
      </g>
    ),
  },
  bell: { at: [446, 186], shape: () => path("M430 132H450L464 156V240H430Z") },
  gearbox: { at: [494, 200], shape: () => path("M464 168H516L524 182V226L516 236H464Z") },
  shaft: {
    at: [560, 206],
    shape: (engine) =>
      saildrive(engine) ? path("M524 196H548V256L560 284H536L524 226Z") : box(524, 201, 66, 10, 0),
  },
  propeller: {
    at: [602, 206],
    shape: (engine) =>
      saildrive(engine) ? (
        <path d={folding} />
      ) : (
        <path d={fixed} />
      ),
  },
};

function saildrive(engine: Engine): boolean {
  return engine.installation?.gearbox === "saildrive";
}

// what this boat does not have is not drawn
function fitted(part: string, engine: Engine): boolean {
  const has = engine.installation ?? {};
  if (part === "exchanger" || part === "filler_cap") return has.cooling !== "raw_water";
  if (part === "water_lock") return has.exhaust !== "dry";
  if (part === "preheat") return has.start_aid !== "none";
  return true;
}

// pipes and cables that belong to no region: fuel to the pump, injection pipes, the live cable under the sump
function pipes(engine: Engine): string {
  const xs = cylinder_xs(engine);
  const from = (i: number) => (xs.length > 1 ? 250 + (58 / (xs.length - 1)) * i : 279);
  const injection = xs.map((x, i) => `M${from(i)} 188C${from(i)} 164 ${x} 172 ${x} 144`).join("");
  return `M47 170V184H240${injection}M88 280H128V292H378V232`;
}

// drawn only when trouble lies there: what is inside, or around
const quiet_parts = ["engine_space", "pistons"];

// four densities of page.md: under 5 none, to 20, to 50, above
export function density(share: number): 0 | 1 | 2 | 3 {
  return share < 0.05 ? 0 : share < 0.2 ? 1 : share < 0.5 ? 2 : 3;
}

const gaps = [0, 9, 6, 3.6];

function Hatches({ id }: { id: string }) {
  return (
    <defs>
      {[1, 2, 3].map((level) => (
        <pattern
          id={`${id}${level}`}
          width={gaps[level]}
          height={gaps[level]}
          patternUnits="userSpaceOnUse"
          patternTransform="rotate(45)"
        >
          <line class="hatch" x1="0" y1="0" x2="0" y2={gaps[level]} stroke-width={level === 3 ? 2 : 1.4} />
        </pattern>
      ))}
    </defs>
  );
}

export function part_words(part: string): string {
  return part.replace(/_/g, " ");
}

export function EngineMap({
  engine,
  shares,
  id,
  label,
}: {
  engine: Engine;
  shares?: Map<string, number>;
  id: string;
  label?: string;
}) {
  const darkest = [...(shares ?? [])].sort((a, b) => b[1] - a[1])[0];
  const name = darkest && density(darkest[1]) >= 2 ? darkest[0] : null;
  const point = name !== null ? regions[name]?.at : undefined;
  return (
    <div class="map">
      <svg viewBox="0 0 640 328" role="img" aria-label={label ?? `${engine.title}, from the side`}>
        <Hatches id={id} />
        <rect class="frame" x="4" y="4" width="464" height="296" />
        {Object.entries(regions)
          .filter(([part]) => fitted(part, engine))
          .map(([part, region]) => {
            const level = density(shares?.get(part) ?? 0);
            const quiet = quiet_parts.includes(part) && level === 0;
            return (
              <>
                <g class={quiet ? "part quiet" : "part"}>{region.shape(engine)}</g>
                {level > 0 && (
                  <g class={`trouble trouble${level}`} fill={`url(#${id}${level})`}>
                    {region.shape(engine)}
                  </g>
                )}
                {part === "injection_pump" && <path class="pipes" d={pipes(engine)} />}
              </>
            );
          })}
        {point && <circle class="pointer" cx={point[0]} cy={point[1]} r="4" />}
      </svg>
      {shares && shares.size > 0 && (
        <ul class="twin">
          {[...shares]
            .sort((a, b) => b[1] - a[1])
            .filter(([, share]) => density(share) > 0)
            .map(([part, share]) => (
              <li>{`${part_words(part)}, ${Math.round(share * 100)} of 100`}</li>
            ))}
        </ul>
      )}
      {shares && (
        <p class="second">
          {name !== null && darkest ? (
            <>
              Shaded: where the trouble lies. Darkest: <b>{part_words(name)}</b>,{" "}
              {Math.round(darkest[1] * 100)} of 100.
            </>
          ) : (
            "Shaded: where the trouble lies. Nothing stands out yet."
          )}
        </p>
      )}
    </div>
  );
}

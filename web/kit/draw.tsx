// Small drawings. Lines only, in the colour of the text; each has its word beside it.

export function Back() {
  return (
    <svg class="sign" viewBox="0 0 24 24" aria-hidden="true">
      <path d="M15 5 8 12l7 7" />
    </svg>
  );
}

export function Up({ down }: { down?: boolean }) {
  return (
    <svg class="sign" viewBox="0 0 24 24" aria-hidden="true">
      <path d={down ? "M4 9l8 8 8-8" : "M4 16l8-8 8 8"} />
    </svg>
  );
}

export function Erase() {
  return (
    <svg class="sign" viewBox="0 0 24 24" aria-hidden="true">
      <path d="M9 5H22V19H9L2 12ZM12 9l6 6M18 9l-6 6" />
    </svg>
  );
}

export function Sun() {
  const ray = (a: number) => {
    const [x, y] = [Math.cos(a), Math.sin(a)];
    return `M${12 + 7.5 * x} ${12 + 7.5 * y}L${12 + 10.5 * x} ${12 + 10.5 * y}`;
  };
  const rays = Array.from({ length: 8 }, (_, i) => ray((i * Math.PI) / 4)).join("");
  return (
    <svg class="sign" viewBox="0 0 24 24" aria-hidden="true">
      <circle cx="12" cy="12" r="4.6" />
      <path d={rays} />
    </svg>
  );
}

export function Moon() {
  return (
    <svg class="sign" viewBox="0 0 24 24" aria-hidden="true">
      <path d="M15 3.5A9 9 0 1 0 20.5 15 7.5 7.5 0 0 1 15 3.5Z" />
    </svg>
  );
}

// a gauge face; needle in degrees from straight up, in the colour of trouble when asked
export function Gauge({
  needle,
  stop,
  ticks = 12,
  dashed,
}: {
  needle: number | null;
  stop?: boolean;
  ticks?: number;
  dashed?: boolean;
}) {
  const at = (deg: number, r: number) => [
    50 + r * Math.sin((deg * Math.PI) / 180),
    50 - r * Math.cos((deg * Math.PI) / 180),
  ];
  const marks = Array.from({ length: ticks > 0 ? ticks + 1 : 0 }, (_, i) => -120 + (240 / ticks) * i)
    .map((deg) => `M${at(deg, 42).join(" ")}L${at(deg, 36).join(" ")}`)
    .join("");
  const tip = needle === null ? null : at(needle, 33);
  return (
    <svg class={dashed ? "gauge dashed" : "gauge"} viewBox="0 0 100 100" aria-hidden="true">
      <circle cx="50" cy="50" r="47" />
      <path class="thin" d={marks} />
      {tip && <path class={stop ? "needle stop" : "needle"} d={`M50 50L${tip[0]} ${tip[1]}`} />}
      {tip && <circle class="hub" cx="50" cy="50" r="5" />}
    </svg>
  );
}

// flag U of the International Code: red and white quarters, 'you are running into danger' (from memory)
export function FlagU() {
  return (
    <svg
      class="flag"
      viewBox="0 0 76 60"
      role="img"
      aria-label="Signal flag U: you are running into danger"
    >
      <path class="light" d="M2 2H38V30H2ZM38 30H74V58H38Z" />
      <rect class="edge" x="1" y="1" width="74" height="58" />
    </svg>
  );
}

const boat = "M6 26H44Q40 36 32 36H14Q8 34 6 26ZM26 26V6";
const waves = "M2 40q5-4 10 0t10 0 10 0 10 0 10 0";
const places: { [id: string]: string } = {
  alongside: `${boat}M2 38H56M52 10V38M44 24H52`,
  anchor: `${boat}${waves}M44 26L54 40M50 41q5 2 6-4`,
  sea_room: `${boat}M26 8L40 22H26Z${waves}`,
  no_room: `${boat}M2 40q5-4 10 0t10 0 10 0M44 40L50 28L57 40M47 18L52 24`,
};
export function WhereDrawing({ id }: { id: string }) {
  return places[id] ? (
    <svg class="where" viewBox="0 0 60 44" aria-hidden="true">
      <path d={places[id]} />
    </svg>
  ) : null;
}

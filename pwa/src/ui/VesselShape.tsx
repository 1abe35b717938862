/** A vessel in outline, drawn otherwise for each state it can be in. The word always stands beside it. */
import type { JSX } from "preact";

type Build = {
  readonly outline: string;
  readonly soil: string;
  readonly level: string;
  /** Fits the marks inside a vessel that is lower than it is wide. */
  readonly fit?: string;
};

const CONE: Build = {
  outline: "M9 5h30v25L27 44h-6L9 30z",
  soil: "M12 24l5 3 4-4 5 5 5-4 5 3v3l-9 11h-6l-9-11z",
  level: "M12 13h24v16l-10 12h-4L12 29z",
};
const TANK: Build = {
  outline: "M9 11c0-8 30-8 30 0v26c0 8-30 8-30 0z",
  soil: "M12 30l5 3 4-4 5 5 5-4 5 3v4c0 5-24 5-24 0z",
  level: "M12 15h24v22c0 5-24 5-24 0z",
};
const LINE: Build = {
  outline: "M4 9h40v26H4zM10 35v7M38 35v7",
  soil: "M7 26l6 3 5-4 6 5 6-4 5 3 6-4v7H7z",
  level: "M7 16h34v16H7z",
  fit: "translate(24 22) scale(.72) translate(-24 -22)",
};

const BUILDS: Readonly<Record<string, Build>> = {
  fermenter: CONE,
  "yeast-vessel": CONE,
  "heat-exchanger": LINE,
  "cask-line": LINE,
  "keg-line": LINE,
  "canning-line": LINE,
};

const INSIDE: Readonly<Record<string, JSX.Element>> = {
  rinsed: (
    <path
      d="M17 13c2 3 3 4 3 6a3 3 0 0 1-6 0c0-2 1-3 3-6zM31 13c2 3 3 4 3 6a3 3 0 0 1-6 0c0-2 1-3 3-6zM24 24c2 3 3 4 3 6a3 3 0 0 1-6 0c0-2 1-3 3-6z"
      fill="currentColor"
    />
  ),
  cleaning: <path d="M24 6v6M24 14l-9 4M24 14l9 4M24 14l-7 12M24 14l7 12M24 14v20" class="stroke" />,
  chemical: <path d="M22 11h4l-.7 14h-2.6zM22 28h4v4h-4z" class="cut" />,
  co2: (
    <path d="M16 25h.1M24 25h.1M32 25h.1M20 31h.1M28 31h.1M24 37h.1M20 19h.1M28 19h.1" class="stroke dots" />
  ),
  pressure: (
    <path
      d="M24 11v8M24 11l-4 4M24 11l4 4M22 24h-8M14 24l4-4M14 24l4 4M26 24h8M34 24l-4-4M34 24l-4 4"
      class="stroke"
    />
  ),
  hot: (
    <path
      d="M17 12c-3 4 3 6 0 10s3 6 0 9M24 12c-3 4 3 6 0 10s3 6 0 10M31 12c-3 4 3 6 0 10s3 6 0 9"
      class="stroke"
    />
  ),
  locked: <path d="M3 20h42v9H3z" fill="currentColor" />,
  clean: <path d="M15 21l7 7 12-14" class="stroke" />,
  sanitised: <path d="M15 15l7 7 12-13M15 26l7 7 12-13" class="stroke" />,
  hold: <path d="M18 13v17M30 13v17" class="stroke thick" />,
  out: <path d="M14 10l20 22M34 10L14 32" class="stroke" />,
};

export function VesselShape({ kind, state }: { readonly kind: string; readonly state: string }) {
  const build = BUILDS[kind] ?? TANK;
  return (
    <svg class="vessel-shape" viewBox="0 0 48 48" aria-hidden="true" data-state={state}>
      <path d={build.outline} class="stroke outline" />
      {state === "soiled" && <path d={build.soil} fill="currentColor" />}
      {state === "filled" && <path d={build.level} fill="currentColor" />}
      {state === "chemical" && <path d={build.outline} fill="currentColor" />}
      <g transform={build.fit}>{INSIDE[state]}</g>
    </svg>
  );
}

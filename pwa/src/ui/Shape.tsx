/** The shapes that go with a word, so that nothing rests on colour alone. Drawn on a 24 by 24 grid. */
import type { StepStatus, Verdict } from "../state/view";

const VERDICTS: Readonly<Record<Verdict, string>> = {
  // a square with a tick cut out; a disc with an arrow to what to do; a stop sign with a bar cut out
  target: "M2 2h20v20H2zM6.6 12.4 10.4 16.2 17.6 8.2 16 6.8 10.3 13.1 8.1 10.9z",
  advise:
    "M12 1a11 11 0 1 1 0 22 11 11 0 0 1 0-22zM10.7 5.5v9.2L7.4 11.4 5.8 13l6.2 6.2 6.2-6.2-1.6-1.6-3.3 3.3V5.5z",
  stop: "M7.4 1h9.2L23 7.4v9.2L16.6 23H7.4L1 16.6V7.4zM5 10v4h14v-4z",
};

export function VerdictShape({ verdict }: { readonly verdict: Verdict }) {
  return (
    <svg class="shape" viewBox="0 0 24 24" aria-hidden="true">
      <path fill="currentColor" fill-rule="evenodd" d={VERDICTS[verdict]} />
    </svg>
  );
}

const STEPS: Readonly<Record<StepStatus, string>> = {
  done: "M12 2a10 10 0 1 1 0 20 10 10 0 0 1 0-20zM6.4 12.6l3.9 3.9 7.4-8.2-1.5-1.4-6 6.6-2.3-2.4z",
  skipped:
    "M12 2a10 10 0 1 1 0 20 10 10 0 0 1 0-20zm0 2.4a7.6 7.6 0 1 0 0 15.2 7.6 7.6 0 0 0 0-15.2zM7 10.8h10v2.4H7z",
  open: "M12 2a10 10 0 1 1 0 20 10 10 0 0 1 0-20zm0 3a7 7 0 1 0 0 14 7 7 0 0 0 0-14zm0 3.2a3.8 3.8 0 1 1 0 7.6 3.8 3.8 0 0 1 0-7.6z",
  shut: "M12 4a8 8 0 1 1 0 16 8 8 0 0 1 0-16zm0 2a6 6 0 1 0 0 12 6 6 0 0 0 0-12z",
  reopened:
    "M12 2a10 10 0 1 1 0 20 10 10 0 0 1 0-20zm0 2.6a7.4 7.4 0 1 0 0 14.8 7.4 7.4 0 0 0 0-14.8zM10.7 6.6h2.6v6.6h-2.6zm0 8.2h2.6v2.6h-2.6z",
};

export function StepShape({ status }: { readonly status: StepStatus }) {
  return (
    <svg class="shape" viewBox="0 0 24 24" aria-hidden="true">
      <path fill="currentColor" fill-rule="evenodd" d={STEPS[status]} />
    </svg>
  );
}

/** The warning triangle of ISO 7010 W001. */
export function WarningShape() {
  return (
    <svg class="shape" viewBox="0 0 24 24" aria-hidden="true">
      <path
        fill="currentColor"
        fill-rule="evenodd"
        d="M12 1.5 23.5 22H.5zm0 4.6L4.1 20h15.8zM10.9 10h2.2l-.3 5.4h-1.6zm0 6.6h2.2v2h-2.2z"
      />
    </svg>
  );
}

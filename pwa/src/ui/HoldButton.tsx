/**
 * A press that a drip cannot make: it counts once it has been held, by the clock of the fingers and not of a busy page.
 *
 * By touch, mouse or key it must be kept down. Assistive technology sends a click with no press before it; such a
 * click asks for a second one instead.
 */
import { useEffect, useRef, useState } from "preact/hooks";
import { t } from "../messages";

const HELD_MS = 800;

type Props = {
  readonly label: string;
  readonly onHeld: () => void;
  readonly tone?: "main" | "caution" | "stop";
  readonly busy?: boolean;
};

export function HoldButton({ label, onHeld, tone = "main", busy = false }: Props) {
  const [state, setState] = useState<"idle" | "holding" | "short" | "armed">("idle");
  const timer = useRef<ReturnType<typeof setTimeout> | undefined>(undefined);
  const since = useRef<number | undefined>(undefined);

  const begin = (event: Event) => {
    if (since.current !== undefined || busy) return;
    since.current = event.timeStamp;
    setState("holding");
    timer.current = setTimeout(held, HELD_MS);
  };
  const held = () => {
    since.current = undefined;
    setState("idle");
    onHeld();
  };
  const end = (event: Event) => {
    clearTimeout(timer.current);
    if (since.current === undefined) return;
    if (/up$/.test(event.type) && event.timeStamp - since.current >= HELD_MS) return held();
    since.current = undefined;
    setState("short");
  };
  const click = (event: MouseEvent) => {
    if (event.detail > 0 || busy) return;
    if (state !== "armed") return setState("armed");
    setState("idle");
    onHeld();
  };
  const key = (event: KeyboardEvent) => {
    if (event.key !== " " && event.key !== "Enter") return;
    event.preventDefault();
    if (event.type === "keyup") end(event);
    else if (!event.repeat) begin(event);
  };

  useEffect(() => () => clearTimeout(timer.current), []);

  return (
    <button
      type="button"
      class={`press hold ${tone}`}
      data-state={state}
      aria-disabled={busy}
      onPointerDown={(event) => event.button === 0 && begin(event)}
      onPointerUp={end}
      onPointerLeave={end}
      onPointerCancel={end}
      onContextMenu={(event) => event.preventDefault()}
      onKeyDown={key}
      onKeyUp={key}
      onBlur={end}
      onClick={click}
    >
      <span class="hold-label">{label}</span>
      <span class="hold-how" aria-live="polite">
        {t(`hold-${state}`)}
      </span>
    </button>
  );
}

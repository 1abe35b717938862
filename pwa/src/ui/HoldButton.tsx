/**
 * A press that a drip cannot make: it counts once it has been held.
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
  const pressed = useRef(false);

  const begin = () => {
    if (pressed.current || busy) return;
    pressed.current = true;
    setState("holding");
    timer.current = setTimeout(() => {
      pressed.current = false;
      setState("idle");
      onHeld();
    }, HELD_MS);
  };
  const end = () => {
    clearTimeout(timer.current);
    if (!pressed.current) return;
    pressed.current = false;
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
    if (event.type === "keyup") end();
    else if (!event.repeat) begin();
  };

  useEffect(() => () => clearTimeout(timer.current), []);

  return (
    <button
      type="button"
      class={`press hold ${tone}`}
      data-state={state}
      aria-disabled={busy}
      onPointerDown={(event) => event.button === 0 && begin()}
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

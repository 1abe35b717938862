/** A QR code (ISO/IEC 18004), drawn as one path. The encoder is loaded only where a code is shown. */
import { useEffect, useState } from "preact/hooks";

const BORDER = 4; // the quiet zone the standard asks for, in modules

type Drawn = { readonly size: number; readonly path: string };

export function Qr({ text, label }: { readonly text: string; readonly label: string }) {
  const [drawn, setDrawn] = useState<Drawn | null>(null);
  useEffect(() => {
    draw(text).then(setDrawn, console.error);
  }, [text]);
  if (!drawn) return null;
  return (
    <svg class="qr" viewBox={`0 0 ${drawn.size} ${drawn.size}`} role="img" aria-label={label}>
      <path class="qr-paper" d={`M0 0h${drawn.size}v${drawn.size}H0z`} />
      <path class="qr-ink" d={drawn.path} />
    </svg>
  );
}

async function draw(text: string): Promise<Drawn> {
  const { encode } = await import("uqr");
  const { size, data } = encode(text, { ecc: "M", border: BORDER });
  const dark = data.flatMap((row, y) => row.flatMap((on, x) => (on ? [`M${x} ${y}h1v1h-1z`] : [])));
  return { size, path: dark.join("") };
}

/** The pictograms of a caution, each with what it stands for written below it. */
import { known, speakMore } from "../../../messages";
import english from "../../../messages/en.signs.ftl?raw";
import { BAR, FRAMES, SIGNS, type Sign } from "../../../ui/signs";

const spoken = speakMore("signs", english);

/** The part of a screen, once its words are there. */
export async function signs(): Promise<{ readonly Signs: typeof Signs }> {
  await spoken;
  return { Signs };
}

function Signs({ ids }: { readonly ids: readonly string[] }) {
  return (
    <ul class="signs">
      {ids.map((id) => {
        const sign = SIGNS[id];
        return (
          <li key={id}>
            {sign && <Drawing sign={sign} />}
            {known(`sign-${id}`, id)}
          </li>
        );
      })}
    </ul>
  );
}

function Drawing({ sign: { frame, d } }: { readonly sign: Sign }) {
  return (
    <svg class="sign" data-frame={frame} viewBox="0 0 48 48" aria-hidden="true">
      <path class="sign-frame" d={FRAMES[frame]} />
      <path class="sign-symbol" fill-rule="evenodd" d={d} />
      {frame === "forbids" && <path class="sign-bar" d={BAR} />}
    </svg>
  );
}

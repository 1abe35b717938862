/** A photo of the record: small beside its line, whole when it is pressed. */
import { useRef, useState } from "preact/hooks";
import { t } from "../../messages";
import { usePicture } from "../../state/picture";

export function Photo({ sha256, of }: { readonly sha256: string; readonly of: string }) {
  const address = usePicture(sha256);
  const [lacking, setLacking] = useState(false);
  const whole = useRef<HTMLDialogElement>(null);
  if (!address) return null;
  if (lacking) return <p class="whose">{t("photo-lacking", { of })}</p>;
  const picture = t("photo-of", { of });
  return (
    <>
      <button type="button" class="photo-small" onClick={() => whole.current?.showModal()}>
        <img src={address} alt={picture} onError={() => setLacking(true)} />
      </button>
      <dialog class="photo-whole" aria-label={picture} ref={whole}>
        <img src={address} alt={picture} />
        <button type="button" class="press" onClick={() => whole.current?.close()}>
          {t("photo-close")}
        </button>
      </dialog>
    </>
  );
}

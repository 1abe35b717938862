/** A photo for the record: taken with the phone's own camera, shown at once, sent when there is a signal. */
import { useEffect, useState } from "preact/hooks";
import { t } from "../../../messages";
import { act, type Refused } from "../../../state/act";
import { addPhoto, unsentPhotos } from "../../../state/photos";
import { usePicture } from "../../../state/picture";
import { syncState } from "../../../sync";
import { RefusedWords } from "../read/RefusedWords";
import type { FieldProps } from "./fieldProps";

export function PhotoField({ run, step, entry, field }: FieldProps) {
  const [refused, setRefused] = useState<Refused | null>(null);
  const [wrong, setWrong] = useState(false);
  const add = async (input: HTMLInputElement) => {
    const [file] = input.files ?? [];
    if (!file) return;
    setWrong(false);
    const typed = await addPhoto(step.id, file);
    const answer = await act("enter", { step: step.id, field: entry.id, typed });
    setRefused(answer.ok ? null : answer);
    input.value = "";
  };
  return (
    <>
      {field.value && <Picture sha256={field.value} label={entry.label} />}
      {run.view.status === "open" && (
        <label class="press file">
          {t(field.value ? "photo-again" : "photo-take")}
          <input
            type="file"
            class="unseen"
            accept="image/*"
            capture="environment"
            onChange={(event) =>
              void add(event.currentTarget).catch((error: unknown) => {
                console.error(error);
                setWrong(true);
              })
            }
          />
        </label>
      )}
      {wrong && (
        <p class="wrong" role="alert">
          {t("photo-wrong")}
        </p>
      )}
      {refused && <RefusedWords run={run} refused={refused} />}
    </>
  );
}

function Picture({ sha256, label }: { readonly sha256: string; readonly label: string }) {
  const address = usePicture(sha256);
  const [waits, setWaits] = useState(false);
  useEffect(() => {
    unsentPhotos().then((hashes) => setWaits(hashes.includes(sha256)), reportError);
  }, [sha256, syncState.value.lastReached]);
  return (
    <figure class="photo">
      {address && <img src={address} alt={label} />}
      <figcaption class="whose">{t(waits ? "photo-waits" : "photo-sent")}</figcaption>
    </figure>
  );
}

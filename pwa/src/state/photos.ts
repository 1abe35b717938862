/** Photos: the log keeps the picture, the record names it by its hash, the sync sends it after the record. */
import { current } from "../identity";
import { append, keepPhoto } from "../log";
import { inTurn, session, takeSaved } from "./run";
import { save } from "./saving";

export { unsentPhotos } from "../log";

/** Keeps a picture, records that it was added to a step, and gives its hash. */
export async function addPhoto(step: string, picture: Blob): Promise<string> {
  const kept = await keepPhoto(picture);
  await inTurn(async () => {
    const run = session.peek()?.id;
    const person = current.peek();
    if (!run || !person) throw new Error("no run is open");
    const data = { step, ...kept };
    const draft = { type: "photo.added", subject: `/runs/${run}`, person: person.id, data };
    const event = await save(() => append(draft));
    await takeSaved(run, event);
  });
  return kept.sha256;
}

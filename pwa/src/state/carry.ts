/** Records carried from phone to phone as text. */
import { NotAccepted } from "../log";
import { importText } from "../log/carry";

export { exportRun, exportUnsent } from "../log/carry";

type Taken = { readonly taken: number; readonly held: number };

/** Takes in what another phone wrote; where the text is no set of records, `wrong` says why and nothing is taken. */
export async function takeIn(text: string): Promise<Taken | { readonly wrong: string }> {
  try {
    return await importText(text);
  } catch (error) {
    if (!(error instanceof NotAccepted)) throw error;
    return { wrong: error.message };
  }
}

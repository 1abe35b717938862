/** A record about a run is made where the run is held whole; an older run is asked for first. */
import { openRun, session } from "../../state/run";
import { fetchRun, syncNow } from "../../sync";

export async function onThisDevice(id: string): Promise<boolean> {
  await openRun(id);
  if (session.peek()?.id === id && session.peek()?.live) return true;
  await fetchRun(id);
  await syncNow();
  await openRun(id);
  return session.peek()?.id === id;
}

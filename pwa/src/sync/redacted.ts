/** What the loop does when a redaction arrives, loaded only then. It imports nothing of the page and is handed `page`. */
import { evict } from "../api/evict";
import type { StoredEvent } from "../log";
import * as log from "../log/redacted";
import type { Page } from "./page";

/** Takes out what these events say that must go, before the cursor moves past them: whatever ends the page, it goes. */
export async function takeOut(page: Page, events: readonly StoredEvent[]): Promise<void> {
  for (const photo of await log.takeOut(page, events)) {
    try {
      await evict(photo);
    } catch (cause) {
      throw new page.NoNetwork("the server was not reached", { cause });
    }
  }
}

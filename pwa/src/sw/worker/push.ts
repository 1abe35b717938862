/** What a push message carries, as the server's desk writes it. */
type Notice = {
  readonly title: string;
  readonly body?: string;
  readonly url?: string;
  readonly tag?: string;
};

import { SYNC } from "../message";

/** Shows the message and lets open pages fetch what it is about. */
export async function onPush(scope: ServiceWorkerGlobalScope, data: PushMessageData | null): Promise<void> {
  const notice = read(data);
  await tellPages(scope, SYNC);
  const { title, url, ...shown } = notice;
  await scope.registration.showNotification(title, { ...shown, data: { url: url ?? "/" } });
}

/** Brings the page forward at the place the message is about, or opens it there. */
export async function onNotificationClick(
  scope: ServiceWorkerGlobalScope,
  clicked: Notification,
): Promise<void> {
  clicked.close();
  const url = new URL(String((clicked.data as { url?: string } | null)?.url ?? "/"), scope.location.origin);
  if (url.origin !== scope.location.origin) return;
  const [open] = await scope.clients.matchAll({ type: "window" });
  if (!open) {
    await scope.clients.openWindow(url.href);
    return;
  }
  await open.focus();
  await open.navigate(url.href);
}

async function tellPages(scope: ServiceWorkerGlobalScope, word: string): Promise<void> {
  const pages = await scope.clients.matchAll({ type: "window", includeUncontrolled: true });
  for (const page of pages) page.postMessage(word);
}

function read(data: PushMessageData | null): Notice {
  const value: unknown = fromJson(data?.text() ?? "");
  return isNotice(value) ? value : { title: "Vesselside" };
}

function fromJson(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined; // not the desk's form: shown under our own name alone
  }
}

function isNotice(value: unknown): value is Notice {
  return typeof value === "object" && value !== null && "title" in value && typeof value.title === "string";
}

/**
 * What the office has a phone told while the app is shut (Push API): shown, and when pressed, opened where it is answered.
 *
 * A message is `{kind, open, about, tag}`; of one tag a phone shows one. Whatever comes, something is shown: a browser
 * takes the permission back from an app that says nothing.
 */
import { FluentBundle, FluentResource } from "@fluent/bundle";
import english from "../messages/en.notices.ftl?raw";
import { OPEN, PUSHED } from "./message";

type Notice = {
  readonly kind: string;
  readonly open: readonly string[];
  readonly about: string;
  readonly tag: string;
};

declare const self: ServiceWorkerGlobalScope;

const UNKNOWN: Notice = { kind: "other", open: [], about: "", tag: "other" };
const words = new FluentBundle(["en-GB"], { useIsolating: false });
words.addResource(new FluentResource(english));

function said(id: string, about: string): string {
  const pattern = (words.getMessage(id) ?? words.getMessage("notice-other"))?.value;
  return pattern ? words.formatPattern(pattern, { about, named: about === "" ? "no" : "yes" }) : "";
}

function read(data: PushMessageData | null): Notice {
  try {
    const told: unknown = data?.json();
    return isNotice(told) ? told : UNKNOWN;
  } catch {
    return UNKNOWN; // no JSON: what it meant stands in the app
  }
}

function isNotice(value: unknown): value is Notice {
  if (typeof value !== "object" || value === null) return false;
  const { kind, open, about, tag } = value as Record<string, unknown>;
  const texts = Array.isArray(open) && open.every((part) => typeof part === "string");
  return texts && [kind, about, tag].every((text) => typeof text === "string");
}

async function show(data: PushMessageData | null): Promise<void> {
  const { kind, open, about, tag } = read(data);
  await self.registration.showNotification(said(`notice-${kind}`, about), {
    tag,
    data: { open },
    icon: "/icons/icon-192.png",
    requireInteraction: kind === "hold-over",
  });
  for (const page of await pages()) page.postMessage(PUSHED);
}

const pages = () => self.clients.matchAll({ type: "window", includeUncontrolled: true });

async function go(notice: Notification): Promise<void> {
  notice.close();
  const open: unknown = notice.data?.open;
  const parts = Array.isArray(open) ? open.map(String) : [];
  const [page] = await pages();
  if (!page) {
    await self.clients.openWindow(`/#/${parts.map(encodeURIComponent).join("/")}`);
    return;
  }
  page.postMessage({ [OPEN]: parts });
  await page.focus();
}

export function tellNotices(): void {
  self.addEventListener("push", (event) => event.waitUntil(show(event.data)));
  self.addEventListener("notificationclick", (event) => event.waitUntil(go(event.notification)));
}

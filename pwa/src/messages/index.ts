/**
 * Every word of the screens comes from a Fluent catalogue: `t(id, arguments)`.
 *
 * English travels with the app and is the fallback. Another language is one file beside it, `<language>.ftl`
 * (and `<language>.desk.ftl` and so on), picked by the phone's own language.
 */
import { FluentBundle, FluentResource, type FluentVariable } from "@fluent/bundle";
import english from "./en.ftl?raw";

export type Words = Readonly<Record<string, FluentVariable>>;

const others = import.meta.glob<string>(["./*.ftl", "!./en*.ftl"], {
  query: "?raw",
  import: "default",
});
const language = navigator.language.split("-")[0] ?? "en";
const fallback = new FluentBundle(["en-GB"], { useIsolating: false });
let own = fallback;

add(fallback, english);

function add(bundle: FluentBundle, text: string, allowOverrides = false): void {
  const [fault] = bundle.addResource(new FluentResource(text), { allowOverrides });
  if (fault) throw fault;
}

/** Loads the phone's language where there is a catalogue for it, and turns the page to its direction. */
export async function speak(): Promise<void> {
  const load = others[`./${language}.ftl`];
  if (load) {
    const bundle = new FluentBundle([navigator.language], { useIsolating: true });
    add(bundle, await load());
    own = bundle;
  }
  document.documentElement.lang = load ? language : "en";
  document.documentElement.dir = t("direction");
}

/**
 * Adds a catalogue that is loaded only with the screens that speak it: `<language>.<part>.ftl`, in English `words`.
 * Several screens may add the same one.
 */
export async function speakMore(part: string, words: string): Promise<void> {
  add(fallback, words, true);
  const load = others[`./${language}.${part}.ftl`];
  if (load) add(own, await load(), true);
}

export function t(id: string, words?: Words): string {
  const bundle = own.hasMessage(id) ? own : fallback;
  const pattern = bundle.getMessage(id)?.value;
  if (!pattern) throw new Error(`no message ${id}`);
  return bundle.formatPattern(pattern, words ?? null);
}

/** The message, or `otherwise` where the catalogue has none: for ids that come with the data, such as a vessel's kind. */
export function known(id: string, otherwise: string): string {
  return own.hasMessage(id) || fallback.hasMessage(id) ? t(id) : otherwise;
}

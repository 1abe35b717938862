/** What was administered, as sentences: what was done, and who did it. */
import { known, t } from "../../messages";
import type { Administered, Named } from "../../shapes";
import { ADMINISTRATION_KIND } from "../../shapes/later";

/** Of a kind that this version does not know, only its name is told. */
const KINDS = new Set<string>(ADMINISTRATION_KIND);

const text = (value: unknown): string =>
  typeof value === "string" || typeof value === "number" ? String(value) : "";
const texts = (value: unknown): readonly string[] => (Array.isArray(value) ? value.map(text) : []);

/** A name as it is now; someone whose name was forgotten, or is not known, is their id. */
const nameOf = (one: Named | null): string => one?.name ?? one?.id ?? "";

export function whatWas(row: Administered): string {
  const { kind, data } = row;
  const words = {
    person: nameOf(row.person),
    device: nameOf(row.device) || text(data.name),
    role: known(`role-${text(data.role)}`, text(data.role)),
    kinds: texts(data.kinds)
      .map((each) => known(`secret-${each}`, each))
      .join(t("and")),
    code: codeName(data.code),
    name: text(data.name),
    tries: text(data.tries),
    reason: text(data.reason),
    how: known(`way-in-${text(data.how)}`, text(data.how)),
    id: text(data.id),
    value: text(data.value),
    version: text(data.version),
  };
  const key = `admin-${kind.replace(".", "-")}`;
  if (kind === "person.changed") return changes(texts(data.changed), words);
  if (kind === "device.enrolled") return enrolled(t(words.code ? `${key}-code` : key, words), data.lost);
  if (kind === "sign-in.refused")
    return t(`${key}${row.person ? "-as" : ""}${row.device ? "-on" : ""}`, words);
  if (kind === "event.redacted") return t(redactedKey(key, row), words);
  return KINDS.has(kind) ? t(key, words) : t("admin-unknown", { kind });
}

const redactedKey = (key: string, { data, person }: Administered): string =>
  `${key}${data.photo ? "-photo" : ""}${person ? "-asked" : ""}`;

/** A phone whose storage was lost says so when it is enrolled again. */
function enrolled(sentence: string, lost: unknown): string {
  if (typeof lost !== "object" || lost === null) return sentence;
  const { records, device } = lost as { records?: unknown; device?: unknown };
  const words = { count: typeof records === "number" ? records : 0, was: text(device) };
  return `${sentence} ${t(words.was ? "admin-device-lost" : "admin-device-lost-unknown", words)}`;
}

function changes(what: readonly string[], words: Readonly<Record<string, string>>): string {
  if (what.length === 0) return t("admin-person-changed", words);
  return what.map((each) => t(`admin-person-changed-${each}`, words)).join(" ");
}

const codeName = (code: unknown): string =>
  typeof code === "object" && code !== null && "name" in code ? text(code.name) : "";

/** Who did it, where it says so. */
export function whoDid({ by }: Administered): string {
  return by === null ? t("admin-by-nobody") : known(`admin-by-${by.id}`, nameOf(by));
}

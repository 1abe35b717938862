// Turns the JSON Schema of the shapes, on standard input, into TypeScript, on standard output: every shape read-only all
// the way down, and every closed list as values too. `python -m tests.shapes.make` calls it.
import { text } from "node:stream/consumers";
import { compile } from "json-schema-to-typescript";

/** @type {{ $defs: Record<string, any> }} */
const { $defs } = JSON.parse(await text(process.stdin));
const names = Object.keys($defs).sort();
const lists = names.filter((name) => $defs[name].enum);
const shapes = names.filter((name) => !$defs[name].enum);
// What the page does not need at once: the values are a module of their own, asked for by the argument `later`, since a module that
// the page needs is loaded whole.
const LATER = ["EventKind", "AdministrationKind", "Deed", "ProposalPlace"];

/**
 * The schema as the generator's older draft says it: a pair of a known length, an object of anything.
 * @param {any} part
 * @returns {any}
 */
const older = (part) => {
  if (Array.isArray(part)) return part.map(older);
  if (typeof part !== "object" || part === null) return part;
  const { prefixItems, items, ...rest } = Object.fromEntries(
    Object.entries(part).map(([key, value]) => [key, older(value)]),
  );
  if (rest.type === "object" && !rest.properties && rest.additionalProperties === undefined) {
    return { ...rest, tsType: "Record<string, unknown>" };
  }
  if (prefixItems) return { ...rest, items: prefixItems, additionalItems: false };
  return items === undefined ? rest : { ...rest, items };
};

/** @type {import("json-schema-to-typescript").JSONSchema} */
const root = {
  title: "Every",
  type: "object",
  properties: Object.fromEntries(shapes.map((name) => [name, { $ref: `#/$defs/${name}` }])),
  $defs: older($defs),
};
const made = await compile(root, "Every", {
  additionalProperties: false,
  bannerComment: "",
  format: false,
  unreachableDefinitions: true,
});

// which definition a type comes from is said by its name
const told =
  /\n?( \*\n)? \* This interface was referenced by `Every`'s JSON-Schema\n \* via the `definition` "\w+"\./g;
const types = made
  .replace(told, "")
  .replaceAll("/**\n */\n", "")
  .replaceAll("\n * \n */", "\n */")
  .replace(/^export type \w+ = \(".*\)\n/gm, "")
  .replace(/export interface Every \{.*?\n\}\n?/s, "");

/** @param {string} name */
const constant = (name) => name.replace(/(?<=[a-z])(?=[A-Z])/g, "_").toUpperCase();
/** @param {string} name */
const values = (name) => `export const ${constant(name)} = ${JSON.stringify($defs[name].enum)} as const;`;
const lines = [
  "/** Made from the core's and the office's stubs by `python -m tests.shapes.make`; not to be edited. */",
  "",
  'import type { DeepReadonly } from "./readonly";',
  "",
  "declare namespace made {",
  types.trim(),
  "}",
  "",
  ...shapes.map((name) => `export type ${name} = DeepReadonly<made.${name}>;`),
  "",
  ...lists.flatMap((name) =>
    LATER.includes(name)
      ? [
          `export type ${name} = ${$defs[name].enum.map((/** @type {string} */ one) => `"${one}"`).join(" | ")};`,
        ]
      : [values(name), `export type ${name} = (typeof ${constant(name)})[number];`],
  ),
];
const later = [lines[0], "", ...LATER.map(values)];
process.stdout.write(`${(process.argv[2] === "later" ? later : lines).join("\n")}\n`);

/** A reading in the reader's own writing. The text is never turned into a number here: the core alone does that. */

const parts = new Intl.NumberFormat(navigator.language).formatToParts(1.5);

/** The decimal mark of this phone's region, "." or ",". The core takes both. */
export const decimalMark = parts.find((part) => part.type === "decimal")?.value ?? ".";

/** Canonical decimal text ("-4.75") as this region writes it ("−4,75"). Any other text stays as it is. */
export function figure(text: string): string {
  return /^-?\d+(\.\d+)?$/.test(text) ? text.replace(".", decimalMark).replace("-", "−") : text;
}

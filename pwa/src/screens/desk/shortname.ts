/** The id of a thing from its name: "Bench Pale" is "bench-pale". */
export const shortName = (name: string): string =>
  name
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "-")
    .slice(0, 64)
    .replace(/^-|-$/g, "");

/** The shapes of what the core and the office hand out, made from the stubs they are typed by: types, and closed lists. */
export * from "./made";

/** What page and worker say to each other: JSON text inside, never a number or an object of the core's. */
export type Asked = { readonly id: number; readonly name: string; readonly args: string };
export type Told =
  | { readonly kind: "ready" }
  | { readonly kind: "answer"; readonly id: number; readonly text: string }
  | { readonly kind: "lost"; readonly text: string };

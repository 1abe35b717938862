/** A value and all that is in it, none of which its reader changes. */
export type DeepReadonly<T> = T extends readonly unknown[] | object
  ? { readonly [Key in keyof T]: DeepReadonly<T[Key]> }
  : T;

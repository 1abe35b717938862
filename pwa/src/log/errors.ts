/** The record was not saved on this phone. Blocking: the person must be told before anything else. */
export class NotSaved extends Error {
  override readonly name = "NotSaved";
}

/** The draft breaks one of the record's own limits; it was given no number and nothing was written. */
export class NotAccepted extends Error {
  override readonly name = "NotAccepted";
  readonly code: "too-large" | "too-deep" | "bad-text" | "bad-number" | "bad-value" | "bad-signature";

  constructor(code: NotAccepted["code"], text: string, options?: ErrorOptions) {
    super(text, options);
    this.code = code;
  }
}

/** This phone lacks its key or its log; it must be enrolled again before it can record. */
export class NotEnrolled extends Error {
  override readonly name = "NotEnrolled";

  constructor() {
    super("this phone is not enrolled");
  }
}

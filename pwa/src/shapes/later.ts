/** Made from the core's and the office's stubs by `python -m tests.shapes.make`; not to be edited. */

export const EVENT_KIND = [
  "run.opened",
  "caution.met",
  "entry.made",
  "entry.settled",
  "step.done",
  "step.skipped",
  "hold.started",
  "hold.ended",
  "sign.given",
  "note.added",
  "photo.added",
  "deviation.raised",
  "deviation.answered",
  "struck",
  "run.finished",
  "run.abandoned",
  "run.reviewed",
] as const;

/** What a phone loads only when it is asked for, in one piece: sums, instruments, pictograms, the paper copy, carrying records. */
import { speakMore } from "../messages";
import english from "../messages/en.later.ftl?raw";

export { standing } from "./now/instrument";
export { Carry } from "./phone/Carry";
export { signs } from "./run/caution/Signs";
export { ready } from "./run/enter/With";
export { Sheet } from "./run/Sheet";
export { Sums } from "./sums/Sums";

export const spoken = speakMore("later", english);

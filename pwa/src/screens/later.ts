/** What a phone loads only when it is asked for, in one piece: what can be begun, what is looked for, sums, instruments, pictograms, what a run asks in words, paper, carrying, what to trust, the phone itself and its enrolling. */
import { speakMore } from "../messages";
import english from "../messages/en.later.ftl?raw";

export { followNotices } from "../state/notices";
export { Emergency } from "./alarm/Emergency";
export { Enrol } from "./enrol/Enrol";
export { Recovered } from "./enrol/Recovered";
export { Find } from "./find/Find";
export { standing } from "./now/instrument";
export { Carry } from "./phone/Carry";
export { Phone } from "./phone/Phone";
export { Trust } from "./phone/Trust";
export { DueNow, Elsewhere, Startable } from "./plant/Next";
export { Start } from "./plant/Start";
export { Answer, Deviate, Note, Skip, Strike } from "./run/ask/Asking";
export { Override } from "./run/ask/Override";
export { Settle } from "./run/ask/Settle";
export { Sign } from "./run/ask/Sign";
export { signs } from "./run/caution/Signs";
export { Abandon } from "./run/close/Abandon";
export { ready } from "./run/enter/With";
export { More } from "./run/More";
export { Sheet } from "./run/Sheet";
export { Shift } from "./shift/Shift";
export { Sums } from "./sums/Sums";

export const spoken = speakMore("later", english);

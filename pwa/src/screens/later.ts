/** What a phone loads only when it is asked for, in one piece: sums, the choice of instruments, carrying records. */
export { Carry } from "./phone/Carry";
export { ready, standing } from "./run/With";
export { Sums } from "./sums/Sums";

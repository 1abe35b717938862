/** What a phone loads only when it is asked for, in one piece: sums, instruments, pictograms, carrying records. */
export { Carry } from "./phone/Carry";
export { signs } from "./run/Signs";
export { ready, standing } from "./run/With";
export { Sums } from "./sums/Sums";

/** A server's first brewery: whether there is one, and beginning it in this browser, which then becomes its desk. */
import { read, send } from "../api";
import { enrol } from "./device";

type Fields = Readonly<Record<string, unknown>>;
const isFields = (value: unknown): value is Fields => typeof value === "object" && value !== null;
const isBegins = (value: unknown): value is { begun: boolean } =>
  isFields(value) && typeof value.begun === "boolean";
const isBegunAnswer = (value: unknown): value is { code: string } =>
  isFields(value) && typeof value.code === "string";

/** The brewery's name and its manager's, their secrets, what this browser is to be called, and the server's code. */
export type Beginning = Readonly<Record<"code" | "name" | "manager" | "pin" | "password" | "device", string>>;

/** Whether the server has a brewery; what cannot be asked now is taken to be so. */
export const isBegun = (): Promise<boolean> =>
  read("/api/brewery", isBegins).then(
    ({ begun }) => begun,
    () => true,
  );

/** Begins the brewery, and enrols this browser with it. */
export async function begin(beginning: Beginning): Promise<void> {
  const { code } = await send("POST", "/api/brewery", beginning, isBegunAnswer);
  await enrol(code, beginning.device);
}

/**
 * The journal's folder in the origin private file system.
 *
 *   <begun>-<random>.jsonl    one a tab's life: a line a record, the text that was signed
 *   <name>-<made>.kept        what is kept beside them: written whole, the newest that is whole counts
 *
 * 1. A line is a record once its end of line is there; what follows the last one was cut short and counts as nothing.
 * 2. Nothing is written behind a cut: each life begins a file of its own.
 * 3. The browser lets nobody delete a file that a tab writes on.
 */
import type { KeptName, LastLine, Old, Read } from "../protocol";

const FOLDER = "journal";
const LINES = ".jsonl";
const KEPT = ".kept";
const NAMES: readonly KeptName[] = ["enrolled", "reference", "others"];
/** More than the longest record. */
const TAIL_BYTES = 200_000;

const encoder = new TextEncoder();
let opened: Promise<FileSystemDirectoryHandle> | null = null;
let mine: FileSystemSyncAccessHandle | null = null;

/** Fails as NotSupportedError where the engine lacks what a journal needs. */
function folder(): Promise<FileSystemDirectoryHandle> {
  opened ??= open();
  return opened;
}

async function open(): Promise<FileSystemDirectoryHandle> {
  if (!navigator.storage?.getDirectory || !("createSyncAccessHandle" in FileSystemFileHandle.prototype))
    throw new DOMException("this browser has no private files to write on", "NotSupportedError");
  const root = await navigator.storage.getDirectory();
  return root.getDirectoryHandle(FOLDER, { create: true });
}

/** Appends to this life's own file, all or nothing. */
export async function write(text: string): Promise<void> {
  mine ??= await create(`${stamp()}-${crypto.randomUUID()}${LINES}`);
  append(mine, text);
}

async function create(name: string): Promise<FileSystemSyncAccessHandle> {
  const file = await (await folder()).getFileHandle(name, { create: true });
  return file.createSyncAccessHandle();
}

function append(handle: FileSystemSyncAccessHandle, text: string): void {
  const bytes = encoder.encode(text);
  const at = handle.getSize();
  try {
    if (handle.write(bytes, { at }) !== bytes.length)
      throw new DOMException("the file took only a part", "QuotaExceededError");
    handle.flush();
  } catch (error) {
    if (handle === mine) mine = null; // what comes next goes to another file
    handle.close();
    throw error;
  }
}

const stamp = (): string => Date.now().toString().padStart(14, "0");

async function files(end: string): Promise<FileSystemFileHandle[]> {
  const found: FileSystemFileHandle[] = [];
  for await (const handle of (await folder()).values())
    if (handle.kind === "file" && handle.name.endsWith(end)) found.push(handle as FileSystemFileHandle);
  return found.sort((a, b) => (a.name < b.name ? -1 : 1));
}

/** What a file is now; null for one that another tab has just deleted. */
async function fileOf(handle: FileSystemFileHandle): Promise<File | null> {
  try {
    return await handle.getFile();
  } catch (error) {
    if ((error as DOMException).name === "NotFoundError") return null;
    throw error;
  }
}

/** The texts of whole lines. */
function whole(text: string): string[] {
  return text
    .slice(0, text.lastIndexOf("\n") + 1)
    .split("\n")
    .slice(0, -1);
}

type Named = { readonly id: string; readonly source: string; readonly number: number };

function named(line: string): Named | null {
  let value: unknown;
  try {
    value = JSON.parse(line);
  } catch {
    return null; // no record: it was cut short, or is none
  }
  const { id, source, number } = (value ?? {}) as Partial<Named>;
  if (typeof id !== "string" || typeof source !== "string" || typeof number !== "number") return null;
  return { id, source, number };
}

export async function last(source: string): Promise<LastLine> {
  let highest = 0;
  for (const handle of await files(LINES)) {
    const file = await fileOf(handle);
    const lines = whole((await file?.slice(-TAIL_BYTES).text()) ?? "");
    for (const line of lines.reverse()) {
      const found = named(line);
      if (found?.source !== source) continue;
      highest = Math.max(highest, found.number);
      break;
    }
  }
  return highest > 0 ? { number: highest } : null;
}

export async function read(): Promise<Read> {
  const lines: string[] = [];
  let torn = 0;
  for (const handle of await files(LINES)) {
    const text = (await (await fileOf(handle))?.text()) ?? "";
    for (const line of whole(text)) {
      if (named(line)) lines.push(line);
      else torn += 1;
    }
    if (text !== "" && !text.endsWith("\n")) torn += 1;
  }
  return { lines, torn, kept: await kept() };
}

async function kept(): Promise<Read["kept"]> {
  const found: { [name in KeptName]?: string } = {};
  for (const handle of await files(KEPT)) {
    const text = (await (await fileOf(handle))?.text()) ?? "";
    const name = NAMES.find((each) => handle.name.startsWith(`${each}-`));
    if (name && text.endsWith("\n")) found[name] = text.slice(0, -1);
  }
  return found;
}

export async function names(): Promise<KeptName[]> {
  const held = await files(KEPT);
  return NAMES.filter((name) => held.some((handle) => handle.name.startsWith(`${name}-`)));
}

export async function put(name: KeptName, text: string): Promise<void> {
  const before = (await files(KEPT)).filter((handle) => handle.name.startsWith(`${name}-`));
  if (text !== "") {
    const handle = await create(`${name}-${stamp()}-${crypto.randomUUID()}${KEPT}`);
    append(handle, `${text}\n`);
    handle.close();
  }
  for (const handle of before) await remove(handle.name);
}

export async function old(before: number): Promise<Old[]> {
  const found: Old[] = [];
  for (const handle of await files(LINES)) {
    const file = await fileOf(handle);
    if (!file || file.lastModified >= before) continue;
    const lines = whole(await file.text());
    found.push({ file: handle.name, ids: lines.flatMap((line) => named(line)?.id ?? []) });
  }
  return found;
}

/**
 * Takes lines out: the others of their file are written to a new one before it goes, and this life goes on in another.
 * What is kept of others is made again from the database.
 */
export async function without(ids: ReadonlySet<string>): Promise<void> {
  mine?.close();
  mine = null;
  for (const handle of await files(LINES)) {
    const lines = whole(await (await handle.getFile()).text());
    const left = lines.filter((line) => !ids.has(named(line)?.id ?? ""));
    if (left.length === lines.length) continue;
    const [begun] = handle.name.split("-");
    if (left.length > 0) {
      const copy = await create(`${begun}-${crypto.randomUUID()}${LINES}`);
      append(copy, left.map((line) => `${line}\n`).join(""));
      copy.close();
    }
    await remove(handle.name);
  }
  await put("others", "");
}

/** Deletes a file, unless a tab writes on it. */
export async function remove(file: string): Promise<void> {
  try {
    await (await folder()).removeEntry(file);
  } catch (error) {
    const { name } = error as DOMException;
    if (name !== "NoModificationAllowedError" && name !== "NotFoundError") throw error;
  }
}

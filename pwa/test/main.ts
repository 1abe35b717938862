/** Puts the inner modules where a browser test can reach them. Never part of the shipped app. */
import * as api from "../src/api";
import { sendPhoto } from "../src/api/upload";
import * as engine from "../src/engine";
import * as identity from "../src/identity";
import * as log from "../src/log";
import { canonical, checkValue } from "../src/log/canonical";
import * as carry from "../src/log/carry";
import * as clock from "../src/log/clock";
import { makeKey } from "../src/log/key";
import { uuid7 } from "../src/log/uuid";
import * as sw from "../src/sw";
import * as sync from "../src/sync";
import * as deciding from "../src/sync/decide";
import * as heads from "../src/sync/heads";

const parts = {
  api: { ...api, sendPhoto: (sha256: string, photo: Blob) => sendPhoto(api, sha256, photo) },
  clock,
  deciding,
  engine,
  heads,
  identity,
  log: { ...log, ...carry },
  sw,
  sync,
  record: { canonical, checkValue, makeKey, uuid7 },
};

declare global {
  interface Window {
    parts: typeof parts;
  }
}

window.parts = parts;

// The whole build of the front end: core pack, app, service worker with its precache list, compressed copies, sizes.
import { spawnSync } from "node:child_process";
import { rmSync } from "node:fs";
import { dirname, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "vite";
import { injectManifest } from "workbox-build";
import { compress } from "./compress.mjs";
import { report } from "./sizes.mjs";

const pwa = resolve(dirname(fileURLToPath(import.meta.url)), "..");
process.chdir(pwa);

const packed = spawnSync(resolve(pwa, "../.venv/bin/python"), ["tools/pack_core.py"], { stdio: "inherit" });
if (packed.error) throw packed.error;
if (packed.status !== 0) process.exit(1);

rmSync("dist", { recursive: true, force: true });
await build({ configFile: "vite.config.ts", logLevel: "warn" });
await build({ configFile: "vite.sw.config.ts", logLevel: "warn" });

const { count, warnings } = await injectManifest({
  swSrc: "build/sw/sw.js",
  swDest: "dist/sw.js",
  globDirectory: "dist",
  globPatterns: ["**/*.{html,js,css,wasm,pack,woff2,svg,png,ico,webmanifest}"],
  globIgnores: ["sw.js", "screenshots/**", "icons/icon-512.png"], // the last is read on installing, with a signal
  dontCacheBustURLsMatching: /^assets\//, // their names carry a content hash already
  maximumFileSizeToCacheInBytes: 1_000_000,
});
if (warnings.length > 0) throw new Error(warnings.join("\n"));

compress("dist");
console.log(`${count} files kept on the phone`);
report("dist");

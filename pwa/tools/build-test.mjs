// The browser tests' own page, with the core and the real service worker, in build/test.
import { spawnSync } from "node:child_process";
import { dirname, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "vite";
import { injectManifest } from "workbox-build";

const pwa = resolve(dirname(fileURLToPath(import.meta.url)), "..");
process.chdir(pwa);

const packed = spawnSync(resolve(pwa, "../.venv/bin/python"), ["tools/pack_core.py"], { stdio: "inherit" });
if (packed.error) throw packed.error;
if (packed.status !== 0) process.exit(1);

await build({ configFile: "vite.test.config.ts", logLevel: "warn" });
await build({ configFile: "vite.sw.config.ts", logLevel: "warn" });
await injectManifest({
  swSrc: "build/sw/sw.js",
  swDest: "build/test/sw.js",
  globDirectory: "build/test",
  globPatterns: ["**/*.{html,js,wasm,pack}"],
  globIgnores: ["sw.js"],
  dontCacheBustURLsMatching: /^assets\//,
  maximumFileSizeToCacheInBytes: 1_000_000,
});

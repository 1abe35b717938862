import { existsSync, readFileSync, statSync } from "node:fs";
import { relative } from "node:path";
import { filesBelow } from "./compress.mjs";

const PAGE_TARGET = 60_000; // gzip: the script that the page loads before anything is asked for
const PRECACHE_TARGET = 450_000; // brotli: all that a phone waits for on installing
const OFFICE = /\/Desk-[^/]+$/; // the desk's parts, kept once the page has started; as in src/sw/sw.ts

/** The scripts a page loads at once: those its HTML names and what they import statically. @param {string} folder */
function pageScripts(folder) {
  const html = readFileSync(`${folder}/index.html`, "utf8");
  const wanted = [...html.matchAll(/(?:src|href)="\/(assets\/[^"]+\.js)"/g)].map((found) => found[1] ?? "");
  const seen = new Set();
  for (let name = wanted.pop(); name !== undefined; name = wanted.pop()) {
    if (seen.has(name)) continue;
    seen.add(name);
    const code = readFileSync(`${folder}/${name}`, "utf8");
    for (const found of code.matchAll(/(?:\bfrom|\bimport)\s*"\.\/([^"]+\.js)"/g))
      wanted.push(`assets/${found[1]}`);
  }
  return seen;
}

/** The size of a file as it travels. @param {string} path @param {string} coding */
function sent(path, coding) {
  return statSync(existsSync(path + coding) ? path + coding : path).size;
}

/** Prints what the phone downloads, beside the targets. @param {string} folder */
export function report(folder) {
  const page = pageScripts(folder);
  const kept = readFileSync(`${folder}/sw.js`, "utf8");
  let pageSum = 0;
  let keptSum = 0;
  let officeSum = 0;
  console.log("   gzip  brotli  file");
  for (const path of filesBelow(folder)) {
    if (/\.(br|gz)$/.test(path)) continue;
    const name = relative(folder, path);
    const gzip = sent(path, ".gz");
    const brotli = sent(path, ".br");
    if (page.has(name)) pageSum += gzip;
    if (OFFICE.test(name)) officeSum += brotli;
    else if (kept.includes(`"${name}"`)) keptSum += brotli;
    console.log(`${String(gzip).padStart(7)} ${String(brotli).padStart(7)}  ${name}`);
  }
  console.log(
    `page code ${pageSum} B gzip (target ${PAGE_TARGET}), kept on installing ${keptSum} B brotli (target ${PRECACHE_TARGET}), the desk later ${officeSum} B`,
  );
}

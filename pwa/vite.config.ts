import { readFile } from "node:fs/promises";
import { defineConfig, type Plugin } from "vite";

/**
 * MicroPython's loader also serves Node: it asks whether it runs there and then imports Node's modules. A phone never
 * does, so those branches are answered "no" here and drop out of the bundle. Tests under Node load the package as it is.
 */
function micropythonForBrowser(): Plugin {
  const answers: [RegExp, string][] = [
    [
      /ENVIRONMENT_IS_NODE=globalThis\.process\?\.versions\?\.node&&"renderer"!=globalThis\.process\?\.type,/,
      "",
    ],
    [/\bENVIRONMENT_IS_NODE\b/g, "!1"],
    [/"object"==typeof process&&"object"==typeof process\.versions&&/, "!1&&"],
    [/globalThis\.crypto=require\("crypto"\)/, "0"],
  ];
  return {
    name: "vesselside:micropython-for-browser",
    enforce: "pre",
    transform(code, id) {
      if (!id.split("?")[0]?.endsWith("/micropython.mjs")) return null;
      for (const [question, answer] of answers) {
        if (code.search(question) < 0)
          this.error(`micropython.mjs no longer holds ${question}: adapt vite.config.ts`);
        code = code.replace(question, answer);
      }
      return { code, map: null };
    },
  };
}

/** The catalogues travel without what only their writers read: comments, and the lines left empty between messages. */
function words(): Plugin {
  return {
    name: "vesselside:words",
    enforce: "pre",
    async load(id) {
      if (!id.endsWith(".ftl?raw")) return null;
      const text = await readFile(id.split("?")[0] ?? id, "utf8");
      const kept = text.split("\n").filter((line) => line.trim() !== "" && !line.startsWith("#"));
      return { code: `export default ${JSON.stringify(kept.join("\n"))}`, map: null };
    },
  };
}

export default defineConfig({
  base: "/",
  assetsInclude: ["**/*.pack"],
  oxc: { jsx: { runtime: "automatic", importSource: "preact" } },
  plugins: [words(), micropythonForBrowser()],
  worker: { format: "es", plugins: () => [micropythonForBrowser()] },
  build: {
    target: "es2022",
    outDir: "dist",
    emptyOutDir: true,
    assetsInlineLimit: 0, // an inlined asset would break the content security policy and be fetched with its page each time
    modulePreload: { polyfill: false },
    reportCompressedSize: false,
    rolldownOptions: { checks: { pluginTimings: false } },
  },
  server: { proxy: { "/api": "http://localhost:8000" } },
});

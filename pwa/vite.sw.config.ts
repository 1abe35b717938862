import { defineConfig } from "vite";

// The service worker is one classic script of its own: no chunk it would have to import while the phone has no signal.
export default defineConfig({
  publicDir: false,
  define: { "process.env.NODE_ENV": JSON.stringify("production") },
  build: {
    target: "es2022",
    outDir: "build/sw",
    emptyOutDir: true,
    reportCompressedSize: false,
    lib: { entry: "src/sw/sw.ts", formats: ["iife"], name: "vesselside", fileName: () => "sw.js" },
  },
});

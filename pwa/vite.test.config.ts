import { defineConfig, mergeConfig } from "vite";
import app from "./vite.config.ts";

// The page that browser tests drive: the app's own modules and worker, built the same way, kept out of the app.
export default mergeConfig(
  app,
  defineConfig({
    root: "test",
    publicDir: false,
    build: { outDir: "../build/test", emptyOutDir: true },
  }),
);

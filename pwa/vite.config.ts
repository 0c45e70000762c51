import { readdir, readFile, writeFile } from "node:fs/promises";
import { join, resolve } from "node:path";
import { brotliCompressSync, constants, gzipSync } from "node:zlib";
import type { Plugin } from "vite";
import { VitePWA } from "vite-plugin-pwa";
import { defineConfig } from "vitest/config";

/** During development the service runs beside Vite; the built app is served by the service itself. */
const service = process.env["WHETPANEL_SERVICE"] ?? "http://127.0.0.1:8000";

const worthBytes = 1024;

/** Writes file.br and file.gz beside each text file, once, so that the service never compresses while a phone waits. */
function precompress(): Plugin {
  let dist = "";
  return {
    name: "precompress",
    apply: "build",
    configResolved: (config) => {
      dist = resolve(config.root, config.build.outDir);
    },
    closeBundle: {
      order: "post",
      sequential: true,
      handler: async () => {
        const names = await readdir(dist, { recursive: true });
        for (const name of names.filter((one) => /\.(js|css|html|svg|webmanifest)$/.test(one))) {
          const plain = await readFile(join(dist, name));
          if (plain.length < worthBytes) continue;
          const size = { [constants.BROTLI_PARAM_SIZE_HINT]: plain.length };
          await writeFile(join(dist, `${name}.br`), brotliCompressSync(plain, { params: size }));
          await writeFile(join(dist, `${name}.gz`), gzipSync(plain, { level: 9 }));
        }
      },
    },
  };
}

export default defineConfig({
  oxc: { jsx: { runtime: "automatic", importSource: "preact" } },
  build: {
    target: "es2022",
    sourcemap: false,
    // Small pictures would become data: addresses in the styles; the policy allows them only as images.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
  },
  server: { proxy: { "/api": service, "/healthz": service } },
  plugins: [
    VitePWA({
      strategies: "injectManifest",
      srcDir: "src/sw",
      filename: "sw.ts",
      injectRegister: null,
      registerType: "prompt",
      includeManifestIcons: false,
      injectManifest: {
        globPatterns: ["**/*.{js,css,html,svg,png,woff2}"],
        rollupFormat: "iife",
      },
      manifest: {
        id: "/",
        name: "Whetpanel",
        short_name: "Whetpanel",
        description: "Test natural whetstones with your club, also without a signal.",
        lang: "en",
        start_url: "/",
        scope: "/",
        display: "standalone",
        theme_color: "#24363a",
        background_color: "#e4e8e6",
        icons: [
          { src: "/icon.svg", sizes: "any", type: "image/svg+xml" },
          { src: "/icon-192.png", sizes: "192x192", type: "image/png" },
          { src: "/icon-512.png", sizes: "512x512", type: "image/png" },
          { src: "/icon-maskable-512.png", sizes: "512x512", type: "image/png", purpose: "maskable" },
        ],
      },
    }),
    precompress(),
  ],
  test: {
    include: ["tests/**/*.test.{ts,tsx}"],
    environment: "node",
    setupFiles: ["tests/setup.ts"],
    restoreMocks: true,
  },
});

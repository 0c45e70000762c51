import hooks from "eslint-plugin-react-hooks";
import { defineConfig, globalIgnores } from "eslint/config";
import tseslint from "typescript-eslint";

/**
 * The rooms of src/ import one way only:
 *
 *   screens -> parts, sync (status and commands), store (live reads), domain, words
 *   sync -> store, api, domain      store, api -> domain      parts -> domain, words
 *   domain, words -> nothing
 *
 * @param {string} room  a folder of src/
 * @param {string[]} closed  the folders it may not import from
 * @param {string[]} packages  the packages it may not import
 */
const oneWay = (room, closed, packages = []) => ({
  files: [`src/${room}/**/*.{ts,tsx}`],
  rules: {
    "no-restricted-imports": [
      "error",
      {
        patterns: [
          ...closed.map((other) => ({
            regex: `^(\\.\\./)+${other}(/|$)`,
            message: `${room} may not import from ${other}: imports point one way (see eslint.config.js).`,
          })),
          ...packages.map((name) => ({
            regex: `^${name}(/|$)`,
            message: `${room} does not use ${name}.`,
          })),
        ],
      },
    ],
  },
});

const noFetch = {
  "no-restricted-globals": [
    "error",
    { name: "fetch", message: "Screens read and write locally; sync carries. Use a command of sync/." },
  ],
};

export default defineConfig(
  globalIgnores(["dist", "node_modules", "src/api/schema.d.ts"]),
  tseslint.configs.strictTypeChecked,
  {
    languageOptions: { parserOptions: { projectService: true, tsconfigRootDir: import.meta.dirname } },
    linterOptions: { reportUnusedDisableDirectives: "error" },
    rules: {
      "@typescript-eslint/restrict-template-expressions": ["error", { allowNumber: true, allowNullish: true }],
      "@typescript-eslint/no-confusing-void-expression": ["error", { ignoreArrowShorthand: true }],
      "@typescript-eslint/consistent-type-imports": "error",
      "@typescript-eslint/no-misused-promises": ["error", { checksVoidReturn: { attributes: false } }],
      "no-console": "error",
    },
  },
  { files: ["**/*.js", "**/*.mjs"], extends: [tseslint.configs.disableTypeChecked], rules: { "no-console": "off" } },
  {
    files: ["src/**/*.{ts,tsx}"],
    plugins: { "react-hooks": hooks },
    rules: { "react-hooks/rules-of-hooks": "error", "react-hooks/exhaustive-deps": "error" },
  },
  oneWay("domain", ["store", "api", "sync", "parts", "screens", "sw", "words"], ["dexie", "preact"]),
  oneWay("words", ["store", "api", "sync", "parts", "screens", "sw"], ["dexie", "preact"]),
  oneWay("store", ["api", "sync", "parts", "screens", "sw", "words"]),
  oneWay("api", ["store", "sync", "parts", "screens", "sw", "words"], ["dexie", "preact"]),
  oneWay("sync", ["parts", "screens", "sw", "words"]),
  oneWay("parts", ["store", "api", "sync", "screens", "sw"], ["dexie"]),
  oneWay("screens", ["api", "sync/(?!(status|commands|session|views|pooled|board|club|labels|match|review|exporting)$)[^/]+", "sw/(?!bridge$)[^/]+"], ["dexie"]),
  { files: ["src/screens/**/*.{ts,tsx}", "src/parts/**/*.{ts,tsx}", "src/domain/**/*.ts"], rules: noFetch },
  { files: ["tests/**/*.{ts,tsx}"], rules: { "@typescript-eslint/no-non-null-assertion": "off" } },
);

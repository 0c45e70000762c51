// Puts the viewer of the API's description beside the built app. It is no part of the app: the service worker does
// not precache it, and only /api/docs loads it.
import { copyFile, mkdir } from "node:fs/promises";
import { fileURLToPath } from "node:url";

const here = (path) => fileURLToPath(new URL(path, import.meta.url));
const target = here("../dist/api-docs/");

await mkdir(target, { recursive: true });
for (const name of ["swagger-ui-bundle.js", "swagger-ui.css"]) {
  await copyFile(here(`../node_modules/swagger-ui-dist/${name}`), target + name);
}
await copyFile(here("start.js"), `${target}start.js`);

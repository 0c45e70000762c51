// The common styles first: what a screen or part says of itself comes later and wins.
import "./styles/tokens.css";
import "./styles/common.css";
import { render } from "preact";
import { App } from "./app";
import { db } from "./store/db";
import { readLook, wearLook } from "./store/look";
import { registerWorker } from "./sw/bridge";
import { startSync } from "./sync/loop";
import { noStore } from "./words/shell";

wearLook(readLook());

const root = document.getElementById("app");
if (root === null) throw new Error("index.html has lost its #app");
render(<App />, root);

// Another tab runs a newer version and must change the store's shape: make way, and come back as the new version.
db.on("versionchange", () => {
  db.close();
  location.reload();
});

db.open().then(startSync, (error: unknown) => {
  reportError(error);
  render(<div class="page" role="alert"><h1>{noStore.title}</h1><p>{noStore.say}</p></div>, root);
});
registerWorker().catch(reportError);

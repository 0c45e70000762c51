import { render } from "preact";
import { App } from "./app";
import "./styles/tokens.css";
import "./styles/common.css";

const root = document.getElementById("app");
if (root === null) throw new Error("index.html has lost its #app");
render(<App />, root);

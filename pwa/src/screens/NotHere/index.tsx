import { notHere as words } from "../../words/shell";

export function NotHere() {
  return (
    <div class="page">
      <h1>{words.title}</h1>
      <p>{words.say}</p>
      <a class="button button-main" href="/">{words.bench}</a>
    </div>
  );
}

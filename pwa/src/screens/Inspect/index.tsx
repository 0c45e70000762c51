export function Inspect() {
  return <div class="page"><h1>Inspect</h1></div>;
}

export function Stones() {
  return <div class="page"><h1>Stones</h1></div>;
}

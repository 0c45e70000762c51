export function Bench() {
  return <div class="page"><h1>Bench</h1></div>;
}

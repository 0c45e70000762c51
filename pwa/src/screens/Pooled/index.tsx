export function Pooled() {
  return <div class="page"><h1>Pooled</h1></div>;
}

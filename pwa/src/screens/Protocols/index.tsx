export function Protocols() {
  return <div class="page"><h1>Protocols</h1></div>;
}

export function Protocol() {
  return <div class="page"><h1>Protocol</h1></div>;
}

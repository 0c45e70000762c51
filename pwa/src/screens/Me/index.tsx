export function Me() {
  return <div class="page"><h1>Me</h1></div>;
}

export function Stone() {
  return <div class="page"><h1>Stone</h1></div>;
}

export function Trial() {
  return <div class="page"><h1>Trial</h1></div>;
}

export function SignIn() {
  return <div class="page"><h1>SignIn</h1></div>;
}

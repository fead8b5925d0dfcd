export function WriteScreen() {
  return <p />;
}

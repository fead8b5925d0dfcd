/** Milliseconds in which the browser takes up a file before its address goes. */
const TAKEN_UP = 10_000;

/** Hands bytes to the browser as a file. */
export function saveFile(content: Blob, name: string): void {
  const address = URL.createObjectURL(content);
  const link = document.createElement("a");
  link.href = address;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), TAKEN_UP);
}

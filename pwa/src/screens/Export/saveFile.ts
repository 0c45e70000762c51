/** Hands a file to the browser, which asks where it goes or puts it with the downloads. */
export function saveFile(file: Blob, name: string): void {
  const href = URL.createObjectURL(file);
  const link = document.createElement("a");
  link.href = href;
  link.download = name;
  link.click();
  // The browser has taken hold of it by then; kept for ever it would hold the file in memory.
  setTimeout(() => URL.revokeObjectURL(href), 60_000);
}

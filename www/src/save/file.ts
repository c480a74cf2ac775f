// Files out and in: the studio document as one JSON file.
// Takes text; gives a download, or the text of a file that was chosen.

/** Hands a text to the browser as a download. */
export function download(name: string, text: string, type = "application/json"): void {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([text], { type }));
  link.download = name;
  link.click();
  // Long enough for the browser to have taken it.
  setTimeout(() => URL.revokeObjectURL(link.href), 30_000);
}

/** A file's name from a studio's: letters and digits, the day behind. */
export function fileName(studio: string, day: Date): string {
  const plain = studio.normalize("NFKD").replace(/[^\p{L}\p{N}]+/gu, "-").replace(/^-+|-+$/g, "").slice(0, 40).toLowerCase();
  return `${plain || "studio"}-${day.toISOString().slice(0, 10)}.json`;
}

/** Largest file that is read, bytes. */
export const FILE_LIMIT_BYTES = 50_000_000;

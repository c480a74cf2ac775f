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
export function fileName(studio: string, day: Date, ending = "json"): string {
  const plain = studio.normalize("NFKD").replace(/[^\p{L}\p{N}]+/gu, "-").replace(/^-+|-+$/g, "").slice(0, 40).toLowerCase();
  return `${plain || "studio"}-${day.toISOString().slice(0, 10)}.${ending}`;
}

/** Largest file that is read, bytes. */
export const FILE_LIMIT_BYTES = 50_000_000;

type Picker = (options: { suggestedName: string; types: { description: string; accept: { [type: string]: string[] } }[] }) => Promise<FileSystemFileHandle>;

/** A file to be kept current, where the browser can write one. */
export function chooseFile(name: string): Promise<FileSystemFileHandle> {
  const pick = (window as unknown as { showSaveFilePicker: Picker }).showSaveFilePicker;
  return pick({ suggestedName: name, types: [{ description: "A studio", accept: { "application/json": [".json"] } }] });
}

/** Writes it whole: the browser puts it in the old one's place when it is closed. */
export async function writeFile(file: FileSystemFileHandle, text: string): Promise<void> {
  const to = await file.createWritable();
  await to.write(text);
  await to.close();
}

// Where the worker's script and the wasm lie: links when served, data blocks in the one-file version.
// Takes the document; gives the script's address and the compiled module.

/** What the one file brings packed, by its own unpacking. */
declare function unpacked(id: string): Response;

/** The worker's script: its address, or the script itself. */
export function workerScript(): string | Blob {
  const asset = document.getElementById("asset-worker");
  if (asset instanceof HTMLLinkElement) return asset.href;
  return new Blob([asset?.textContent ?? ""], { type: "text/javascript" });
}

/** As an address that `new Worker` takes; of a page opened from a disk only whoever made it can use it. */
export const addressOf = (script: string | Blob): string => (typeof script === "string" ? script : URL.createObjectURL(script));

/** The compiled core; kept by the page so that a replaced worker needs no network. */
export async function coreModule(): Promise<WebAssembly.Module> {
  const asset = document.getElementById("asset-wasm");
  if (asset instanceof HTMLLinkElement) {
    const answer = await fetch(asset.href, { credentials: "same-origin" });
    if (!answer.ok) throw new Error(`The core did not load (${answer.status}). Reload the page.`);
    try {
      return await WebAssembly.compileStreaming(Promise.resolve(answer.clone()));
    } catch {
      // A server that serves wasm under another media type.
      return WebAssembly.compile(await answer.arrayBuffer());
    }
  }
  return WebAssembly.compile(await unpacked("asset-wasm").arrayBuffer());
}

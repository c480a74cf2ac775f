// Where the worker's script and the wasm lie: links when served, data blocks in the one-file version.
// Takes the document; gives the script's address and the compiled module.

/** The worker's script, as an address that `new Worker` takes. */
export function workerScript(): string {
  const asset = document.getElementById("asset-worker");
  if (asset instanceof HTMLLinkElement) return asset.href;
  return URL.createObjectURL(new Blob([asset?.textContent ?? ""], { type: "text/javascript" }));
}

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
  if (!(asset instanceof HTMLScriptElement)) throw new Error("The core is missing from this page. Get the file again.");
  const bytes = fromBase64(asset.textContent ?? "");
  if (asset.dataset["encoding"] !== "gzip-base64") return WebAssembly.compile(bytes);
  const plain = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"));
  return WebAssembly.compile(await new Response(plain).arrayBuffer());
}

function fromBase64(text: string): Uint8Array<ArrayBuffer> {
  const raw = atob(text.trim());
  const bytes = new Uint8Array(raw.length);
  for (let i = 0; i < raw.length; i++) bytes[i] = raw.charCodeAt(i);
  return bytes;
}

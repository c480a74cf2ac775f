// The page's start: hands the wasm to the worker and shows that the core answers.

const data = (id: string): HTMLElement => {
  const element = document.getElementById(id);
  if (element === null) throw new Error(`the page has no #${id}`);
  return element;
};

async function start(): Promise<void> {
  const code = data("asset-worker");
  const wasm = data("asset-wasm");
  const worker = new Worker(
    code instanceof HTMLLinkElement ? code.href : URL.createObjectURL(new Blob([code.textContent ?? ""], { type: "text/javascript" })),
  );
  const module =
    wasm instanceof HTMLLinkElement
      ? await WebAssembly.compileStreaming(fetch(wasm.href))
      : await WebAssembly.compile(Uint8Array.from(atob(wasm.textContent ?? ""), (c) => c.charCodeAt(0)));
  worker.addEventListener("message", (event: MessageEvent<string>) => {
    data("page").textContent = `Glazefall ${event.data} answers.`;
  });
  worker.postMessage(module);
  const name = document.documentElement.dataset["sw"];
  if (name !== undefined && "serviceWorker" in navigator) await navigator.serviceWorker.register(name);
}

void start();

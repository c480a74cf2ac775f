// The service worker: keeps one whole version of the page for use without a network.
// Takes the list of the version's files with their hashes, put in by the build; gives the page from its own store.
// A new version is fetched whole beside the old one and waits until the page says "take-over".

declare const __PRECACHE__: [address: string, integrity: string][];
declare const __SET__: string;

// The few parts of a service worker that are used here; TypeScript's own types for it clash with the page's.
interface Lasting extends Event {
  waitUntil(work: Promise<unknown>): void;
}
interface Fetching extends Lasting {
  readonly request: Request;
  respondWith(response: Promise<Response>): void;
}
interface Scope {
  readonly registration: { readonly scope: string };
  readonly clients: { claim(): Promise<void> };
  skipWaiting(): Promise<void>;
  addEventListener(kind: "install" | "activate", listener: (event: Lasting) => void): void;
  addEventListener(kind: "fetch", listener: (event: Fetching) => void): void;
  addEventListener(kind: "message", listener: (event: MessageEvent) => void): void;
}
const scope = self as unknown as Scope;

const FAMILY = "glazefall-";
const store = FAMILY + __SET__;
const page = new URL("./", scope.registration.scope).href;

// All files or none: one that is missing, or not the one that was meant, ends the installation, and the old version stays.
async function takeIn(): Promise<void> {
  const cache = await caches.open(store);
  try {
    await cache.addAll(
      __PRECACHE__.map(
        ([address, integrity]) => new Request(new URL(address, page), { cache: "no-cache", integrity }),
      ),
    );
  } catch (error) {
    await caches.delete(store);
    throw error;
  }
}

// Whether there were any.
async function dropEarlierVersions(): Promise<boolean> {
  let any = false;
  for (const name of await caches.keys()) {
    if (name.startsWith(FAMILY) && name !== store) any = (await caches.delete(name)) || any;
  }
  return any;
}

async function answer(request: Request): Promise<Response> {
  const cache = await caches.open(store);
  const address = request.mode === "navigate" ? page : request.url;
  return (await cache.match(address, { ignoreSearch: true })) ?? fetch(request);
}

scope.addEventListener("install", (event) => event.waitUntil(takeIn()));
// The page that installed the first version is served by it from now on: a worker that has to be replaced starts without a network,
// on the first visit too. A later version takes only pages that load from it or have asked for it: none is left half old, half new.
scope.addEventListener("activate", (event) =>
  event.waitUntil(dropEarlierVersions().then((any) => (any ? undefined : scope.clients.claim()))),
);
scope.addEventListener("fetch", (event) => {
  const { method, url } = event.request;
  if (method === "GET" && url.startsWith(page)) event.respondWith(answer(event.request));
});
scope.addEventListener("message", (event) => {
  if ((event.data as { kind?: unknown } | null)?.kind === "take-over") void scope.skipWaiting();
});

export {};

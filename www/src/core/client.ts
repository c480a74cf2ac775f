// The page's side of the worker: asks, gets replies, replaces the worker when its instance has trapped.
// Takes the compiled module and the worker's script; gives promises and streams of typed replies.

import { addressOf } from "./assets.ts";
import type { Ask, Calls, FromWorker, Replies, ToWorker } from "./protocol.ts";
import type { Learned, Message } from "./types.ts";

/** Refusals that came back instead of an answer. */
export class RefusedError extends Error {
  constructor(readonly refusals: Message[]) {
    super(refusals.map((r) => `${r.place}: ${r.problem} ${r.remedy}`).join("\n"));
  }
}

/** The worker died under this question. */
export class TrappedError extends Error {}

interface Waiting {
  part: (value: unknown) => void;
  done: (value: unknown) => void;
  fail: (error: Error) => void;
}

/** What the client tells the page of its own accord. */
export interface ClientEvents {
  learned: (learned: Learned, worker_ms: number | null, helped: boolean) => void;
  learning: (share: number) => void;
  /** A new worker is up after a trap and has no studio yet; `again` says whether it is the second in a row. */
  replaced: (message: string, again: boolean) => void;
  /** The worker cannot be started at all. */
  broken: (message: string) => void;
}

export class Client {
  #worker: Worker | null = null;
  #next = 1;
  #waiting = new Map<number, Waiting>();
  #slots = new Map<string, number>();
  #ready: Promise<void> = Promise.resolve();
  #trapped_at = -Infinity;

  constructor(
    private readonly script: string | Blob,
    private readonly module: Promise<WebAssembly.Module>,
    private readonly events: ClientEvents,
  ) {
    this.#start();
  }

  #start(): void {
    const { script } = this;
    const worker = new Worker(addressOf(script));
    this.#worker = worker;
    this.#ready = new Promise((ready, fail) => {
      worker.onmessage = (event: MessageEvent<FromWorker>) => {
        const said = event.data;
        if (said.kind === "ready") ready();
        else this.#hear(worker, said);
      };
      worker.onerror = (event) => {
        event.preventDefault();
        fail(new TrappedError(event.message || "The worker could not be started."));
        this.#replace(worker, event.message || "The worker stopped.");
      };
      this.module.then(
        (module) => worker.postMessage({ kind: "boot", module, script, cores: navigator.hardwareConcurrency } satisfies ToWorker),
        (error: unknown) => {
          fail(error instanceof Error ? error : new Error(String(error)));
          this.events.broken(String(error));
        },
      );
    });
    this.#ready.catch(() => undefined);
  }

  #hear(worker: Worker, said: FromWorker): void {
    switch (said.kind) {
      case "reply": {
        const waiting = this.#waiting.get(said.id);
        if (!waiting) return;
        waiting.part(said.value);
        if (said.last) {
          this.#waiting.delete(said.id);
          waiting.done(said.value);
        }
        return;
      }
      case "refused": {
        const waiting = this.#waiting.get(said.id);
        this.#waiting.delete(said.id);
        waiting?.fail(new RefusedError(said.refusals));
        return;
      }
      case "learned":
        this.events.learned(said.learned, said.worker_ms, said.helped);
        return;
      case "learning":
        this.events.learning(said.share);
        return;
      case "trapped":
        this.#replace(worker, said.message);
        return;
      case "ready":
        return;
    }
  }

  /** A trapped instance is poisoned: end its worker, start another, let the page replay the studio. */
  #replace(worker: Worker, message: string): void {
    if (worker !== this.#worker) return;
    worker.terminate();
    const now = performance.now();
    const again = now - this.#trapped_at < 5000;
    this.#trapped_at = now;
    const waiting = [...this.#waiting.values()];
    this.#waiting.clear();
    this.#slots.clear();
    this.#start();
    for (const one of waiting) one.fail(new TrappedError(message));
    this.events.replaced(message, again);
  }

  /** Asks once; resolves with the last reply. */
  ask<K extends Ask["kind"]>(ask: Extract<Ask, { kind: K }>, part?: (value: Replies[K]) => void): Promise<Replies[K]> {
    return this.#send(ask, part).promise;
  }

  /** Calls one of the engine's own by name. */
  call<N extends keyof Calls>(name: N, ...args: Parameters<Calls[N]>): Promise<ReturnType<Calls[N]>> {
    return this.#send<"call">({ kind: "call", name, args }).promise as Promise<ReturnType<Calls[N]>>;
  }

  /** The same in a slot. */
  latestCall<N extends keyof Calls>(slot: string, name: N, args: Parameters<Calls[N]>, done: (value: ReturnType<Calls[N]>) => void, fail: (error: Error) => void): void {
    this.latest<"call">(slot, { kind: "call", name, args }, (value) => done(value as ReturnType<Calls[N]>), fail);
  }

  /** Asks in a slot: what was asked there before and has not ended is dropped, and never answers. */
  latest<K extends Ask["kind"]>(slot: string, ask: Extract<Ask, { kind: K }>, part: (value: Replies[K]) => void, fail: (error: Error) => void): void {
    const before = this.#slots.get(slot);
    if (before !== undefined && this.#waiting.delete(before)) this.#post({ kind: "drop", id: before });
    const { id, promise } = this.#send(ask, part);
    this.#slots.set(slot, id);
    promise.catch((error: unknown) => {
      if (this.#slots.get(slot) === id || error instanceof TrappedError) fail(error instanceof Error ? error : new Error(String(error)));
    });
  }

  #send<K extends Ask["kind"]>(ask: Extract<Ask, { kind: K }>, part?: (value: Replies[K]) => void): { id: number; promise: Promise<Replies[K]> } {
    const id = this.#next++;
    const promise = new Promise<Replies[K]>((done, fail) => {
      this.#waiting.set(id, {
        part: (value) => part?.(value as Replies[K]),
        done: (value) => done(value as Replies[K]),
        fail,
      });
    });
    this.#post({ kind: "ask", id, ask });
    return { id, promise };
  }

  #post(message: ToWorker): void {
    const worker = this.#worker;
    this.#ready.then(() => {
      if (worker === this.#worker) worker?.postMessage(message);
    }, () => undefined);
  }
}

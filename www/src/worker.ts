// The worker: owns the wasm engine, does one thing at a time, and lets newer questions overtake older ones.
// Takes the messages of protocol.ts; gives replies. A trap in the core ends it: the page starts another. It can be its own helper's script too (core/helper.ts).

import { type Core, made } from "./core/asked.ts";
import { addressOf } from "./core/assets.ts";
import init from "./core/glazefall.js";
import { Helper, helped, type Made } from "./core/helper.ts";
import type { Ask, Box, FromHelper, FromWorker, ToHelper, ToWorker } from "./core/protocol.ts";
import type { Message } from "./core/types.ts";

type Port = { postMessage(message: FromWorker | FromHelper, transfer?: Transferable[]): void; onmessage: ((event: MessageEvent<ToWorker | ToHelper>) => void) | null };
const page = self as unknown as Port;

/** Work in steps; the lowest rank goes first, and between steps new messages are heard. One that waits is woken by what it waits for. */
interface Job { id: number; rank: number; steps: Iterator<unknown>; waits?: boolean }

let engine: Core | null = null;
/** What a helper is made of; none where the machine has no core to spare for one. */
let spare: Made | null = null;
let helper: Helper | null = null;
/** For tests: the next helper traps. */
let trapped = false;
let jobs: Job[] = [];
let scheduled = false;
let dead = false;
const turn = new MessageChannel();
turn.port1.onmessage = work;

function schedule(): void {
  if (scheduled || dead) return;
  scheduled = true;
  turn.port2.postMessage(null);
}

function work(): void {
  scheduled = false;
  let job: Job | undefined;
  for (const one of jobs) if (!one.waits && (!job || one.rank < job.rank)) job = one;
  if (!job || dead) return;
  const { id, steps } = job;
  try {
    if (steps.next().done) jobs = jobs.filter((one) => one !== job);
  } catch (error) {
    jobs = jobs.filter((one) => one !== job);
    failed(id, error);
  }
  if (jobs.some((one) => !one.waits)) schedule();
}

function wake(job: Job): void {
  job.waits = false;
  schedule();
}

/** What the core refuses comes as a list; anything else is a trap, after which the instance must not be used. */
function failed(id: number, error: unknown): void {
  const refusals = refusalsOf(error);
  if (refusals) {
    page.postMessage({ kind: "refused", id, refusals });
    return;
  }
  dead = true;
  jobs = [];
  page.postMessage({ kind: "trapped", id, message: error instanceof Error ? error.message : String(error) });
}

function refusalsOf(error: unknown): Message[] | null {
  if (Array.isArray(error)) return error as Message[];
  return null;
}

function reply(id: number, value: unknown, last = true): void {
  page.postMessage({ kind: "reply", id, last, value });
}

page.onmessage = (event) => {
  const said = event.data;
  if (said.kind === "help" || said.kind === "draw") {
    helped(said, (message, transfer) => page.postMessage(message, transfer));
    return;
  }
  if (said.kind === "boot") {
    if (said.cores > 1) spare = { script: addressOf(said.script), module: said.module };
    init({ module_or_path: said.module }).then(
      () => {
        engine = made();
        page.postMessage({ kind: "ready", version: engine.version() });
      },
      (error: unknown) => page.postMessage({ kind: "trapped", id: null, message: String(error) }),
    );
    return;
  }
  if (said.kind === "drop") {
    jobs = jobs.filter((job) => job.id !== said.id);
    return;
  }
  if (!engine || dead) return;
  jobs.push(jobOf(engine, said.id, said.ask));
  schedule();
};

/** Medians come before all that takes long. */
const FIRST = 0.4;
/** How long the log of a studio just opened is read before a full spread is made without it, ms. */
const READ_FIRST_MS = 800;
/** The log of the studio that is open has been read: before that, answers rest on what is usual for such glazes. */
let read = false;
/** How long a helper is waited for: so long, and a share of the time that its worker was at the learning. */
const PATIENCE = { ms: 250, share: 1 };
/** The learning has no question of its own. */
const LEARNING = -1;
/** The firing's curve, CSS px. */
const FIRING = { width: 440, height: 170 };
/** A layer of the pile, CSS px. */
const STRATA = { width: 64, height: 88 };

function jobOf(core: Core, id: number, ask: Ask): Job {
  switch (ask.kind) {
    case "answer": {
      const job: Job = { id, rank: FIRST, steps: [][Symbol.iterator]() };
      job.steps = answer(core, job, ask);
      return job;
    }
    case "picture":
      return { id, rank: 1, steps: once(id, () => ({ ...looked(core, ask), ...(ask.twenty ? { twenty: core.twenty(ask.entry, ask.twenty.width, ask.twenty.height) } : {}) })) };
    case "chart":
      return { id, rank: 4, steps: chart(core, id, ask) };
    case "open":
      return { id, rank: 0, steps: opening(core, id, () => core.open(ask.studio)) };
    case "assemble":
      return { id, rank: 0, steps: opening(core, id, () => core.assemble(ask.head, ask.records)) };
    case "records":
      return { id, rank: 0, steps: once(id, () => core.records()) };
    case "edit":
      return { id, rank: 0, steps: edit(core, id, ask.edit) };
    case "reopen":
      return { id, rank: 0, steps: once(id, () => core.opened()) };
    case "document":
      return { id, rank: 0, steps: once(id, () => core.document()) };
    case "read":
      return { id, rank: 0, steps: once(id, () => core.read(ask.text, ask.quantity)) };
    case "word":
      return { id, rank: 0, steps: once(id, () => core.word_mm(ask.entry, ask.word)) };
    case "fresh":
      return { id, rank: 0, steps: once(id, () => core.fresh(ask.list, ask.name)) };
    case "blank":
      return { id, rank: 0, steps: once(id, () => core.blank(ask.name, ask.id)) };
    case "swatches":
      return { id, rank: 2, steps: once(id, () => core.swatches(ask.width, ask.height)) };
    case "open_kept":
      return { id, rank: 0, steps: opening(core, id, () => core.open_kept(ask.studio)) };
    case "earlier":
      return { id, rank: 5, steps: earlier(core, id, ask.width) };
    case "call":
      return { id, rank: LATER.has(ask.name) ? 3.5 : 0, steps: call(core, id, ask) };
    case "trap":
      return { id, rank: 0, steps: once(id, () => ask.helper ? void (trapped = true) : core.trap()) };
  }
}

/** The pot, and the lens by itself where the drawing has no room for it. */
function looked(core: Core, ask: { entry: string; moment: number; lens: string; pot: Box }): object {
  const { entry, moment, lens, pot } = ask;
  return {
    pot: core.pot(entry, moment, lens, pot.width, pot.height),
    lens: lens === "" ? null : core.lens(entry, moment, lens, pot.width, pot.height),
    firing: core.firing(entry, moment, Math.min(pot.width, FIRING.width), FIRING.height),
  };
}

/** What can wait until the plan that is looked at has been answered, and the log been read. */
const LATER = new Set<string>(["forecast", "known", "next_tiles"]);

function* call(core: Core, id: number, ask: Extract<Ask, { kind: "call" }>): Generator<undefined> {
  reply(id, (core[ask.name] as (...args: unknown[]) => unknown).apply(core, ask.args));
  if (ask.name === "merge") changed(core);
}

function* once(id: number, act: () => unknown): Generator<undefined> {
  reply(id, act());
}

function* opening(core: Core, id: number, act: () => unknown): Generator<undefined> {
  reply(id, act());
  read = false;
  learnSoon(core, true);
}

/** What the newest firing taught; null where nothing of any was read, or the log has changed meanwhile. */
function* earlier(core: Core, id: number, width: number): Generator<undefined> {
  const firing = core.earlier_start();
  if (firing !== undefined) {
    while (core.earlier_step() < 1) yield;
  }
  const [glazes, lines] = core.earlier_known(width);
  reply(id, firing !== undefined && glazes && lines ? { firing, glazes, lines } : null);
}

function* edit(core: Core, id: number, json: string): Generator<undefined> {
  const applied = core.edit(json);
  reply(id, applied);
  changed(core);
}

/** What has changed in the log is counted at once where it is little, and the whole is read anew: unless it is again as it was read. */
function changed(core: Core): void {
  if (!core.unlearned()) return;
  if (core.count()) page.postMessage({ kind: "learned", learned: core.learned(), worker_ms: null, helped: false });
  if (core.unlearned()) learnSoon(core);
  else stopLearning();
}

function stopLearning(): void {
  jobs = jobs.filter((job) => job.id !== LEARNING);
  helper?.end();
  helper = null;
}

/** One learning at a time, started anew when the log has changed meanwhile. A studio just opened is read before the first
 *  full spread, as long as that is short: what would soon change by itself is not worth the wait. */
function learnSoon(core: Core, opened = false): void {
  stopLearning();
  const job: Job = { id: LEARNING, rank: opened ? 0.5 : 3, steps: [][Symbol.iterator]() };
  job.steps = learn(core, job);
  jobs.push(job);
  schedule();
}

function* learn(core: Core, job: Job): Generator<undefined> {
  const since = performance.now();
  core.learn_start();
  const studio = spare ? core.learn_share() : undefined;
  if (spare && studio !== undefined) helper = new Helper(spare, studio, () => wake(job));
  let worker_ms = performance.now() - since;
  let joined = false;
  // A short reading of the log is not worth a word.
  let heard = performance.now() + 300;
  for (;;) {
    const from = performance.now();
    if (helper) joined = share(core, helper);
    const done: number = core.learn_step();
    if (done < 0) {
      let late = false;
      const timer = setTimeout(() => {
        late = true;
        wake(job);
      }, PATIENCE.ms + PATIENCE.share * worker_ms);
      job.waits = true;
      yield;
      clearTimeout(timer);
      // Nothing is lost by doing a slow helper's part here: it still counts should it come first.
      if (late) core.learn_put(undefined);
    }
    worker_ms += performance.now() - from;
    if (done >= 1) break;
    if (performance.now() > since + READ_FIRST_MS) job.rank = 3;
    if (done > 0 && performance.now() > heard + 100) {
      heard = performance.now();
      page.postMessage({ kind: "learning", share: done });
    }
    yield;
  }
  stopLearning();
  read = true;
  page.postMessage({ kind: "learned", learned: core.learned(), worker_ms, helped: joined });
}

/** Gives the helper where its chains start once that is known, and takes what it drew or that it is lost; true once its draws are in. */
function share(core: Core, { help }: Helper): boolean {
  if (help === "lost") {
    core.learn_put(undefined);
    helper = null;
  } else if (help === "getting ready") {
    const from = core.learn_from();
    if (from) helper?.draw(from, trapped);
    if (from) trapped = false;
  } else if (help !== "drawing") {
    core.learn_put(help);
    helper = null;
    return true;
  }
  return false;
}

/** Medians at once, then the full spread. */
function* answer(core: Core, job: Job, ask: Extract<Ask, { kind: "answer" }>): Generator<undefined> {
  const { id } = job;
  const start = performance.now();
  const part = (phase: "quick" | "full", outcome: unknown, last: boolean): void => {
    reply(id, {
      phase,
      entry: ask.entry,
      read,
      outcome,
      ...looked(core, ask),
      twenty: core.twenty(ask.entry, ask.twenty.width, ask.twenty.height),
      strata: core.strata(ask.entry, STRATA.width, STRATA.height),
      moments: core.moments(ask.entry),
      spots: core.spots(ask.entry),
      worker_ms: performance.now() - start,
    }, last);
  };
  part("quick", core.quick(ask.entry), false);
  job.rank = 1;
  yield;
  core.predict_start(ask.entry, ask.draws);
  for (;;) {
    const outcome: unknown = core.predict_step();
    if (outcome) {
      part("full", outcome, true);
      return;
    }
    yield;
  }
}

function* chart(core: Core, id: number, ask: Extract<Ask, { kind: "chart" }>): Generator<undefined> {
  const start = performance.now();
  core.chart_start(ask.entry, ask.draws);
  for (;;) {
    const cells = core.chart_step();
    const done = core.chart_done();
    reply(id, { entry: ask.entry, cells, done, worker_ms: performance.now() - start }, done);
    if (done) return;
    yield;
  }
}

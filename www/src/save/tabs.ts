// One writer among the tabs: a Web Lock says who, a broadcast tells the others that something was written.
// Takes callbacks; gives the role of this tab as it changes.

export type TabRole = "writer" | "follower";

export interface Tabs {
  /** Tells the other tabs that the kept studio has changed. */
  tell(): void;
  /** Takes the pen from whichever tab has it. */
  take(): void;
}

const LOCK = "glazefall-writer";

export function joinTabs(role: (role: TabRole) => void, changed: () => void): Tabs {
  const channel = typeof BroadcastChannel === "function" ? new BroadcastChannel("glazefall") : null;
  channel?.addEventListener("message", (event: MessageEvent) => {
    if (event.data === "changed") changed();
  });
  const locks = navigator.locks as LockManager | undefined;
  if (!locks) {
    role("writer");
    return { tell: () => channel?.postMessage("changed"), take: () => undefined };
  }
  // Held for as long as the tab lives, or until another takes it (the promise is then rejected).
  const hold = (): Promise<never> => {
    role("writer");
    return new Promise<never>(() => undefined);
  };
  const wait = (): void => {
    locks.request(LOCK, hold).catch(() => {
      role("follower");
      wait();
    });
  };
  locks.request(LOCK, { ifAvailable: true }, (lock) => {
    if (lock) return hold();
    role("follower");
    wait();
    return undefined;
  }).catch(() => {
    role("follower");
    wait();
  });
  return {
    tell: () => channel?.postMessage("changed"),
    take: () => {
      locks.request(LOCK, { steal: true }, hold).catch(() => {
        role("follower");
        wait();
      });
    },
  };
}

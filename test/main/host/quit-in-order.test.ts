import { EventEmitter } from "node:events";
import { expect, it } from "vitest";
import { quitInOrder } from "../../../src/main/host/quit-in-order.ts";

/** An app as Electron's: quit asks its listeners first, and quits unless one of them prevents it. */
function bench(close: () => Promise<void>) {
  const events = new EventEmitter();
  const state = { quit: false };
  const logged: unknown[] = [];
  const app = {
    on: (event: string, listener: (event: { preventDefault(): void }) => void) => events.on(event, listener),
    quit() {
      let prevented = false;
      events.emit("before-quit", {
        preventDefault: () => {
          prevented = true;
        },
      });
      if (!prevented) state.quit = true;
    },
  };
  quitInOrder(app, close, (error) => logged.push(error));
  return { app, state, logged };
}

const settle = () => new Promise((resolve) => setImmediate(resolve));

it("quits once the host has closed, however often it is asked to", async () => {
  let [closes, closed] = [0, () => {}];
  const { app, state } = bench(() => {
    closes++;
    return new Promise((resolve) => {
      closed = resolve;
    });
  });
  app.quit();
  app.quit();
  await settle();
  expect([state.quit, closes]).toEqual([false, 1]);
  closed();
  await settle();
  expect([state.quit, closes]).toEqual([true, 1]);
});

it("quits also when closing fails, and tells why", async () => {
  const bug = new Error("the disk is gone");
  const { app, state, logged } = bench(() => Promise.reject(bug));
  app.quit();
  await settle();
  expect([state.quit, logged]).toEqual([true, [bug]]);
});

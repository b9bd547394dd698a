import { expect, it } from "vitest";
import { createHttpService } from "../../../src/renderer/host/http-service.ts";
import { pageAddressOf } from "../../../src/renderer/host/page-address.ts";
import { faultOf } from "../../support/fault-of.ts";

const OLD = { folder: "/card/old", name: "old", openedAt: "2026-05-03T10:00:00.000Z", standing: "gone" };

/**
 * A page at an address, and a host that has the folders "gone" (closed) and "new", the latter opened last.
 */
function bench(href: string) {
  const asked: string[] = [];
  const went: string[] = [];
  const bodies: string[] = [];
  const location = {
    href,
    assign(to: string) {
      went.push(to);
    },
  };
  const history = {
    state: null,
    replaceState(_state: unknown, _title: string, to: string) {
      location.href = new URL(to, location.href).href;
    },
  };
  const answers = (path: string): [number, unknown] => {
    if (/[=/]gone/.test(path)) {
      return [410, { error: { code: "folder-not-open", cause: "Not open.", remedy: "Reload." } }];
    }
    if (path.startsWith("/host/info")) {
      return [200, { host: "loopback", id: "new", folder: "/card/new", name: "new", canPickFolder: false }];
    }
    if (path === "/host/folders")
      return [200, { folders: [{ id: "new", folder: "/card/new", name: "new" }] }];
    if (path === "/host/recent") return [200, { folders: [OLD] }];
    if (path.endsWith("/clips")) return [200, { clips: [] }];
    return [200, { revision: "r2" }];
  };
  const service = createHttpService({
    fetch: async (path, init) => {
      asked.push(`${init?.method ?? "GET"} ${path}${init?.keepalive === true ? " kept alive" : ""}`);
      if (path.startsWith("/host/") && init?.body !== undefined) bodies.push(String(init.body));
      const [status, body] = answers(path);
      return new Response(JSON.stringify(body), { status });
    },
    address: pageAddressOf({ location, history } as unknown as Window),
    pickFolder: async () => null,
  });
  return { service, asked, bodies, went, location };
}

it("asks a plain address's host once which folder to show, names it in every request and keeps it in the address", async () => {
  const { service, asked, location } = bench("http://127.0.0.1:9/");
  await Promise.all([service.host(), service.clips(), service.clips()]);
  const place = { shotId: null, frame: null, heading: null };
  const at = "2026-05-01T10:00:00.000Z";
  await service.saveSteps([{ kind: "do", says: "Did", place, at, patch: [] }], "r1", true);
  expect(asked).toEqual([
    "GET /host/info",
    "GET /api/folders/new/clips",
    "GET /api/folders/new/clips",
    "POST /api/folders/new/session/steps kept alive",
  ]);
  expect(service.frameUrl("a.mp4", 3, "half", { bytes: 1, modifiedMs: 2 })).toBe(
    "/api/folders/new/clips/a.mp4/frames/3?size=half&v=1-2",
  );
  expect(location.href).toBe("http://127.0.0.1:9/?folder=new");
});

it("stays with the folder of its address, and says so when it is not open any more", async () => {
  const { service, asked, location } = bench("http://127.0.0.1:9/?folder=gone");
  expect((await faultOf(service.clips())).code).toBe("folder-not-open");
  expect((await faultOf(service.host())).code).toBe("folder-not-open");
  expect(asked).toEqual(["GET /api/folders/gone/clips", "GET /host/info?folder=gone"]);
  expect(location.href).toBe("http://127.0.0.1:9/?folder=gone");
});

it("goes on to another open folder by its id", async () => {
  const { service, went } = bench("http://127.0.0.1:9/?folder=gone");
  const [folder] = await service.openFolders();
  service.show(folder!);
  expect(went).toEqual(["/?folder=new"]);
});

it("asks for the folders opened before and forgets one by its path, whatever folder its own page shows", async () => {
  const { service, asked, bodies } = bench("http://127.0.0.1:9/?folder=gone");
  expect(await service.recentFolders()).toEqual([OLD]);
  await service.forgetFolder(OLD.folder);
  expect(asked).toEqual(["GET /host/recent", "POST /host/recent/forget"]);
  expect(bodies).toEqual(['{"folder":"/card/old"}']);
});

import { afterAll, afterEach, beforeAll, expect, it } from "vitest";
import { EXAMPLE_CLIP } from "../../src/main/example/example-session.ts";
import { type Client, createClient } from "../../src/shared/api/client.ts";
import type { Session } from "../../src/shared/session/schema.ts";
import { firstOf } from "../support/one-of-each.ts";
import { shotsField } from "../support/shots-field.ts";
import {
  type Field,
  newWindow,
  openField,
  openHeading,
  type Person,
  seePicture,
  sitDown,
  untilSaved,
} from "./person.ts";

/* Work that goes on while no window is open, and what the next one makes of it. */
let field: Field;
let person: Person;
beforeAll(async () => {
  field = await openField();
});
afterAll(() => field?.close());
afterEach(async () => {
  await person?.leave();
});

/** The service of the folder behind the window, as a program asks it. */
async function service({ host }: Person): Promise<Client> {
  const headers = { authorization: `Bearer ${host.token}` };
  const info = (await (await fetch(`${host.origin}/host/info`, { headers })).json()) as { id: string };
  return createClient(
    (path, init) => fetch(host.origin + path, { ...init, headers: { ...init?.headers, ...headers } }),
    "",
    info.id,
  );
}

/** One hand mark of each target, the last but some: a short way to the clip's end. */
function oneMarkEach(session: Session): Session {
  const [shot] = session.shots;
  const late = (id: string) => shot!.marks.filter(({ pointId }) => pointId === id).at(-8)!;
  return { ...session, shots: [{ ...shot!, marks: [late("nose"), late("tail")] }] };
}

/** Closes the window, waits until the folder's job has ended, and opens another window. */
async function away(client: Client): Promise<Person["page"]> {
  await person.page.close();
  await expect.poll(async () => (await client.jobs()).jobs.map(({ state }) => state)).toEqual(["done"]);
  const page = await newWindow(field);
  await page.goto(person.host.url);
  return page;
}

it("puts the marks of a follow whose window was closed into the document, as one step of undo, once", async () => {
  person = await sitDown(field, { session: oneMarkEach });
  const { page } = person;
  const client = await service(person);
  await seePicture(page);
  await openHeading(page, "marks");
  const hand = (await person.saved()).shots[0]!.marks;
  const nose = hand.find(({ pointId }) => pointId === "nose")!;
  await page.keyboard.press("Home");
  for (let i = 0; i < nose.frame; i++) await page.keyboard.press("ArrowRight");
  await page.keyboard.press("1");
  await page.keyboard.press("f");
  await expect.poll(async () => (await client.jobs()).jobs.length).toBe(1);

  const again = await away(client);
  const said = again.locator(".app-notices .notice");
  await said.getByText("The nose was followed while this window was closed, at").waitFor();
  await untilSaved(again);
  const marks = (await person.saved()).shots[0]!.marks;
  const followed = marks.filter(({ by }) => by === "follower").length;
  expect(followed).toBeGreaterThan(5);
  expect(await said.textContent()).toContain(`: ${followed} marks, frames ${nose.frame + 1} to 177.`);
  await expect.poll(async () => (await client.jobs()).jobs).toEqual([]);
  await again.keyboard.press("Control+z");
  await untilSaved(again);
  expect((await person.saved()).shots[0]!.marks).toEqual(hand);
  await again.reload();
  await again.locator(".frame .picture").waitFor({ state: "visible" });
  expect(await said.count()).toBe(0);
  await again.context().close();
});

it("offers a tuning whose window was closed under Tuning, and takes it when told", async () => {
  const { session } = shotsField(4, [2.5e5, 3.5e5, 4.5e5]);
  person = await sitDown(field, {
    session: () => ({ ...session, shots: session.shots.map((shot) => ({ ...shot, clip: EXAMPLE_CLIP })) }),
  });
  const client = await service(person);
  const { page } = person;
  await openHeading(page, "tuning");
  const start = page.locator("[data-step=tuning]").getByRole("button", { name: "Tune on 3 shots" });
  await start.waitFor();
  await start.click();
  await expect.poll(async () => (await client.jobs()).jobs.length).toBe(1);

  const again = await away(client);
  await again.getByText("The launcher was tuned on 3 shots while this window was closed").first().waitFor();
  expect(firstOf(await person.saved()).tuning).toBeUndefined();
  await openHeading(again, "tuning");
  const offer = again.getByRole("region", { name: "A tuning that is not taken yet" });
  expect((await offer.textContent())!.replaceAll("\u00a0", " ")).toMatch(
    /valve's sonic conductance[\d.]+ ± [\d.]+ dm³\/\(s·bar\)[\d.]+ ± [\d.]+ dm³\/\(s·bar\)/,
  );
  await offer.getByRole("button", { name: "Take these values" }).click();
  await offer.waitFor({ state: "detached" });
  await untilSaved(again);
  expect(firstOf(await person.saved()).tuning).toMatchObject({
    shotIds: ["shot-1", "shot-2", "shot-3"],
    use: false,
  });
  await expect.poll(async () => (await client.jobs()).jobs).toEqual([]);
  await again.context().close();
});

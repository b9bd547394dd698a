import { existsSync, readdirSync, readFileSync } from "node:fs";
import { dirname, join, relative } from "node:path";
import { createElement } from "react";
import { renderToStaticMarkup } from "react-dom/server";
import { describe, expect, it } from "vitest";
import { HISTORY_FOLDER } from "../src/main/store/journal-file.ts";
import { type Command, commandFor } from "../src/renderer/actions/keys.ts";
import { GuideText } from "../src/renderer/guide/GuideText.tsx";
import { guideParts, guideWords, partId } from "../src/renderer/guide/guide-parts.ts";
import { wordsIn } from "../src/renderer/guide/words-in.ts";
import { GUIDE_PARTS } from "../src/renderer/ledger/parts/guide-parts-of.ts";
import { cli } from "./support/run-cli.ts";

/*
 * What README, the contributor's guide and docs/ tell a person to look at, press,
 * type and open must be there.
 */
const ROOT = join(import.meta.dirname, "..");
const PICTURES = "docs/pictures";
const pages = ["README.md", "DEVELOPERS.md", ...filesIn("docs").filter((path) => path.endsWith(".md"))];
const text = Object.fromEntries(pages.map((path) => [path, readFileSync(join(ROOT, path), "utf8")]));
const readme = text["README.md"]!;
const guide = text["docs/guide.md"]!;
const links = pages.flatMap((page) =>
  [...text[page]!.matchAll(/(!?)\[([^\]]*)\]\(([^)\s]+)\)/g)].map(([, bang, words, to]) => ({
    page,
    picture: bang === "!",
    words: words!,
    to: to!,
  })),
);

describe("links", () => {
  const local = links.filter(({ to }) => !/^https?:/.test(to));

  it("lead to files and headings that are there", () => {
    expect(local.length).toBeGreaterThan(10);
    const dead = local.filter(({ page, to }) => {
      const [path, anchor] = to.split("#") as [string, string | undefined];
      const file = path === "" ? page : relative(ROOT, join(ROOT, dirname(page), path)).replaceAll("\\", "/");
      if (!existsSync(join(ROOT, file))) return true;
      return anchor !== undefined && !anchorsOf(readFileSync(join(ROOT, file), "utf8")).includes(anchor);
    });
    expect(dead).toEqual([]);
  });

  it("name every picture of the guide, each a PNG with words for who does not see it", () => {
    const shown = links.filter(({ picture }) => picture);
    const named = shown.map(({ page, to }) =>
      relative(ROOT, join(ROOT, dirname(page), to)).replaceAll("\\", "/"),
    );
    // `npm run faces` keeps sheets of whole windows in a folder of their own, which no page shows one by one.
    const ofPages = filesIn(PICTURES).filter((path) => !path.startsWith(`${PICTURES}/faces/`));
    expect([...new Set(named)].sort()).toEqual(ofPages.sort());
    expect(shown.filter(({ words }) => words.length < 10)).toEqual([]);
    for (const path of named) {
      expect(readFileSync(join(ROOT, path)).subarray(1, 4).toString("latin1"), path).toBe("PNG");
    }
  });
});

describe("commands", () => {
  it("of npm run are scripts of the package", () => {
    const { scripts } = JSON.parse(readFileSync(join(ROOT, "package.json"), "utf8"));
    const named = pages.flatMap((page) =>
      [...text[page]!.matchAll(/npm run (?:-s )?([a-z][a-z-]*)/g)].map(([, script]) => script!),
    );
    expect(named).toContain("pictures");
    expect(named.filter((script) => !(script in scripts))).toEqual([]);
  });

  it("of the README's table are the command line's verbs, with the same operands", async () => {
    const { out } = await cli(["--help"]);
    const verbs = [...out.matchAll(/^ {2}([a-z-]+ .*?) {3,}/gm)].map(([, usage]) => usage!);
    const told = rowsOf(readme, "verb").map(([usage]) => usage!.replaceAll("`", ""));
    expect(told.map((usage) => usage.split(" ")[0])).toEqual(verbs.map((usage) => usage.split(" ")[0]));
    for (const [i, usage] of told.entries()) {
      // The README may leave options out; what it names the verb must take.
      const missing = (usage.match(/--[a-z-]+|[A-Z]{2,}/g) ?? []).filter((word) => !verbs[i]!.includes(word));
      expect(missing, usage).toEqual([]);
    }
  });
});

describe("keys", () => {
  const rows = rowsOf(guide, "key").map(([keys, does]) => ({
    keys: [...keys!.matchAll(/`([^`]+)`/g)].map(([, key]) => key!),
    does: does!,
  }));
  const ofTheFrame = ["Space", "Tab", "E", "Shift+E"]; // handled by the frame alone; the browser tests press them

  it("do what the guide's table says", () => {
    const wrong = rows.flatMap(({ keys, does }) =>
      keys
        .filter((key) => !ofTheFrame.includes(key))
        .map((key) => ({ key, does, command: commandOf(key) }))
        .filter(({ command, does }) => command === null || !wordsFor(command).test(does)),
    );
    expect(wrong).toEqual([]);
  });

  it("are all in the guide's table", () => {
    const told = new Set(rows.flatMap(({ keys }) => keys.map((key) => commandOf(key)?.kind)));
    const kinds: Record<Command["kind"], true> = {
      step: true,
      go: true,
      shot: true,
      nudge: true,
      remove: true,
      place: true,
      light: true,
      pan: true,
      "choose-point": true,
      undo: true,
      redo: true,
      zoom: true,
      fit: true,
      lamp: true,
      follow: true,
      "follow-all": true,
      keys: true,
      cancel: true,
    };
    expect(Object.keys(kinds).filter((kind) => !told.has(kind as Command["kind"]))).toEqual([]);
    expect(rows.flatMap(({ keys }) => keys)).toEqual(expect.arrayContaining(ofTheFrame));
  });
});

it("the guide's steps name only what stands on the window", () => {
  const steps = guide.slice(guide.indexOf("## Seven steps"), guide.indexOf("## Keys"));
  const labels = [...steps.matchAll(/\*\*([^*]+)\*\*/g)].map(([, label]) => label!);
  const window = filesIn("src/renderer")
    .filter((path) => path.endsWith(".tsx"))
    .map((path) => readFileSync(join(ROOT, path), "utf8"))
    .join("\n");
  expect(labels.length).toBeGreaterThan(10);
  // As JSX text on a line of its own or between tags, or as a quoted text.
  const stands = (label: string) =>
    new RegExp(`(^\\s*|[>"])${label.replace(/[()]/g, "\\$&")}(\\s*$|[<"{ ])`, "m").test(window);
  expect(labels.filter((label) => !stands(label))).toEqual([]);
});

it("the headings of the ledger name parts of the guide, which the window shows with its tables", () => {
  const parts = guideParts(guide);
  const titles = parts.map(({ title }) => title);
  for (const title of [...Object.values(GUIDE_PARTS), "Keys", "Seven steps"]) expect(titles).toContain(title);
  const shown = parts.map(({ text }) => renderToStaticMarkup(createElement(GuideText, { tokens: text })));
  const keys = shown[titles.indexOf("Keys")]!;
  expect(keys).toContain("<td><code>Home</code> <code>End</code></td><td>first or last frame</td>");
  const text = shown.join("").replace(/<[^>]+>/g, "");
  expect(text).not.toMatch(/\*\*|\]\(|&amp;(?:amp|lt|gt|quot|#39);/); // no markup is left over
  expect(text.length).toBeGreaterThan(0.8 * guide.length);
  const ids = parts
    .map(({ title }) => partId(title))
    .concat(guideWords(parts).map(({ forms }) => partId(forms[0]!)));
  expect(new Set(ids).size).toBe(ids.length); // each leads to one place
});

it("the guide explains every statistical word that a text of the program may hold, and the window links it", () => {
  const words = guideWords(guideParts(guide));
  for (const { forms, means } of words) expect(means, forms[0]).toMatch(/^[A-Z].*\.$/);
  const sources = ["src/shared", "src/renderer"]
    .flatMap((folder) => filesIn(folder))
    .map((path) => readFileSync(join(ROOT, path), "utf8"));
  const statistical =
    /(?<![\w-])(standard uncertaint(?:y|ies)|(?:degrees of freedom|chi-square|root sum of squares|variance|scatters?|correlat(?:ed|ion))|k.?=.?[12]|[\d.}] u)(?![\w(-])/g;
  // In a text, not in code: within quotes or backticks, or as a line of the page.
  const texts = sources.flatMap(
    (source) => source.match(/"[^"\n]*[a-z] [^"\n]*"|`[^`\n]*[a-z] [^`\n]*`/g) ?? [],
  );
  const used = new Set(
    texts.flatMap((one) => one.match(statistical) ?? []).map((one) => one.replace(/^[\d.}] /, "")),
  );
  expect(used.size).toBeGreaterThan(8);
  const unexplained = [...used].filter((one) => wordsIn(one, words).every(({ word }) => word === null));
  expect(unexplained).toEqual([]);
});

it("the guide's files are those that are written", () => {
  const files = rowsOf(guide, "file").flatMap(([names]) =>
    [...names!.matchAll(/`([^`]+)`/g)].map(([, n]) => n!),
  );
  const writer = readFileSync(join(ROOT, "src/main/write-up/make-write-up.ts"), "utf8");
  const session = files.filter((name) => /^loftmark\./.test(name));
  expect(session).toEqual(["loftmark.json", `${HISTORY_FOLDER}/`]);
  const written = files
    .filter((name) => !session.includes(name))
    .map((name) => name.replace("write-up/", ""));
  expect(written.length).toBe(5);
  expect(
    written.filter((name) => !writer.includes(`name: "${name}"`) && !writer.includes(`name: \`${name}`)),
  ).toEqual([]);
});

/** The command of a key as the guide writes it: "Alt+Shift+←", "Ctrl+Z", "0". */
function commandOf(written: string): Command | null {
  const parts = written.split(/\+(?=.)/);
  const last = parts.at(-1)!;
  const arrows: Record<string, string> = {
    "←": "ArrowLeft",
    "→": "ArrowRight",
    "↑": "ArrowUp",
    "↓": "ArrowDown",
  };
  const key = arrows[last] ?? (last.length === 1 ? last.toLowerCase() : last);
  const held = (name: string) => parts.slice(0, -1).includes(name);
  return commandFor({
    key,
    altKey: held("Alt"),
    ctrlKey: held("Ctrl"),
    metaKey: false,
    shiftKey: held("Shift"),
  });
}

/** What the table must say of a command. */
function wordsFor(command: Command): RegExp {
  switch (command.kind) {
    case "step":
      return Math.abs(command.by) === 1 ? /^one frame/ : Math.abs(command.by) === 10 ? /^ten frames/ : /^$/;
    case "go":
      return /first or last frame/;
    case "shot":
      return /next shot of the day, or the one before/;
    case "nudge":
      return new RegExp(`by ${Math.hypot(command.dx, command.dy)} px`.replace(".", "\\."));
    case "remove":
      return /remove/;
    case "place":
      return command.byHand ? /^place a mark by hand/ : /take what was found, else place a mark/;
    case "light":
      return command.by === 1 ? /next of what was found/ : /the one before/;
    case "pan":
      return /move the view/;
    case "choose-point":
      return /choose a point/;
    case "undo":
    case "redo":
      return new RegExp(command.kind);
    case "zoom":
      return /zoom in or out/;
    case "fit":
      return /whole picture/;
    case "lamp":
      return /lamp changes/;
    case "keys":
      return /guide at this table/;
    case "follow":
      return command.back ? /follow the point backwards/ : /follow the point onwards/;
    case "follow-all":
      return /follow every point/;
    case "cancel":
      return /let go/;
  }
}

/** The body rows of the table whose first heading this is, as cells. */
function rowsOf(page: string, heading: string): string[][] {
  const lines = page.slice(page.indexOf(`\n| ${heading} |`) + 1).split("\n");
  const end = lines.findIndex((line) => !line.startsWith("|"));
  const rows = lines.slice(2, end).map((line) =>
    line
      .split("|")
      .slice(1, -1)
      .map((cell) => cell.trim()),
  );
  if (rows.length === 0) throw new Error(`There is no table that begins with "${heading}".`);
  return rows;
}

/** Anchors of a page's headings, as GitHub makes them. */
function anchorsOf(page: string): string[] {
  return [...page.matchAll(/^#+ (.*)$/gm)].map(([, heading]) =>
    heading!
      .toLowerCase()
      .replace(/[^\p{L}\p{N} -]/gu, "")
      .replaceAll(" ", "-"),
  );
}

/** Every file below a folder, as paths from the root with forward slashes. */
function filesIn(folder: string): string[] {
  return readdirSync(join(ROOT, folder), { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => relative(ROOT, join(entry.parentPath, entry.name)).replaceAll("\\", "/"));
}

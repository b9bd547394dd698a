import { existsSync, readdirSync, readFileSync, statSync } from "node:fs";
import { dirname, join, relative, sep } from "node:path";

/**
 * Test files that run the core in their own process; the others take seconds each and see the core through a
 * host.
 */
const FOLDERS = ["test/shared", "test/published", "test/reference", "test/renderer"];

/**
 * Finds, for a source file, the test files that run any of it, nearest first.
 * @param {string} root
 * @returns {(file: string) => string[][]} paths from the root, in stages: its own tests and those that import
 *   it; those that import what imports it; all others
 */
export function testsOf(root) {
  /** @type {Map<string, readonly string[]>} */
  const imports = new Map();
  const importsOf = (/** @type {string} */ file) => {
    let found = imports.get(file);
    if (found === undefined) {
      found = ownImports(root, file);
      imports.set(file, found);
    }
    return found;
  };
  const distances = FOLDERS.flatMap((folder) => testsBelow(root, folder)).map(
    (test) => /** @type {const} */ ([test, distancesFrom(test, importsOf)]),
  );
  return (file) => {
    const own = file.replace(/^src\//, "test/").replace(/\.tsx?$/, ".test.ts");
    const far = (/** @type {readonly [string, Map<string, number>]} */ [test, seen]) =>
      test === own ? 1 : (seen.get(file) ?? Number.POSITIVE_INFINITY);
    const stage = (/** @type {number} */ from, /** @type {number} */ to) =>
      distances.filter((one) => far(one) >= from && far(one) <= to).map(([test]) => test);
    return [stage(1, 1), stage(2, 2), stage(3, Number.MAX_VALUE)];
  };
}

/**
 * @param {string} start
 * @param {(file: string) => readonly string[]} importsOf
 * @returns {Map<string, number>}
 */
function distancesFrom(start, importsOf) {
  const seen = new Map([[start, 0]]);
  for (const [file, far] of seen) for (const to of importsOf(file)) if (!seen.has(to)) seen.set(to, far + 1);
  return seen;
}

/**
 * @param {string} root
 * @param {string} file
 * @returns {string[]} what it imports by a relative path, types left out
 */
function ownImports(root, file) {
  const text = readFileSync(join(root, file), "utf8");
  return [...text.matchAll(/(?:^|\n)(?:import|export)\s(?!type\b)[^;"']*?["'](\.[^"']+)["']/g)]
    .map((match) => relative(root, join(root, dirname(file), /** @type {string} */ (match[1]))))
    .map((path) => path.split(sep).join("/"))
    .filter((path) => existsSync(join(root, path)) && statSync(join(root, path)).isFile());
}

/** @param {string} root  @param {string} folder  @returns {string[]} */
function testsBelow(root, folder) {
  return readdirSync(join(root, folder), { withFileTypes: true }).flatMap((entry) => {
    const path = `${folder}/${entry.name}`;
    if (entry.isDirectory()) return testsBelow(root, path);
    return entry.name.endsWith(".test.ts") ? [path] : [];
  });
}

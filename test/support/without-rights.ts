import { chmod } from "node:fs/promises";

const NOBODY = 65534;

/**
 * Runs something while nobody may write into a folder: its mode forbids it, and the administrator, whom modes
 * do not bind, gives up being one for as long.
 */
export async function withoutRights<T>(folder: string, run: () => Promise<T>): Promise<T> {
  const isAdministrator = process.geteuid?.() === 0;
  await chmod(folder, 0o555);
  if (isAdministrator) process.seteuid?.(NOBODY);
  try {
    return await run();
  } finally {
    if (isAdministrator) process.seteuid?.(0);
    await chmod(folder, 0o755);
  }
}

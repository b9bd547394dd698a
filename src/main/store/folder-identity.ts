import { stat, statfs } from "node:fs/promises";
import { FaultError } from "../../shared/quantity/notice.ts";

const FUSE = 0x65735546; // FUSE_SUPER_MAGIC of statfs(2)

/** What tells a folder from another that later lies at the same path. */
export interface FolderIdentity {
  readonly device: bigint;
  readonly inode: bigint;
  /** When it was made, ns; 0 where the file system does not keep that. */
  readonly bornNs: bigint;
}

/** @throws what the system says when there is nothing at the path */
export async function identityOf(path: string): Promise<FolderIdentity> {
  const { dev, ino, birthtimeNs } = await stat(path, { bigint: true });
  return { device: dev, inode: ino, bornNs: birthtimeNs };
}

/**
 * False where the driver may give a folder another inode when it looks again, as those
 * of cards in user space do.
 */
export async function inodesLast(path: string): Promise<boolean> {
  const system = await statfs(path).catch(() => null); // not told: most do last
  return system?.type !== FUSE;
}

/**
 * Whether two looks at one path saw the same folder. When it was made counts most: a removed folder's inode
 * is given to the next one, and exFAT and FAT number their folders again each time they are read, yet keep
 * when they were made. A card that was put back may have another device number.
 * @param inodeLasts as `inodesLast` says of the file system
 */
export function sameFolder(a: FolderIdentity, b: FolderIdentity, inodeLasts: boolean): boolean {
  const [sameDevice, sameInode] = [a.device === b.device, a.inode === b.inode];
  if (a.bornNs > 0n && b.bornNs > 0n) return a.bornNs === b.bornNs && (sameDevice || sameInode);
  return sameDevice && (sameInode || !inodeLasts);
}

/** @param replaced true when another folder is at its place now */
export function folderGone(name: string, replaced = false): FaultError {
  return new FaultError(
    "folder-gone",
    replaced
      ? `The folder "${name}" that you opened is gone, and another one is in its place.`
      : `The folder "${name}" is not there any more.`,
    "See whether its disk or card was taken out, or it was moved or renamed. Put it back, or open it where it is now.",
  );
}

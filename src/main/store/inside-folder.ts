import { sep } from "node:path";
import { FaultError } from "../../shared/quantity/notice.ts";

/** @throws FaultError "outside-folder" when the real path is not below the folder */
export function mustBeInside(folder: string, realPath: string, what: string): void {
  const root = folder.endsWith(sep) ? folder : folder + sep;
  if (!realPath.startsWith(root)) {
    throw new FaultError(
      "outside-folder",
      `${what} is a link that leads out of the field folder.`,
      "Copy the file or folder itself into the field folder; Loftmark touches nothing outside it.",
    );
  }
}

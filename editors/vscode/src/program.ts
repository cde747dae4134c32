// Where the drycall program is.

import { accessSync, constants, statSync } from "node:fs";
import { delimiter, isAbsolute, join } from "node:path";

const NAME = process.platform === "win32" ? "drycall.exe" : "drycall";

/** The program: the configured one and no other, else the shipped one, else the first on the search path. */
export function findProgram(configured: string, extension: string, searchPath: string): string | undefined {
  if (configured !== "") return runs(configured) ? configured : undefined;
  // A relative entry would be looked up in the editor's working folder, which may be a stranger's.
  const folders = [join(extension, "server"), ...searchPath.split(delimiter).filter(isAbsolute)];
  return folders.map((folder) => join(folder, NAME)).find(runs);
}

function runs(file: string): boolean {
  try {
    accessSync(file, constants.X_OK);
    return statSync(file).isFile();
  } catch {
    return false;
  }
}

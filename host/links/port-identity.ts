import fs from 'node:fs';

/**
 * What stands at a path now, as far as the file system tells: another device, or the same one plugged in anew, gives
 * another text.
 * @returns undefined where the path is no file, as where nothing is there, or on a system that names its ports otherwise
 */
export function identityOf(path: string): string | undefined {
  const link = fs.lstatSync(path, { throwIfNoEntry: false });
  const device = fs.statSync(path, { throwIfNoEntry: false });
  return link && device && `${link.ino} ${device.dev} ${device.ino} ${device.rdev}`;
}

/** Two names of one port give the same: by-id links on Linux lead to the plain name that the system lists. */
export function realPathOf(path: string): string {
  try {
    return fs.realpathSync(path);
  } catch {
    return path;
  }
}

/** Where a running host leaves its address and its token, for commands that talk to it. Only its owner may read it. */
import { readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { z } from 'zod';
import type { DataFolder } from './data-folder.ts';

const HOST_FILE = z.object({
  pid: z.number(),
  url: z.url(),
  sessionId: z.string(),
  token: z.string().optional(),
  look: z.string().optional(),
});
export type HostFile = z.output<typeof HOST_FILE>;

/** Beside it and then in its place: the token is never in a file that others may read, whatever lay there before. */
export function writeHostFile(folder: DataFolder, host: HostFile): void {
  const fresh = `${folder.hostFile}.${process.pid}`;
  rmSync(fresh, { force: true });
  try {
    writeFileSync(fresh, JSON.stringify(host), { mode: 0o600, flag: 'wx' });
    renameSync(fresh, folder.hostFile);
  } catch (error) {
    rmSync(fresh, { force: true });
    throw error;
  }
}

/** What to show that host: it may ask for a token even to look. */
export const keyOf = ({ token }: HostFile): Record<string, string> => (token === undefined ? {} : { authorization: `Bearer ${token}` });

/** @throws where there is none, or it is no such file */
export const readHostFile = (folder: DataFolder): HostFile => HOST_FILE.parse(JSON.parse(readFileSync(folder.hostFile, 'utf8')));

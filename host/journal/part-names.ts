/** A session's journal is one file; after trouble with the disk it goes on in another beside it. */
import fs from 'node:fs';
import path from 'node:path';

const NAME = /^(?<session>.+?)(?:\.part(?<part>\d{1,9}))?\.mcap$/;

/** @param journal  path of the first part, `SESSION.mcap` */
export const partPath = (journal: string, part: number): string => (part === 1 ? journal : journal.replace(/\.mcap$/, `.part${part}.mcap`));

/**
 * All parts of the session that one of them belongs to, in order; only those that are there.
 * @param journal  path of any part
 * @throws Error of the system where there is no such file, or its folder cannot be read
 */
export function partsOf(journal: string): readonly string[] {
  fs.statSync(journal);
  const session = NAME.exec(path.basename(journal))?.groups?.session;
  if (session === undefined) return [journal];
  const folder = path.dirname(journal);
  const found = fs.readdirSync(folder).flatMap((name) => {
    const groups = NAME.exec(name)?.groups;
    return groups?.session === session ? [{ name, part: Number(groups.part ?? 1) }] : [];
  });
  return found.sort((a, b) => a.part - b.part).map(({ name }) => path.join(folder, name));
}

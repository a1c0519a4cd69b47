/** All lines of a journal, made at once and apart from whatever sends them. */
import { FIRST_PLACE, JournalSource } from '../../../host/cli/series/journal-source.ts';
import { dialectOf } from '../../../host/series/index.ts';
import type { ServerKind } from './real-server.ts';

export function expectedLines(path: string, kind: ServerKind, tags: Readonly<Record<string, string>> = {}): string[] {
  const source = new JournalSource({
    path,
    dialect: dialectOf({ kind }),
    tags,
    sendFrom: 0,
    isOver: () => true,
    nowMs: () => performance.now(),
  });
  source.returnTo(FIRST_PLACE);
  const lines: string[] = [];
  for (let next = source.next(); next !== 'end'; next = source.next()) if (typeof next === 'object') lines.push(...next.lines);
  return lines;
}

/** How far a journal goes, without reading all of it: what a time line needs before the reading has come that far. */
import fs from 'node:fs';
import { ByteWindow } from './byte-window.ts';
import { soundClosingAt } from './closing.ts';
import { partsOf } from './part-names.ts';
import { partAt, resync } from './parts.ts';

/** The tail is looked at in ever longer pieces, until one holds a record. */
const TAIL_BYTES = 256 * 1024;
const LONGER = 16;

/**
 * @param path  of a journal, or of any part of one: closed, torn, damaged, or still being written
 * @returns session time of its newest record, ns, as its tail has it; undefined where it holds none
 * @throws Error of the system where the file cannot be opened or read
 */
export function newestTimeNs(path: string): number | undefined {
  const newest = partsOf(path).flatMap((part) => newestOfPart(part) ?? []);
  return newest.length === 0 ? undefined : Math.max(...newest);
}

function newestOfPart(path: string): number | undefined {
  const fd = fs.openSync(path, 'r');
  try {
    const window = new ByteWindow(fd);
    const closingAt = soundClosingAt(window);
    for (let tail = TAIL_BYTES; ; tail *= LONGER) {
      const from = Math.max(0, (closingAt ?? window.size) - tail);
      const newest = newestFrom(window, from, closingAt);
      if (newest !== undefined || from === 0) return newest;
    }
  } finally {
    fs.closeSync(fd);
  }
}

function newestFrom(window: ByteWindow, from: number, closingAt: number | undefined): number | undefined {
  let newest: number | undefined;
  for (let at = from; at < (closingAt ?? window.size); ) {
    const part = partAt(window, at);
    if (part === undefined) {
      at = resync(window, at, { expected: 0, closingAt });
      continue;
    }
    at += part.bytes.length;
    if (part.what === 'message') newest = Math.max(newest ?? 0, part.record.atNs);
  }
  return newest;
}

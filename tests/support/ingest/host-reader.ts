/** A whole live session over one board: record, journal, pipeline, store and the pages' feed, as `postern run` has it. */
import { join } from 'node:path';
import { openDataFolder } from '../../../host/cli/data/data-folder.ts';
import { openLiveSession } from '../../../host/cli/live/live-session.ts';
import { answerWith, type Reached } from './reader.ts';

const [rigFile = '', data = ''] = process.argv.slice(2);
let blocks = 0;
let until = Number.POSITIVE_INFINITY;
let reach: (reached: Reached) => void = () => undefined;
let isFitted: () => void = () => undefined;
const fitted = new Promise<void>((resolve) => {
  isFitted = resolve;
});
const session = await openLiveSession({
  rigFile,
  folder: openDataFolder(join(data)),
  port: 0,
  onEvent: (event) => {
    if (event.type === 'clock') isFitted();
    if (event.type !== 'samples') return;
    blocks += 1;
    if (blocks === until) reach({ doneNs: Number(process.hrtime.bigint()), cpu: process.cpuUsage() });
  },
});
session.start();
// Before that a sample has no place in time, and nothing is made of it.
await fitted;

answerWith({
  begin: (expected) => {
    blocks = 0;
    until = expected.blocks;
    return new Promise((resolve) => {
      reach = resolve;
    });
  },
  close: () => session.close(),
});

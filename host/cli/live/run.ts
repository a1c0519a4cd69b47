/** `postern run RIG.yaml`: live with the boards that the rig file names. */

import { closingAll } from '../close-stack.ts';
import { openDataFolder } from '../data/data-folder.ts';
import { FolderHold } from '../data/folder-hold.ts';
import { HostLog } from '../log/host-log.ts';
import { say } from '../output.ts';
import { crewLine, watchLines } from '../serving/address-lines.ts';
import type { ListenOptions } from '../serving/listening.ts';
import { StopSignal } from '../stop-signal.ts';
import { eventSayer } from '../text/event-lines.ts';
import { openLiveSession } from './live-session.ts';

export interface RunOptions extends ListenOptions {
  readonly data: string;
  readonly log?: string;
  readonly viewers: number;
  readonly accept?: string;
}

export async function run(rigFile: string, options: RunOptions): Promise<void> {
  const session = await closingAll(async (parts) => {
    const stop = new StopSignal();
    parts.add(() => stop.close());
    const log = await HostLog.open(options.log);
    parts.add(() => log.close());
    const folder = openDataFolder(options.data);
    const hold = await FolderHold.take(folder);
    parts.add(() => hold.release());
    const opened = await openLiveSession({
      ...options,
      rigFile,
      folder,
      log,
      viewersMax: options.viewers,
      onEvent: eventSayer(),
    });
    parts.add(() => opened.close());
    hold.session = opened;
    stop.lastWords = () => opened.lastWords();
    for (const line of watchLines(opened, opened.listening, `Session ${opened.sessionId}`)) say(line);
    say(crewLine(opened, opened.listening));
    say(`Journal ${opened.journal}. Ctrl-C ends the session.`);
    opened.rehearse();
    opened.start();
    const signal = await stop.asked;
    log.logger.info({ signal }, 'asked to end');
    return opened;
  });
  say(`Session ${session.sessionId} closed, shots: ${session.shots.length}.`);
}

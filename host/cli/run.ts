/** `postern run RIG.yaml`: live with the boards that the rig file names. */
import { crewLine, watchLines } from './address-lines.ts';
import { closingAll } from './close-stack.ts';
import { openDataFolder } from './data-folder.ts';
import { eventSayer } from './event-lines.ts';
import type { ListenOptions } from './listening.ts';
import { openLiveSession } from './live-session.ts';
import { say } from './output.ts';
import { StopSignal } from './stop-signal.ts';

export async function run(rigFile: string, options: ListenOptions & { readonly data: string }): Promise<void> {
  const session = await closingAll(async (parts) => {
    const stop = new StopSignal();
    parts.add(() => stop.close());
    const opened = await openLiveSession({
      ...options,
      rigFile,
      folder: openDataFolder(options.data),
      onEvent: eventSayer(),
    });
    parts.add(() => opened.close());
    stop.lastWords = () => opened.lastWords();
    for (const line of watchLines(opened, opened.listening, `Session ${opened.sessionId}`)) say(line);
    say(crewLine(opened, opened.listening));
    say(`Journal ${opened.journal}. Ctrl-C ends the session.`);
    opened.start();
    await stop.asked;
    return opened;
  });
  say(`Session ${session.sessionId} closed, shots: ${session.shots.length}.`);
}

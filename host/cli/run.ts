/** `postern run RIG.yaml`: live with the boards that the rig file names. */
import { openDataFolder } from './data-folder.ts';
import { sayEvent } from './event-lines.ts';
import { openLiveSession } from './live-session.ts';
import { say } from './output.ts';

import { forever, untilStopped } from './until-stopped.ts';

export async function run(rigFile: string, options: { readonly data: string; readonly port: number }): Promise<void> {
  const session = await openLiveSession({
    rigFile,
    folder: openDataFolder(options.data),
    port: options.port,
    onEvent: sayEvent,
  });
  say(`Session ${session.sessionId}: watch it at ${session.url}`);
  say(`Journal ${session.journal}. Ctrl-C ends the session.`);
  session.start();
  await untilStopped(forever(), () => session.close());
  say(`Session ${session.sessionId} closed, shots: ${session.shots.length}.`);
}

/** `postern run RIG.yaml`: live with the boards that the rig file names. */
import { openDataFolder } from './data-folder.ts';
import { openLiveSession } from './live-session.ts';
import { say } from './output.ts';
import { shotLine } from './shot-lines.ts';
import { forever, untilStopped } from './until-stopped.ts';

export async function run(rigFile: string, options: { readonly data: string; readonly port: number }): Promise<void> {
  const session = await openLiveSession({
    rigFile,
    folder: openDataFolder(options.data),
    port: options.port,
    onShot: (shot) => say(shotLine(shot)),
  });
  say(`Session ${session.sessionId}: watch it at ${session.url}`);
  say(`Journal ${session.journal}. Ctrl-C ends the session.`);
  await untilStopped(forever(), () => session.close());
  say(`Session ${session.sessionId} closed with ${session.shots.length} shots.`);
}

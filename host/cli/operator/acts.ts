/** The acts that need no guiding: each is one record, and one line that it is done. */
import type { OperatorAct } from '../../../protocol/index.ts';
import { CommandError, say } from '../output.ts';
import { shotIdOf } from '../shots/shot-id.ts';
import { massText } from '../text/crew-lines.ts';
import { HostSession } from './host-session.ts';
import { projectileMass, targetPoint } from './values.ts';

export interface ActOptions {
  readonly data: string;
  readonly by: string;
}

async function done(data: string, act: OperatorAct, words: string): Promise<void> {
  await HostSession.find(data).do(act);
  say(words);
}

export const tick = (holdPointId: string, { data, by }: ActOptions, isDone: boolean): Promise<void> =>
  done(data, { act: 'hold-point', holdPointId, done: isDone, who: by }, `${holdPointId} is ${isDone ? 'ticked' : 'not ticked any more'}.`);

export async function note(text: string, options: { readonly data: string; readonly by?: string; readonly shot?: string }): Promise<void> {
  const host = HostSession.find(options.data);
  const about = options.shot === undefined ? {} : await placeOf(host, options.shot);
  const { by } = options;
  await host.do({ act: 'note', text, ...about, ...(by === undefined ? {} : { who: by }) });
  say('Noted.');
}

export const aim = (right: string, up: string, { data, by }: ActOptions): Promise<void> =>
  done(data, { act: 'aim', at: targetPoint(right, up), who: by }, 'The aim is set, and a new series begins.');

export async function impact(shot: string, right: string, up: string, { data, by }: ActOptions): Promise<void> {
  const at = targetPoint(right, up);
  const host = HostSession.find(data);
  const shotId = await shotOf(host, shot);
  await host.do({ act: 'impact', shotId, at, who: by });
  say(`The impact of shot ${shotId} is kept.`);
}

export async function clip(
  shot: string,
  { camera, name }: { readonly camera: string; readonly name: string },
  { data, by }: ActOptions,
): Promise<void> {
  const host = HostSession.find(data);
  const shotId = await shotOf(host, shot);
  await host.do({ act: 'clip', shotId, camera, clip: name, who: by });
  say(`Clip ${name} of camera ${camera} is kept with shot ${shotId}.`);
}

export async function withdraw(
  shot: string,
  camera: string,
  { data, by, because, back }: ActOptions & { readonly because: string; readonly back: boolean },
): Promise<void> {
  const host = HostSession.find(data);
  const shotId = await shotOf(host, shot);
  await host.do({ act: 'withdraw-track', shotId, camera, withdrawn: !back, reason: because, who: by });
  say(`The track of camera ${camera}, shot ${shotId}, is ${back ? 'taken in again' : 'withdrawn; it is kept, and does not count'}.`);
}

export async function exclude(
  shot: string,
  { data, by, because, back }: ActOptions & { readonly because: string; readonly back: boolean },
): Promise<void> {
  const host = HostSession.find(data);
  const placed = await placeOf(host, shot);
  await host.do({ act: 'exclude', ...placed, excluded: !back, reason: because, who: by });
  say(`Shot ${placed.shotId} is ${back ? 'taken in again' : 'left out'}.`);
}

export async function weigh(
  shot: string,
  mass: string | undefined,
  { data, by, because, back }: ActOptions & { readonly because: string; readonly back: boolean },
): Promise<void> {
  if ((mass === undefined) !== back) {
    throw new CommandError('Give the mass, such as "125.4 g ± 0.1 g", or --back for that of the rig file; not both.', 2);
  }
  const weighed = mass === undefined ? undefined : projectileMass(mass);
  const host = HostSession.find(data);
  const shotId = await shotOf(host, shot);
  await host.do({ act: 'weigh', shotId, ...(weighed ? { mass: weighed } : {}), reason: because, who: by });
  say(
    `Shot ${shotId} is reduced anew with ${weighed ? massText(weighed) : 'the mass of the rig file'}; what was before is in its history.`,
  );
}

/** By its id, or by its number in the running session. */
const shotOf = async (host: HostSession, shot: string): Promise<string> => shotIdOf(shot, (await host.snapshot()).sessionId);

/** The same, and of one that is not this session's the session that it is of. */
async function placeOf(host: HostSession, shot: string): Promise<{ readonly shotId: string; readonly sessionId?: string }> {
  const own = (await host.snapshot()).sessionId;
  const shotId = shotIdOf(shot, own);
  if (shotId.startsWith(`${own}-`)) return { shotId };
  const { sessionId } = await host.shot(shotId);
  return sessionId === own ? { shotId } : { shotId, sessionId };
}

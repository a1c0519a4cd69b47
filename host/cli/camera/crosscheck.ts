/** `postern crosscheck`: a camera's speed against the gates', from a track in a file; or what is kept of a shot's cameras. */
import { readFileSync, statSync } from 'node:fs';
import type { CameraSummary, CameraTrack, RigSummary, Shot, ShotCamera } from '../../../protocol/index.ts';
import { readTrack, TRACK_FILE_BYTES_MAX } from '../../../protocol/index.ts';
import { crossCheck } from '../../analysis/camera/index.ts';
import { summarise } from '../../rig/index.ts';
import { HostSession } from '../operator/host-session.ts';
import { CommandError, messageOf, say, writeJson } from '../output.ts';
import { openRigFile } from '../rig/rig-file.ts';
import { findOne } from '../shots/shots.ts';
import { checkLines } from './check-lines.ts';

export interface CrosscheckOptions {
  readonly data: string;
  readonly camera?: string;
  readonly clip: string;
  /** Beside those in the file, as `NAME=X,Y`. */
  readonly mark: readonly string[];
  readonly rig?: string;
  readonly keep: boolean;
  readonly by?: string;
  readonly json?: string | true;
}

export async function crosscheck(shotId: string, file: string | undefined, options: CrosscheckOptions): Promise<void> {
  if (options.keep && (options.by === undefined || file === undefined))
    throw new CommandError('--keep writes the track into the running session: it needs TRACK.csv, and --by with who does it.', 2);
  const { shot, rig: recorded } = await findOne(shotId, options);
  if (file === undefined) return showKept(shot, options);
  const rig = options.rig === undefined ? recorded : summarise((await openRigFile(options.rig)).rig);
  const camera = chosenCamera(rig, options.camera);
  const track = trackOf(file, camera, options.mark);
  const check = rig && crossCheck(camera.name, track, shot, rig);
  const of: ShotCamera = { camera: camera.name, clip: options.clip, atNs: 0, who: options.by ?? '', track, ...(check ? { check } : {}) };
  if (options.keep) await keep(shot, of, options);
  if (options.json === undefined) {
    say(`Shot ${shot.id}, ${shot.firedAt}`);
    for (const line of checkLines(of)) say(line);
    if (options.keep) say('The track is kept with the shot.');
  } else writeJson(options.json, { shot: shot.id, cameras: [of] });
  if (check?.verdict === 'no-speed') process.exitCode = 1;
}

function showKept({ id, firedAt, cameras = [] }: Shot, { json }: CrosscheckOptions): void {
  if (json !== undefined) {
    writeJson(json, { shot: id, cameras });
    return;
  }
  say(`Shot ${id}, ${firedAt}`);
  if (cameras.length === 0) say('No camera has anything of it; give a track: postern crosscheck SHOT TRACK.csv.');
  for (const of of cameras) for (const line of ['', ...checkLines(of)]) say(line);
}

async function keep({ id }: Shot, { camera, clip, track }: ShotCamera, { data, by }: CrosscheckOptions): Promise<void> {
  if (track && by !== undefined) await HostSession.find(data).do({ act: 'camera-track', shotId: id, camera, clip, track, who: by });
}

function chosenCamera(rig: RigSummary | undefined, name: string | undefined): CameraSummary {
  const cameras = rig?.cameras ?? [];
  const [only, second] = cameras;
  if (!only) {
    const why = rig ? 'The rig file of this session has no cameras' : 'The rig of this session is not in the store';
    throw new CommandError(`${why}: describe the camera in a rig file, as docs/rig-file.md says, and give it with --rig RIG.yaml.`, 2);
  }
  const names = cameras.map((camera) => camera.name).join(', ');
  if (name === undefined && second) throw new CommandError(`The rig has several cameras; say which with --camera: ${names}.`, 2);
  const chosen = name === undefined ? only : cameras.find((camera) => camera.name === name);
  if (!chosen) throw new CommandError(`There is no camera ${name}; the rig file has ${names}.`, 2);
  return chosen;
}

function trackOf(file: string, camera: CameraSummary, marks: readonly string[]): CameraTrack {
  const text = textOf(file);
  const known = camera.marks.map(({ name }) => name);
  // A mark of the command line is one more line of the file, and judged as one.
  const own = marks.map((mark) => mark.replace('=', ',')).join('\n');
  const read = readTrack(text, known);
  const more = own === '' ? undefined : readTrack(`${own}\n0,0,0\n1,0,0\n2,0,0`, known);
  const problems = [
    ...(read.ok ? [] : read.problems.map(({ line, column, message }) => `${file}${line > 0 ? `:${line}:${column}` : ''} ${message}.`)),
    ...(!more || more.ok ? [] : more.problems.map(({ message }) => `--mark: ${message}.`)),
  ];
  if (!read.ok || (more && !more.ok)) throw new CommandError(problems.join('\n'), 2);
  const said = [...read.track.marks, ...(more?.track.marks ?? [])];
  const twice = said.find(({ name }, i) => said.findIndex((other) => other.name === name) !== i);
  if (twice) throw new CommandError(`Mark ${twice.name} is in the file and in --mark; keep one of the two.`, 2);
  return { ...read.track, marks: said };
}

function textOf(file: string): string {
  try {
    const { size } = statSync(file);
    if (size > TRACK_FILE_BYTES_MAX)
      throw new CommandError(`${file} has ${size} bytes, and at most ${TRACK_FILE_BYTES_MAX} are read; is it a track?`, 2);
    return readFileSync(file, 'utf8');
  } catch (error) {
    if (error instanceof CommandError) throw error;
    throw new CommandError(`${file} cannot be read: ${messageOf(error)}.`, 2, { cause: error });
  }
}
